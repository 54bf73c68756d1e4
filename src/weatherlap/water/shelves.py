"""Shelves: where a roof, a ledge or a level top runs up against a wall that rises behind it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Face
from weatherlap.shape.folds import Contact
from weatherlap.shape.frames import Place
from weatherlap.water.kinds import ROOF_UP_TO_DEG, is_wall

PROBE_IN = 0.25
LEVEL_LINE_IN = 1 / 8
CONTACT_IN = 1 / 16
FARTHEST_IN = 60.0


@dataclass(frozen=True, slots=True)
class Shelf:
    """A fold at the foot of a wall; both lines run from its high end to its low end. [in]

    ``slopes`` tells a roof's side against a wall from its head against one.
    """

    low: int
    wall: int
    on_low: tuple[Place, Place]
    on_wall: tuple[Place, Place]
    slopes: bool

    @property
    def low_line(self) -> LineString:
        """The fold in the plane of the lower face."""
        return LineString(self.on_low)

    @property
    def wall_line(self) -> LineString:
        """The fold in the plane of the wall."""
        return LineString(self.on_wall)

    @property
    def length_in(self) -> float:
        """Length of the fold. [in]"""
        return math.dist(*self.on_wall)


def up_normal(line: tuple[Place, Place]) -> Place:
    """The unit vector across a line that points up the face. [-]"""
    (a, b), (c, d) = line
    long = math.dist((a, b), (c, d))
    across = (-(d - b) / long, (c - a) / long)
    return across if across[1] >= 0 else (-across[0], -across[1])


def offset(line: tuple[Place, Place], *, by_in: float) -> tuple[Place, Place]:
    """A line moved across itself, up the face. [in]"""
    u, v = up_normal(line)
    (a, b), (c, d) = line
    return (a + u * by_in, b + v * by_in), (c + u * by_in, d + v * by_in)


def strip_above(line: tuple[Place, Place], *, reach_in: float) -> Polygon:
    """The strip of a face that lies above a line. [in]"""
    (p, q), (r, s) = line, offset(line, by_in=reach_in)
    return Polygon([p, q, s, r])


def reach_in(shape: BaseGeometry, *, line: tuple[Place, Place]) -> float:
    """How far a shape that touches a line reaches from it, beside the part that it touches. [in]

    A flashing's ends may stand square to the line or plumb: both strips beside the touch count.
    """
    start, end = contact_along(shape, line=line)
    if end <= start:
        return 0.0
    way = LineString(line)
    (a, b), (c, d) = [way.interpolate(at).coords[0][:2] for at in (start, end)]
    square = [strip_above(((a, b), (c, d)), reach_in=far) for far in (FARTHEST_IN, -FARTHEST_IN)]
    far = (max(b, d) + FARTHEST_IN, min(b, d) - FARTHEST_IN)
    plumb = [Polygon([(a, b), (c, d), (c, v), (a, v)]) for v in far] if a != c else []
    points = shapely.get_coordinates(shapely.intersection(shape, [*square, *plumb]))
    return float(shapely.distance(way, shapely.points(points)).max(initial=0.0))


def contact_along(shape: BaseGeometry, *, line: tuple[Place, Place]) -> tuple[float, float]:
    """From where to where a shape touches a line, from its first end. [in]"""
    touch = shape.buffer(CONTACT_IN, join_style="mitre").intersection(LineString(line))
    if touch.is_empty:
        return 0.0, 0.0
    ways = [math.dist(line[0], p) for p in points_of(touch)]
    start, end = min(ways), max(ways)
    long = math.dist(*line)
    return (
        start + CONTACT_IN if start > CONTACT_IN else 0.0,
        end - CONTACT_IN if end < long - CONTACT_IN else long,
    )


def points_of(shape: BaseGeometry) -> list[Place]:
    """The corners of a shape. [in]"""
    return [(float(u), float(v)) for u, v in shapely.get_coordinates(shape)]


def _rises_behind(wall: Face, line: tuple[Place, Place]) -> bool:
    start, end = offset(line, by_in=PROBE_IN)
    return bool(wall.outline.contains(Point((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)))


def _shelf(corner: Corner, contact: Contact) -> Shelf | None:
    low, wall = corner.faces[contact.here], corner.faces[contact.there]
    if low.tilt_deg > ROOF_UP_TO_DEG or not is_wall(wall):
        return None
    on_low, on_wall = (contact.start, contact.end), (contact.there_start, contact.there_end)
    if not _rises_behind(wall, on_wall):
        return None
    high, deep = (low.frame.to_space(*p)[2] for p in on_low)
    if deep > high:
        on_low, on_wall = on_low[::-1], on_wall[::-1]
    return Shelf(low.index, wall.index, on_low, on_wall, abs(high - deep) > LEVEL_LINE_IN)


def shelves(corner: Corner) -> tuple[Shelf, ...]:
    """Every shelf of the corner."""
    found = (_shelf(corner, contact) for contact in corner.contacts)
    return tuple(shelf for shelf in found if shelf is not None)
