"""Exact contact of a line that swings about the hinge with lines that stay.

Lines are runs of points. A swing touches where a moving corner, on its circle, meets a line that
stays, or where a corner that stays meets a moving line; nothing else can be first.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

Point = tuple[float, float]
Walls = tuple[tuple[float, float, float], ...]

NEAR = 1e-7
TURN = 2 * math.pi


def cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Whether segments ab and cd cross at a point inside both."""
    d1, d2 = _side(a, b, c), _side(a, b, d)
    d3, d4 = _side(c, d, a), _side(c, d, b)
    return d1 * d2 < 0 and d3 * d4 < 0 and min(abs(d1), abs(d2), abs(d3), abs(d4)) > NEAR


def _side(a: Point, b: Point, p: Point) -> float:
    return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0])


def lines_cross(first: Sequence[Point], second: Sequence[Point]) -> bool:
    """Whether two runs of points cross."""
    return any(cross(a, b, c, d) for a, b in pairwise(first) for c, d in pairwise(second))


def walls_of(outline: Sequence[Point]) -> Walls:
    """The sides of a convex outline, wound counter-clockwise: a, b, c with a x + b y + c inward."""
    walls = []
    for p, q in zip(outline, (*outline[1:], outline[0]), strict=True):
        far = math.hypot(q[0] - p[0], q[1] - p[1])
        a, b = (p[1] - q[1]) / far, (q[0] - p[0]) / far
        walls.append((a, b, -a * p[0] - b * p[1]))
    return tuple(walls)


def enters(line: Sequence[Point], walls: Walls) -> bool:
    """Whether a run of points has any part inside a convex outline; touching is not inside."""
    for a, b, c in walls:
        if max(a * x + b * y for x, y in line) + c <= NEAR:
            return False
    return any(_segment_enters(p, q, walls) for p, q in pairwise(line))


def _segment_enters(p: Point, q: Point, walls: Walls) -> bool:
    """Clip the segment by each side of the outline; something must be left, off the sides."""
    low, high = 0.0, 1.0
    for a, b, c in walls:
        at_p, at_q = a * p[0] + b * p[1] + c, a * q[0] + b * q[1] + c
        if at_p <= NEAR and at_q <= NEAR:
            return False
        if at_p * at_q < 0 and abs(at_p - at_q) > NEAR:
            cut = at_p / (at_p - at_q)
            if at_p < 0:
                low = max(low, cut)
            else:
                high = min(high, cut)
    return high - low > NEAR


def first_contact(
    moving: Sequence[Point], still: Sequence[Point], *, swing_deg: float
) -> float | None:
    """Angle at which a swing of ``moving`` about the hinge first meets ``still``. [deg]

    Both are runs of points; a contact at the very start or end of the swing does not count.
    None where the swing is free.
    """
    swing = math.radians(swing_deg)
    turns = [
        *_contacts(moving, still, swing, sign=1.0),
        *_contacts(still, moving, swing, sign=-1.0),
    ]
    return math.degrees(min(turns)) if turns else None


def _contacts(
    corners: Sequence[Point], line: Sequence[Point], swing: float, *, sign: float
) -> list[float]:
    """Turns at which a corner's circle meets a line; ``sign`` says which of the two moves."""
    found: list[float] = []
    for corner in corners:
        radius = math.hypot(*corner)
        if radius < NEAR:
            continue
        start = math.atan2(corner[1], corner[0])
        for a, b in pairwise(line):
            for x, y in _on_circle(a, b, radius):
                turn = sign * (math.atan2(y, x) - start) % TURN
                if NEAR < turn < swing - NEAR:
                    found.append(turn)
    return found


def _on_circle(a: Point, b: Point, radius: float) -> list[Point]:
    """Points of the segment ab, its ends included, at a distance from the hinge."""
    square = radius * radius
    if max(a[0] * a[0] + a[1] * a[1], b[0] * b[0] + b[1] * b[1]) < square - NEAR:
        return []
    dx, dy = b[0] - a[0], b[1] - a[1]
    along = dx * dx + dy * dy
    if along < NEAR:
        return []
    middle = -(a[0] * dx + a[1] * dy) / along
    x, y = a[0] + middle * dx, a[1] + middle * dy
    rest = (square - x * x - y * y) / along
    if rest < 0:
        return []
    half = math.sqrt(rest)
    return [
        (a[0] + t * dx, a[1] + t * dy)
        for t in (middle - half, middle + half)
        if -NEAR <= t <= 1 + NEAR
    ]
