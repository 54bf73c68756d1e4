"""A profile that follows what it covers: points across the faces, in the plane of the section."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from weatherlap.errors import InputError
from weatherlap.metal.model import Bend, Leg, Measure, Profile, Toward

Point = tuple[float, float]

STRAIGHT_DEG = 1.0
SHORTEST_IN = 1 / 64


def profile_along(
    profile_id: str,
    points: Sequence[Point],
    *,
    finish_on_left: bool,
    measure: Measure = Measure.BACK,
    names: Sequence[str] = (),
) -> Profile:
    """The profile whose legs lie on a run of straight lines.

    Parameters
    ----------
    profile_id : str
        Its name.
    points : sequence of (x, y)
        Corners from the start edge to the end edge, in the plane square to the run. [in]
    finish_on_left : bool
        Whether the painted side is on the left of the way from point to point.
    measure : Measure
        The face of the sheet that lies on the lines: the back, for a wrap measured off the wood.
    names : sequence of str
        Names of the legs between the points, such as the faces they lie on.

    Returns
    -------
    Profile
        Legs and bends; corners that turn less than 1 degree are left out. [in, deg]

    Raises
    ------
    InputError
        If there are fewer than two points apart, one is not finite, or the way turns straight back
        (which way a hem folds cannot be told from points).

    Sources
    -------
    M-016 : legs and turns of the section's own lines.
    """
    where = f"profile {profile_id}"
    if any(not math.isfinite(number) for point in points for number in point):
        raise InputError(where, "a point that is no number", "finite points in inches")
    corners = _corners(points)
    if len(corners) < 2:
        raise InputError(where, f"{len(points)} points", "two or more, at least 1/64 in apart")
    legs: list[Leg] = []
    bends: list[Bend] = []
    heading = 0.0
    for (at, number), (to, _) in pairwise(corners):
        way = math.degrees(math.atan2(to[1] - at[1], to[0] - at[0]))
        length = math.dist(at, to)
        turn = (way - heading + 180.0) % 360.0 - 180.0 if legs else 0.0
        if legs and abs(turn) < STRAIGHT_DEG:
            legs[-1] = Leg(legs[-1].length_in + length, measure, legs[-1].name)
            continue
        if legs:
            bends.append(_bend(where, turn, finish_on_left))
        legs.append(Leg(length, measure, names[number] if number < len(names) else ""))
        heading = way
    return Profile(profile_id, tuple(legs), tuple(bends))


def _corners(points: Sequence[Point]) -> list[tuple[Point, int]]:
    """Points with their numbers, those too near the last one left out."""
    kept: list[tuple[Point, int]] = []
    for number, point in enumerate(points):
        if not kept or math.dist(kept[-1][0], point) >= SHORTEST_IN:
            kept.append((point, number))
    return kept


def _bend(where: str, turn_deg: float, finish_on_left: bool) -> Bend:
    """The bend of a turn, to the left above 0."""
    if abs(turn_deg) > 180.0 - STRAIGHT_DEG:
        raise InputError(
            where, "a way that turns straight back", "corners of less than 180 degrees",
            "Add the hem to the profile by itself.",
        )  # fmt: skip
    toward = Toward.FINISH if (turn_deg > 0) is finish_on_left else Toward.BACK
    return Bend(abs(turn_deg), toward)
