"""Falling: water at a free edge falls straight down to a gutter, a face below, or clear."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Face, Gutter
from weatherlap.shape.frames import Vector
from weatherlap.shape.patches import Box
from weatherlap.shape.tiles import Line
from weatherlap.water.hops import End, EndKind, Hop, IntoGutter, Tag
from weatherlap.water.landing import Leaving, arrive, at_each, stop
from weatherlap.water.lay import Lay
from weatherlap.water.tiling import LEAST, Span, at_least, cut, shared

RIM_IN = 1e-7
"""Places this far outside a rim still count as on it. [in]"""


@dataclass(frozen=True, slots=True)
class Fall:
    """A line of falling water in space: x, y and z along the leaving water's u. [in]"""

    x: Line
    y: Line
    z: Line

    def at(self, u: float) -> Vector:
        """The place that the water falls from. [in]"""
        return self.x.at(u), self.y.at(u), self.z.at(u)


def line_between(u0: float, w0: float, u1: float, w1: float) -> Line:
    """The line with value w0 at u0 and w1 at u1; flat where the two u are the same. [in]"""
    return Line(0.0, w0) if u1 - u0 < 1e-12 else Line.through((u0, w0), (u1, w1))


def fall_from(lay: Lay, leaving: Leaving) -> Fall:
    """The falling line of water that leaves a face along a line. [in]"""
    frame = lay.corner.faces[leaving.face].frame
    lo, hi = leaving.span
    a = frame.to_space(lo, leaving.line.at(lo))
    b = frame.to_space(hi, leaving.line.at(hi))
    x, y, z = (line_between(lo, a[i], hi, b[i]) for i in range(3))
    return Fall(x, y, z)


@dataclass(frozen=True, slots=True)
class Catcher:
    """What catches falling water over a span: a gutter (by piece) or a face."""

    span: Span
    height: Line
    gutter: int | None
    face: int | None


def fall(lay: Lay, leaving: Leaving, tags: tuple[Tag, ...] = ()) -> list[Hop]:
    """Rule 7: where water goes that falls free along a line."""
    return _fall_on(lay, leaving, fall_from(lay, leaving), tags, frozenset())


def _fall_on(
    lay: Lay, leaving: Leaving, falling: Fall, tags: tuple[Tag, ...], passed: frozenset[int]
) -> list[Hop]:
    part_fall = falling
    found = [
        c for c in _catchers(lay, leaving, falling) if c.gutter is None or c.gutter not in passed
    ]
    hops: list[Hop] = []
    for span in cut(leaving.span, [u for c in found for u in c.span]):
        part = leaving.narrowed(span)
        u = part.middle[0]
        here = [c for c in found if c.span[0] <= u <= c.span[1]]
        if not here:
            hops.append(stop(part, End(EndKind.CLEAR, None, leaving.face), tags))
            continue
        first = max(here, key=lambda c: (c.height.at(u), c.gutter is not None))
        if first.gutter is not None:
            more = (*tags, IntoGutter(first.gutter))
            lower = Fall(part_fall.x, part_fall.y, first.height)
            hops += _fall_on(lay, part, lower, more, passed | {first.gutter})
        else:
            assert first.face is not None
            hops += _onto_face(lay, part, falling, first, tags)
    return hops


def _catchers(lay: Lay, leaving: Leaving, falling: Fall) -> list[Catcher]:
    found = []
    a, b = falling.at(leaving.span[0]), falling.at(leaving.span[1])
    for piece, gutter in lay.corner.gutters:
        (x0, y0, _), (x1, y1, _) = gutter.start, gutter.end
        if _in_plan(a, b, (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)), gutter.width_in):
            found += _gutter_catch(piece, gutter, leaving.span, falling)
    for face, plan in lay.corner.looking_up:
        if face.index != leaving.face and _in_plan(a, b, plan, LEAST):
            found += _face_catch(face, leaving.span, falling)
    return found


def _in_plan(a: Vector, b: Vector, plan: Box, margin_in: float) -> bool:
    """Whether a line seen from above comes near a box there. [in]"""
    by = margin_in + LEAST
    return (
        min(a[0], b[0]) <= plan[2] + by
        and max(a[0], b[0]) >= plan[0] - by
        and min(a[1], b[1]) <= plan[3] + by
        and max(a[1], b[1]) >= plan[1] - by
    )


def _gutter_catch(piece: int, gutter: Gutter, span: Span, falling: Fall) -> list[Catcher]:
    """Where the fall comes within half the gutter's width of its line, between its two ends."""
    (x0, y0, z0), (x1, y1, z1) = gutter.start, gutter.end
    long = ((x1 - x0) ** 2 + (y1 - y0) ** 2) ** 0.5
    if long <= LEAST:
        return []
    ex, ey = (x1 - x0) / long, (y1 - y0) / long
    along = Line(
        falling.x.slope * ex + falling.y.slope * ey,
        (falling.x.rise - x0) * ex + (falling.y.rise - y0) * ey,
    )
    off = Line(
        falling.y.slope * ex - falling.x.slope * ey,
        (falling.y.rise - y0) * ex - (falling.x.rise - x0) * ey,
    )
    half = gutter.width_in / 2
    height = Line(along.slope * (z1 - z0) / long, z0 + along.rise * (z1 - z0) / long)
    rows = [
        (along.slope, along.rise + LEAST),
        (-along.slope, long - along.rise + LEAST),
        (off.slope, off.rise + half + 1e-9),
        (-off.slope, half - off.rise + 1e-9),
        (falling.z.slope - height.slope, falling.z.rise - height.rise + LEAST),
    ]
    part: Span | None = span
    for slope, rise in rows:
        part = at_least(slope, rise, part) if part else None
    return [Catcher(part, height, piece, None)] if part else []


