"""The flat pattern of a piece that follows the corner: cut to its panels, with what turns round."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from weatherlap.errors import InputError
from weatherlap.metal.bending import bend_allowance_in, setback_in
from weatherlap.metal.ends import SQUARE, EndCut
from weatherlap.metal.flat import BendLine, FlatPattern, finished, flat_pattern
from weatherlap.metal.girth import Strip, lay_flat, setback_of
from weatherlap.metal.model import Metal, Profile, Toward
from weatherlap.metal.round import Course, Flap
from weatherlap.shape.folds import TOUCH_IN

LEAST_AREA_IN2 = 1e-6
BRIDGE_IN = 0.02
NEAR_EDGE_IN = 0.05
EDGE_IN = 1e-9
FAR_IN = 1e5
HAIR_IN = 1 / 128
SLIT_IN = 1 / 32
"""Width of a cut of the snips between two parts of the flat. [in]"""
SHARPEST = 50.0


@dataclass(frozen=True, slots=True)
class CutOut:
    """A flat pattern from the corner, and what had to be left off it, in words."""

    pattern: FlatPattern
    notes: tuple[str, ...]


def cut_out(
    profile: Profile,
    course: Course,
    *,
    before: int,
    metal: Metal,
    near: EndCut = SQUARE,
    far: EndCut = SQUARE,
) -> CutOut:
    """The flat pattern of a piece that goes round the folds of the corner.

    Parameters
    ----------
    profile : Profile
        Its section, hems and the like included. [in, deg]
    course : Course
        Its panels, leg by leg. [in]
    before : int
        How many legs of the profile stand before the first panel (hems, kicks at the start).
    near, far : EndCut
        How the ends are cut besides.

    Raises
    ------
    InputError
        If nothing hangs together after the cuts.

    Sources
    -------
    M-001 : allowances of bends and flaps. M-016 : panels unfolded side by side.
    """
    _check(profile, course, before)
    pattern = flat_pattern(profile, metal=metal, length_in=course.length_in, near=near, far=far)
    strip = lay_flat(profile, metal=metal)
    zones = _zones(profile, course, metal, before)
    shape = _trimmed(Polygon(pattern.outline), course, strip, zones)
    own = [n for n in pattern.bend_lines if n.bend]
    shape = _with_tongues(shape, course, zones)
    lines = [
        *(n for n in pattern.bend_lines if not n.bend),
        *_cut_lines(own, shape, course, before),
    ]
    notes: list[str] = []
    for flap in course.flaps:
        shape, line, note = _with_flap(shape, flap, zones[flap.leg].slide_in, metal)
        lines.append(line)
        notes += [note] if note else []
    shape = _clean(shape)
    if not isinstance(shape, Polygon) or shape.is_empty or shape.interiors:
        raise InputError(f"profile {profile.id}", "its panels do not hang together", "one piece")
    ordered = tuple(sorted(lines, key=lambda n: n.bend or math.inf))
    return CutOut(finished(profile, profile, metal, shape, ordered), tuple(notes))


def _clean(shape: BaseGeometry) -> BaseGeometry:
    """The outline without ears finer than any snips cut; corners and slits stay where they are."""
    inner = shape.buffer(-HAIR_IN, join_style="mitre", mitre_limit=SHARPEST)
    return inner.buffer(HAIR_IN, join_style="mitre", mitre_limit=SHARPEST)


def _check(profile: Profile, course: Course, before: int) -> None:
    """Every panel is a leg of the profile."""
    if len(profile.legs) < before + len(course.shapes):
        raise InputError(
            f"profile {profile.id}",
            f"{len(course.shapes)} panels, of which two lie in one plane or have no width",
            "a fold between each two of them, and 1/64 in of each",
            "Join the faces, or make two pieces.",
        )


@dataclass(frozen=True, slots=True)
class _Zone:
    """A leg of the course on the strip: places across it, and where those lie. [in]"""

    low_in: float
    high_in: float
    at_in: tuple[float, ...]
    to_in: tuple[float, ...]
    snap: tuple[bool, bool]

    def moved(self, shape: BaseGeometry) -> BaseGeometry:
        """A panel on the strip; edges that come up to a fold end on its bend line."""
        wide = self.at_in[-1]

        def move(points: NDArray[np.float64]) -> NDArray[np.float64]:
            t = points[:, 1]
            if self.snap[0]:
                t = np.where(t < TOUCH_IN, 0.0, t)
            if self.snap[1]:
                t = np.where(t > wide - TOUCH_IN, wide, t)
            return np.column_stack([points[:, 0], np.interp(t, self.at_in, self.to_in)])

        return shapely.transform(shape, move)

    @property
    def slide_in(self) -> float:
        """How much further on the strip its flat part lies than on the panel."""
        return self.to_in[1] - self.at_in[1]


def _zones(profile: Profile, course: Course, metal: Metal, before: int) -> list[_Zone]:
    """The legs of the profile that lie on panels."""
    strip = lay_flat(profile, metal=metal)
    marks = (0.0, *strip.lines_in, strip.girth_in)
    bends = len(profile.bends)
    zones = []
    for leg in range(len(course.shapes)):
        k = leg + before
        wide = math.dist(course.points[leg], course.points[leg + 1])
        measure = profile.legs[k].measure
        first = setback_of(measure, profile.bends[k - 1], metal=metal) if k else 0.0
        last = setback_of(measure, profile.bends[k], metal=metal) if k < bends else 0.0
        flat = marks[k] + (strip.allowances_in[k - 1] / 2 if k else 0.0)
        at = (0.0, first + EDGE_IN, wide - last - EDGE_IN, wide)
        to = (marks[k], flat, flat + strip.flats_in[k], marks[k + 1])
        zones.append(_Zone(marks[k], marks[k + 1], at, to, (k > 0, k < bends)))
    return zones


def _trimmed(outline: Polygon, course: Course, strip: Strip, zones: list[_Zone]) -> BaseGeometry:
    """The outline less what no panel covers, leg by leg; edges added reach as far as theirs."""
    shape: BaseGeometry = outline
    for zone, panel in zip(zones, course.shapes, strict=True):
        whole = shapely.box(0.0, zone.low_in, course.length_in, zone.high_in)
        shape = shape.difference(whole.difference(zone.moved(panel)))
    for low, high, panel, edge in (
        (0.0, zones[0].low_in, course.shapes[0], 0.0),
        (zones[-1].high_in, strip.girth_in, course.shapes[-1], zones[-1].at_in[-1]),
    ):
        x0, x1 = _reach(panel, edge)
        for waste in ((0.0, x0), (x1, course.length_in)):
            if waste[1] > waste[0] and high > low:
                shape = shape.difference(shapely.box(waste[0], low, waste[1], high))
    return shape


def _reach(shape: BaseGeometry, edge: float) -> tuple[float, float]:
    """From where to where a panel comes up to one of its edges."""
    x0, _, x1, _ = shape.bounds
    band = shape.intersection(shapely.box(x0, edge - NEAR_EDGE_IN, x1, edge + NEAR_EDGE_IN))
    return (band.bounds[0], band.bounds[2]) if not band.is_empty else (x0, x1)


def _with_tongues(shape: BaseGeometry, course: Course, zones: list[_Zone]) -> BaseGeometry:
    """The outline with what of a leg goes on, unbent, beside a fold, cut free of what is bent."""
    slits: list[BaseGeometry] = []
    for zone, panel in zip(zones, course.shapes, strict=True):
        x0, low, x1, high = panel.bounds
        ends = ((low, 0.0, zone.low_in), (zone.at_in[-1], high, zone.high_in))
        for beyond, (a, b, line) in zip(zone.snap, ends, strict=True):
            if beyond and b - a > TOUCH_IN:
                tongue = panel.intersection(shapely.box(x0, a - BRIDGE_IN, x1, b + BRIDGE_IN))
                placed = affine_transform(tongue, [1, 0, 0, 1, 0, zone.slide_in])
                slits.append(_slit(placed, shape, line, above=b > zone.at_in[-1]))
                shape = shape.union(placed)
    return shape.difference(shapely.union_all(slits)) if slits else shape


def _slit(tongue: BaseGeometry, shape: BaseGeometry, line: float, *, above: bool) -> BaseGeometry:
    """The cut between a tongue and the bent metal beside it, from the bend line on."""
    side = shapely.box(-FAR_IN, line if above else -FAR_IN, FAR_IN, FAR_IN if above else line)
    beside = shape.difference(tongue).buffer(EDGE_IN)
    shared = tongue.boundary.intersection(beside).intersection(side)
    return shared.buffer(SLIT_IN / 2, cap_style="flat", join_style="mitre")


def _made(line: BendLine, course: Course, before: int) -> BaseGeometry:
    """A bend line where the fold is gone round; all of it where it is not a fold's."""
    whole = LineString((line.start, line.end))
    number = line.bend - 1 - before
    if not 0 <= number < len(course.folds):
        return whole
    spans = [shapely.box(a, -FAR_IN, b, FAR_IN) for a, b in course.folds[number]]
    return whole.intersection(shapely.union_all(spans))


