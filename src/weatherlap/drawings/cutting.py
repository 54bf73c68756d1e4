"""Cutting: an upright plane through the corner, and the strips and bands that it meets."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Face
from weatherlap.drawings.svg import Point
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Vector, dot, minus

MEET_IN = 2 * TOUCH_IN
_STEEP = 1e-6


@dataclass(frozen=True, slots=True)
class CutPlane:
    """An upright plane: seen with the outside of its first face on the right.

    ``across`` is the level direction that runs to the right on the drawing, ``into`` the one that
    runs into the drawing.
    """

    origin: Vector
    across: Vector
    into: Vector

    def flat(self, point: Vector) -> Point:
        """Where a point stands on the drawing: out to the right and up. [in]"""
        d = minus(point, self.origin)
        return dot(d, self.across), point[2]

    def depth_in(self, point: Vector) -> float:
        """How far behind the plane a point lies. [in]"""
        return dot(minus(point, self.origin), self.into)


@dataclass(frozen=True, slots=True)
class Band:
    """A piece where the plane cuts it: from ``start`` to ``end`` along its strip. [in]"""

    piece: int
    panel: int
    start: float
    end: float


@dataclass(frozen=True, slots=True)
class Strip:
    """A face where the plane cuts it, from its lower end to its upper one. [in]

    ``bands`` are innermost first.  ``start`` and ``end`` are on the drawing, ``on_start`` and
    ``on_end`` the same two places in the face's own plane; ``normal`` points outward on the
    drawing.
    """

    face: int
    start: Point
    end: Point
    on_start: Point
    on_end: Point
    length_in: float
    normal: Point
    bands: tuple[Band, ...]

    @property
    def along(self) -> Point:
        """The unit vector from its start to its end, on the drawing."""
        return (
            (self.end[0] - self.start[0]) / self.length_in,
            (self.end[1] - self.start[1]) / self.length_in,
        )

    def at(self, t: float) -> Point:
        """The place on the drawing at a distance from its start. [in]"""
        x, z = self.along
        return self.start[0] + t * x, self.start[1] + t * z

    def foot(self, place: Point) -> tuple[float, float]:
        """A place in the face's plane: how far along the strip, and how far off it. [in]"""
        du = (self.on_end[0] - self.on_start[0]) / self.length_in
        dv = (self.on_end[1] - self.on_start[1]) / self.length_in
        u, v = place[0] - self.on_start[0], place[1] - self.on_start[1]
        return u * du + v * dv, abs(u * dv - v * du)


@dataclass(frozen=True, slots=True)
class Joint:
    """Where the end of strip ``b`` meets strip ``a`` at ``a_at`` along it. [in]

    ``b_at`` is 0 or the length of ``b``; ``inside_a`` says that ``a`` goes on to both sides.
    """

    a: int
    a_at: float
    b: int
    b_at: float
    inside_a: bool


@dataclass(frozen=True, slots=True)
class GutterCut:
    """A gutter where the plane cuts it: the middle of its top, on the drawing. [in]"""

    piece: int
    at: Point
    width_in: float
    depth_in: float
    shape: str


@dataclass(frozen=True, slots=True)
class Cut:
    """All that a plane meets: strips that hang together, their joints, and gutters."""

    plane: CutPlane
    strips: tuple[Strip, ...]
    joints: tuple[Joint, ...]
    gutters: tuple[GutterCut, ...]


def plane_at(face: Face, at_in: float) -> CutPlane:
    """The plane that cuts a face along its steepest descent. [in]"""
    u, v = at_in, face.outline.bounds[1]
    angle = math.radians(face.facing_deg)
    across = (math.sin(angle), math.cos(angle), 0.0)
    return CutPlane(face.frame.to_space(u, v), across, face.frame.right)


def cut_at(corner: Corner, face: int, at_in: float) -> Cut:
    """What the plane through a face at ``at_in`` right of its origin meets.

    Only faces that hang together with the first one through folds, at the plane, are kept. [in]
    """
    plane = plane_at(corner.faces[face], at_in)
    strips = [s for f in corner.faces for s in _strips_of(corner, f, plane)]
    first = [i for i, s in enumerate(strips) if s.face == face]
    joints = _joints(strips)
    kept = _hanging_together(len(strips), joints, first)
    number = {old: new for new, old in enumerate(kept)}
    return Cut(
        plane,
        tuple(strips[i] for i in kept),
        tuple(
            Joint(number[j.a], j.a_at, number[j.b], j.b_at, j.inside_a)
            for j in joints
            if j.a in number
        ),
        tuple(_gutters(corner, plane)),
    )


def _line_on(face: Face, plane: CutPlane) -> LineString | None:
    """The plane's line in a face's own plane, long enough to cross the face."""
    a, b = dot(face.frame.right, plane.into), dot(face.frame.up, plane.into)
    size = math.hypot(a, b)
    if size < _STEEP:
        return None
    c = -plane.depth_in(face.frame.origin) / (size * size)
    foot = (a * c, b * c)
    u0, v0, u1, v1 = face.outline.bounds
    reach = math.hypot(u1 - u0, v1 - v0) + math.hypot(foot[0] - u0, foot[1] - v0) + 1.0
    along = (-b / size * reach, a / size * reach)
    return LineString(
        [(foot[0] - along[0], foot[1] - along[1]), (foot[0] + along[0], foot[1] + along[1])]
    )


