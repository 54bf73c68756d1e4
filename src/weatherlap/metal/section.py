"""The folded cross-section of a profile, and whether it crosses itself."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import LineString

from weatherlap.errors import InputError
from weatherlap.metal.girth import lay_flat, radius_of
from weatherlap.metal.model import Metal, Profile

Point = tuple[float, float]

ARC_STEP_DEG = 15.0
TOUCH_IN = 1e-4


@dataclass(frozen=True, slots=True)
class Section:
    """A folded profile as the middle of the sheet runs. [in]

    ``parts`` are flat, arc, flat and so on from the start edge; ``left_is_finish`` holds by the
    way the profile is walked. The first leg starts at (0, 0) and runs along +x.
    """

    parts: tuple[tuple[Point, ...], ...]

    @property
    def points(self) -> tuple[Point, ...]:
        """The middle line in one run."""
        first, *others = self.parts
        return (*first, *(point for part in others for point in part[1:]))

    @property
    def flats(self) -> tuple[tuple[Point, ...], ...]:
        """The straight parts alone."""
        return self.parts[::2]

    @property
    def width_in(self) -> float:
        """Extent along the first leg. [in]"""
        xs = [x for x, _ in self.points]
        return max(xs) - min(xs)

    @property
    def height_in(self) -> float:
        """Extent across the first leg. [in]"""
        ys = [y for _, y in self.points]
        return max(ys) - min(ys)


def folded(profile: Profile, *, metal: Metal) -> Section:
    """The cross-section when every bend is made.

    Raises
    ------
    InputError
        If a leg is too short for its bends.
    """
    strip = lay_flat(profile, metal=metal)
    at, heading = (0.0, 0.0), 0.0
    parts: list[tuple[Point, ...]] = []
    for number, flat in enumerate(strip.flats_in):
        end = _ahead(at, heading, flat)
        parts.append((at, end))
        at = end
        if number < len(profile.bends):
            bend = profile.bends[number]
            radius = radius_of(bend, metal=metal) + metal.thickness_in / 2
            arc = _arc(at, heading, radius, math.radians(bend.turn_deg))
            parts.append(arc)
            at, heading = arc[-1], heading + math.radians(bend.turn_deg)
    return Section(tuple(parts))


def _ahead(at: Point, heading: float, far: float) -> Point:
    return at[0] + far * math.cos(heading), at[1] + far * math.sin(heading)


def _arc(at: Point, heading: float, radius: float, turn: float) -> tuple[Point, ...]:
    """Points on the arc that leaves ``at`` along ``heading`` and turns."""
    side = math.copysign(1.0, turn)
    centre = _ahead(at, heading + side * math.pi / 2, radius)
    steps = max(2, math.ceil(abs(math.degrees(turn)) / ARC_STEP_DEG))
    start = heading - side * math.pi / 2
    angles = (start + turn * step / steps for step in range(1, steps + 1))
    return (at, *(_ahead(centre, angle, radius) for angle in angles))


def crossing_legs(profile: Profile, *, metal: Metal) -> tuple[tuple[int, int], ...]:
    """Pairs of legs (counted from 1) that would lie in the same place when folded."""
    lines = [LineString(part) for part in folded(profile, metal=metal).parts]
    found: set[tuple[int, int]] = set()
    for j, later in enumerate(lines):
        for i in range(j - 2):
            if later.distance(lines[i]) < metal.thickness_in - TOUCH_IN:
                found.add((i // 2 + 1, (j + 1) // 2 + 1))
    return tuple(sorted(found))


def check_folds(profile: Profile, *, metal: Metal) -> None:
    """Nothing if the profile can exist.

    Raises
    ------
    InputError
        If legs cross each other; names them and how to part them.
    """
    crossing = crossing_legs(profile, metal=metal)
    if crossing:
        first, second = crossing[0]
        raise InputError(
            f"profile {profile.id}",
            f"leg {first} and leg {second} cross when folded",
            "legs that stay clear of each other",
            f"Shorten leg {second}, open the bends between them, or make two pieces.",
        )