def _cut_lines(
    lines: Sequence[BendLine], shape: BaseGeometry, course: Course, before: int
) -> list[BendLine]:
    """Bend lines as far as there is metal."""
    found = []
    for line in lines:
        inside = _made(line, course, before).intersection(shape)
        for part in getattr(inside, "geoms", (inside,)):
            if isinstance(part, LineString) and part.length > BRIDGE_IN:
                (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
                found.append(BendLine((x0, y0), (x1, y1), line.angle_deg, line.toward, line.bend))
    return found


def _with_flap(
    shape: BaseGeometry, flap: Flap, slide: float, metal: Metal
) -> tuple[BaseGeometry, BendLine, str]:
    """The outline with a flap added, its bend line, and what had to be cut off it."""
    moved = affine_transform(flap.shape, [1, 0, 0, 1, 0, slide])
    a, b = ((x, y + slide) for x, y in flap.fold)
    out = _outward(a, b, moved)
    radius = metal.radius_in + (metal.thickness_in if flap.toward is Toward.FINISH else 0.0)
    setback = setback_in(flap.angle_deg, radius_in=radius)
    allowance = bend_allowance_in(
        flap.angle_deg, radius_in=metal.radius_in, thickness_in=metal.thickness_in,
        k_factor=metal.k_factor,
    )  # fmt: skip
    far = allowance - 2 * setback
    body = affine_transform(moved, [1, 0, 0, 1, far * out[0], far * out[1]])
    bridge = Polygon(
        [
            _beside(p, out, s)
            for p, s in (
                (a, -BRIDGE_IN),
                (b, -BRIDGE_IN),
                (b, far + BRIDGE_IN),
                (a, far + BRIDGE_IN),
            )
        ]
    )
    room = shape.difference(bridge.buffer(BRIDGE_IN))
    lost = body.intersection(room).area
    note = ""
    if lost > LEAST_AREA_IN2 + BRIDGE_IN * body.length:
        body = body.difference(room.buffer(BRIDGE_IN))
        note = (
            f"The part that turns onto {flap.name} would need {lost:.1f} sq in of metal that lies "
            "elsewhere on the flat: it is cut back there, cover the place with a piece of its own"
        )
    line = allowance / 2 - setback
    mark = BendLine(_beside(a, out, line), _beside(b, out, line), flap.angle_deg, flap.toward, 0)
    return shapely.union_all([shape, _touching(body, bridge), bridge]), mark, note


def _touching(body: BaseGeometry, bridge: Polygon) -> BaseGeometry:
    """The part of a flap that hangs on its bend."""
    parts = [p for p in getattr(body, "geoms", [body]) if p.intersects(bridge)]
    return max(parts, key=lambda p: p.area) if parts else bridge


def _outward(a: tuple[float, float], b: tuple[float, float], body: Polygon) -> tuple[float, float]:
    wide = math.dist(a, b)
    out = (b[1] - a[1]) / wide, -(b[0] - a[0]) / wide
    c = body.centroid
    return out if out[0] * (c.x - a[0]) + out[1] * (c.y - a[1]) > 0 else (-out[0], -out[1])


def _beside(p: tuple[float, float], out: tuple[float, float], far: float) -> tuple[float, float]:
    return p[0] + far * out[0], p[1] + far * out[1]
