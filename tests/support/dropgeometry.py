"""Plane and space geometry of the drop follower: plain numbers, nothing shared with the program."""

from __future__ import annotations

import math
from dataclasses import dataclass

Point = tuple[float, float]
Space = tuple[float, float, float]
Span = tuple[float, float]

NEAR = 1e-6
"""Places closer than this are the same place. [in]"""
NUDGE = 1e-5
"""How far inside an edge to look when asking what lies along it. [in]"""


def dot(a: Space, b: Space) -> float:
    """Scalar product of two vectors."""
    return sum(x * y for x, y in zip(a, b, strict=True))


def cross(a: Space, b: Space) -> Space:
    """Vector product of two vectors."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


@dataclass(frozen=True)
class Plane:
    """The plane of a face: origin, to the right, up the face and outward."""

    origin: Space
    right: Space
    up: Space
    normal: Space

    @staticmethod
    def of(origin: Space, facing_deg: float, tilt_deg: float) -> Plane:
        """The plane through an origin by the bearing of its normal and its tilt."""
        b, t = math.radians(facing_deg), math.radians(tilt_deg)
        normal = (math.sin(b) * math.sin(t), math.cos(b) * math.sin(t), math.cos(t))
        up = (-math.sin(b) * math.cos(t), -math.cos(b) * math.cos(t), math.sin(t))
        return Plane(origin, cross(up, normal), up, normal)

    def space(self, place: Point) -> Space:
        """A place on the plane as a point in space. [in]"""
        u, v = place
        x, y, z = (
            o + u * r + v * w for o, r, w in zip(self.origin, self.right, self.up, strict=True)
        )
        return x, y, z

    def flat(self, point: Space) -> tuple[float, float, float]:
        """A point in space as u, v and its height over the plane. [in]"""
        x, y, z = (p - o for p, o in zip(point, self.origin, strict=True))
        away = (x, y, z)
        return dot(away, self.right), dot(away, self.up), dot(away, self.normal)


def spans(corners: list[Point], at: Point, along: Point) -> list[Span]:
    """Stretches of a line through a place that lie in a polygon, as distances from the place.

    ``along`` is the line's direction (a unit vector).  A line along an edge counts as just to
    one side of it. [in]
    """
    moved = []
    for x, y in corners:
        dx, dy = x - at[0], y - at[1]
        moved.append((along[1] * dx - along[0] * dy, along[0] * dx + along[1] * dy))
    met = []
    for (x0, y0), (x1, y1) in zip(moved, moved[1:] + moved[:1], strict=True):
        if (x0 <= 0.0) != (x1 <= 0.0):
            met.append(y0 + (y1 - y0) * (0.0 - x0) / (x1 - x0))
    met.sort()
    return list(zip(met[::2], met[1::2], strict=True))


def merged(parts: list[Span]) -> list[Span]:
    """Stretches with those that touch or overlap joined, from low to high. [in]"""
    found: list[Span] = []
    for low, high in sorted(parts):
        if found and low <= found[-1][1] + NEAR:
            found[-1] = (found[-1][0], max(found[-1][1], high))
        else:
            found.append((low, high))
    return found


def column(corners: list[Point], u: float) -> list[Span]:
    """Stretches of the upright line at u that lie in a polygon, as v from low to high. [in]"""
    return spans(corners, (u, 0.0), (0.0, 1.0))


def inside(corners: list[Point], place: Point) -> bool:
    """Whether a place lies in a polygon (a place on its rim may be either)."""
    return any(low <= place[1] <= high for low, high in column(corners, place[0]))


def edges(corners: list[Point]) -> list[tuple[Point, Point]]:
    """The edges of a polygon, corner to corner."""
    return list(zip(corners, corners[1:] + corners[:1], strict=True))


def distance(place: Point, a: Point, b: Point) -> float:
    """Distance of a place from a straight edge. [in]"""
    t = share_along(place, a, b)
    return math.dist(place, (a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])))


def share_along(place: Point, a: Point, b: Point) -> float:
    """Where on an edge a place is nearest, from 0 at a to 1 at b. [-]"""
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((place[0] - a[0]) * dx + (place[1] - a[1]) * dy) / (dx * dx + dy * dy)
    return min(max(t, 0.0), 1.0)


def inward(corners: list[Point], a: Point, b: Point) -> Point:
    """The unit vector from an edge of a polygon into it."""
    length = math.dist(a, b)
    x, y = -(b[1] - a[1]) / length, (b[0] - a[0]) / length
    for share in (0.37, 0.61):
        middle = (a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1]))
        if inside(corners, (middle[0] + NUDGE * x, middle[1] + NUDGE * y)):
            return x, y
    return -x, -y