def _face_catch(face: Face, span: Span, falling: Fall) -> list[Catcher]:
    """Where the fall meets an upward-looking face below it."""
    n, o = face.frame.normal, face.frame.origin
    height = Line(
        -(n[0] * falling.x.slope + n[1] * falling.y.slope) / n[2],
        o[2] - (n[0] * (falling.x.rise - o[0]) + n[1] * (falling.y.rise - o[1])) / n[2],
    )
    below = at_least(falling.z.slope - height.slope, falling.z.rise - height.rise - LEAST, span)
    if below is None:
        return []
    across, up = _on_face(face, falling, height)
    return [Catcher(part, height, None, face.index) for part in _inside(face, below, across, up)]


def _on_face(face: Face, falling: Fall, height: Line) -> tuple[Line, Line]:
    """Where on the face the water lands, as lines over the leaving water's u. [in]"""
    lines = []
    for axis in (face.frame.right, face.frame.up):
        slope = falling.x.slope * axis[0] + falling.y.slope * axis[1] + height.slope * axis[2]
        o = face.frame.origin
        rise = (
            (falling.x.rise - o[0]) * axis[0]
            + (falling.y.rise - o[1]) * axis[1]
            + (height.rise - o[2]) * axis[2]
        )
        lines.append(Line(slope, rise))
    return lines[0], lines[1]


@lru_cache(maxsize=512)
def _wide(outline: Polygon) -> BaseGeometry:
    """An outline whose rim counts. [in]"""
    return outline.buffer(RIM_IN, join_style="mitre")


def _inside(face: Face, span: Span, across: Line, up: Line) -> list[Span]:
    """The parts of a span whose landing places lie on the face (its rim counts)."""
    a, b = (across.at(span[0]), up.at(span[0])), (across.at(span[1]), up.at(span[1]))
    wide = _wide(face.outline)
    if abs(a[0] - b[0]) + abs(a[1] - b[1]) < 1e-9:
        return [span] if wide.covers(Point(a)) else []
    whole = LineString([a, b])
    common = whole.intersection(wide)
    found = []
    for part in getattr(common, "geoms", [common]):
        if isinstance(part, LineString) and part.length > 0:
            s0 = whole.project(shapely.get_point(part, 0)) / whole.length
            s1 = whole.project(shapely.get_point(part, -1)) / whole.length
            lo, hi = sorted((s0, s1))
            width = span[1] - span[0]
            found.append((span[0] + lo * width, span[0] + hi * width))
    return found


def _onto_face(
    lay: Lay, leaving: Leaving, falling: Fall, catcher: Catcher, tags: tuple[Tag, ...]
) -> list[Hop]:
    """Water that falls on a face lands on the outermost panel there, like rain."""
    assert catcher.face is not None
    across, up = _on_face(lay.corner.faces[catcher.face], falling, catcher.height)
    places = spans_on(lay, catcher.face, leaving.span, across, up)
    spans = cut(leaving.span, [u for s, _ in places for u in s])
    hops: list[Hop] = []
    for span, here in zip(spans, at_each(places, spans), strict=True):
        part = leaving.narrowed(span)
        if here:
            tile = lay.tiling.outermost(here)
            hops += arrive(lay, part, tile, across=across, up=up, tags=tags)
        else:
            hops.append(stop(part, End(EndKind.CAVITY, None, catcher.face), tags))
    return hops


def spans_on(lay: Lay, face: int, span: Span, across: Line, up: Line) -> list[tuple[Span, int]]:
    """The tiles of a face that a line of places runs over, each with its part of the span."""
    us = sorted((across.at(span[0]), across.at(span[1])))
    vs = sorted((up.at(span[0]), up.at(span[1])))
    found = []
    for t in lay.tiling.near(face, (us[0], vs[0], us[1], vs[1])):
        tile = lay.tiling.tiles[t].tile
        part: Span | None = shared(span, span)
        for slope, rise in (
            (across.slope, across.rise - tile.left + RIM_IN),
            (-across.slope, tile.right - across.rise + RIM_IN),
            (
                up.slope - tile.bottom.slope * across.slope,
                up.rise - tile.bottom.slope * across.rise - tile.bottom.rise + RIM_IN,
            ),
            (
                tile.top.slope * across.slope - up.slope,
                tile.top.slope * across.rise + tile.top.rise - up.rise + RIM_IN,
            ),
        ):
            part = at_least(slope, rise, part) if part else None
        if part:
            found.append((part, t))
    return found
