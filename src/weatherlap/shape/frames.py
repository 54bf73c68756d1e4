"""Frames: a flat coordinate system laid somewhere in space."""

from __future__ import annotations

import math
from dataclasses import dataclass

Vector = tuple[float, float, float]
Place = tuple[float, float]


def dot(a: Vector, b: Vector) -> float:
    """Scalar product of two vectors. [units multiplied]"""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product of two vectors. [units multiplied]"""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def minus(a: Vector, b: Vector) -> Vector:
    """Difference of two vectors. [same unit]"""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


@dataclass(frozen=True, slots=True)
class Frame:
    """An origin and three unit vectors: ``right`` (u), ``up`` (v) and ``normal`` (n)."""

    origin: Vector
    right: Vector
    up: Vector
    normal: Vector

    def to_space(self, u: float, v: float) -> Vector:
        """The point in space at (u, v) in the plane. [in]"""
        o, r, p = self.origin, self.right, self.up
        return (
            o[0] + u * r[0] + v * p[0],
            o[1] + u * r[1] + v * p[1],
            o[2] + u * r[2] + v * p[2],
        )

    def to_plane(self, point: Vector) -> Place:
        """The (u, v) of a point's foot on the plane. [in]"""
        d = minus(point, self.origin)
        return dot(d, self.right), dot(d, self.up)

    def height_over(self, point: Vector) -> float:
        """Distance of a point in front of the plane. [in]"""
        return dot(minus(point, self.origin), self.normal)


def _clean(x: float) -> float:
    return 0.0 if abs(x) < 1e-15 else x


def frame_of(origin: Vector, facing_deg: float, tilt_deg: float) -> Frame:
    """The frame of a plane by the way it faces and its tilt from level.

    Parameters
    ----------
    origin : Vector
        The frame's origin. [in]
    facing_deg : float
        Compass bearing of the horizontal part of the outward normal. [deg]
    tilt_deg : float
        Tilt from level: 0 looks up, 90 a wall, 180 looks down. [deg]
    """
    b, t = math.radians(facing_deg), math.radians(tilt_deg)
    h = (math.sin(b), math.cos(b))
    st, ct = _clean(math.sin(t)), _clean(math.cos(t))
    normal = (_clean(h[0] * st), _clean(h[1] * st), ct)
    up = (_clean(-h[0] * ct), _clean(-h[1] * ct), st)
    right = cross(up, normal)
    return Frame(origin, (_clean(right[0]), _clean(right[1]), _clean(right[2])), up, normal)