def _stretches(shape: Polygon | BaseGeometry, line: LineString) -> list[tuple[Point, Point]]:
    common = line.intersection(shape)
    found = []
    for part in getattr(common, "geoms", [common]):
        if isinstance(part, LineString) and part.length > TOUCH_IN:
            (a, *_, b) = part.coords
            found.append(((a[0], a[1]), (b[0], b[1])))
    return found


def _strips_of(corner: Corner, face: Face, plane: CutPlane) -> list[Strip]:
    line = _line_on(face, plane)
    if line is None:
        return []
    panels = [corner.panels[p] for p in corner.panels_on[face.index]]
    cuts = [(p, _stretches(p.polygon, line)) for p in panels]
    return [
        strip
        for a, b in _stretches(face.outline, line)
        if (strip := _strip(corner, face, plane, a, b, [(p.piece, p.index, c) for p, c in cuts]))
    ]


def _strip(
    corner: Corner,
    face: Face,
    plane: CutPlane,
    a: Point,
    b: Point,
    cuts: list[tuple[int, int, list[tuple[Point, Point]]]],
) -> Strip | None:
    flat_a, flat_b = plane.flat(face.frame.to_space(*a)), plane.flat(face.frame.to_space(*b))
    if (flat_a[1], flat_a[0]) > (flat_b[1] + 1e-9, flat_b[0]):
        a, b, flat_a, flat_b = b, a, flat_b, flat_a
    long = math.hypot(flat_b[0] - flat_a[0], flat_b[1] - flat_a[1])
    x, z = (flat_b[0] - flat_a[0]) / long, (flat_b[1] - flat_a[1]) / long
    n = face.frame.normal
    out = (dot(n, plane.across), n[2])
    normal = (-z, x) if -z * out[0] + x * out[1] > 0 else (z, -x)
    bare = Strip(face.index, flat_a, flat_b, a, b, long, normal, ())
    bands = []
    for piece, panel, stretches in cuts:
        for p, q in stretches:
            t0, t1 = sorted((bare.foot(p)[0], bare.foot(q)[0]))
            t0, t1 = max(t0, 0.0), min(t1, long)
            if t1 - t0 > TOUCH_IN / 2:
                bands.append(Band(piece, panel, t0, t1))
    ordered = tuple(bands[i] for i in _order(corner, bands))
    return Strip(face.index, flat_a, flat_b, a, b, long, normal, ordered)


def _order(corner: Corner, bands: Sequence[Band]) -> list[int]:
    """Numbers of the bands, each after all that it lies outside of."""
    graph: TopologicalSorter[int] = TopologicalSorter()
    for i, a in enumerate(bands):
        graph.add(i)
        for j in range(i):
            b = bands[j]
            if min(a.end, b.end) - max(a.start, b.start) > _STEEP and a.piece != b.piece:
                if corner.outside(a.piece, b.piece):
                    graph.add(i, j)
                else:
                    graph.add(j, i)
    try:
        return list(graph.static_order())
    except CycleError:
        return list(range(len(bands)))


def _joints(strips: list[Strip]) -> list[Joint]:
    """Where an end of one strip lies on another; rim to rim is kept once."""
    found: list[Joint] = []
    seen: set[tuple[int, int]] = set()
    for b, strip in enumerate(strips):
        for b_at, place in ((0.0, strip.start), (strip.length_in, strip.end)):
            for a, other in enumerate(strips):
                if a == b or (b, a) in seen:
                    continue
                t, off = _foot_on(other, place)
                if off > MEET_IN or not -MEET_IN <= t <= other.length_in + MEET_IN:
                    continue
                inside = MEET_IN < t < other.length_in - MEET_IN
                if not inside:
                    seen.add((a, b))
                    t = 0.0 if t <= MEET_IN else other.length_in
                found.append(Joint(a, t, b, b_at, inside))
    return found


def _foot_on(strip: Strip, place: Point) -> tuple[float, float]:
    x, z = strip.along
    dx, dz = place[0] - strip.start[0], place[1] - strip.start[1]
    return dx * x + dz * z, abs(dx * z - dz * x)


def _hanging_together(count: int, joints: list[Joint], first: list[int]) -> list[int]:
    near: list[set[int]] = [set() for _ in range(count)]
    for joint in joints:
        near[joint.a].add(joint.b)
        near[joint.b].add(joint.a)
    reached, ready = set(first), list(first)
    while ready:
        for other in near[ready.pop()] - reached:
            reached.add(other)
            ready.append(other)
    return sorted(reached)


def _gutters(corner: Corner, plane: CutPlane) -> list[GutterCut]:
    found = []
    for piece in corner.pieces:
        if piece.gutter is None:
            continue
        g = piece.gutter
        a, b = plane.depth_in(g.start), plane.depth_in(g.end)
        if min(a, b) > TOUCH_IN or max(a, b) < -TOUCH_IN or abs(b - a) < TOUCH_IN:
            continue
        share = min(max(-a / (b - a), 0.0), 1.0)
        spot = tuple(p + share * (q - p) for p, q in zip(g.start, g.end, strict=True))
        at = plane.flat((spot[0], spot[1], spot[2]))
        found.append(GutterCut(piece.index, at, g.width_in, g.depth_in, g.shape))
    return found
