"""Placing: labels in columns and ringed letters in free space, without collisions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from weatherlap.drawings.svg import Point

Box = tuple[float, float, float, float]
_DIRECTIONS = 16
_RINGS_OUT = 9


def spread(wanted: Sequence[float], sizes: Sequence[float], low: float, high: float) -> list[float]:
    """Centres near the wanted ones, in their order, that do not overlap. [drawing units]

    They stay between ``low`` and ``high`` if they fit there, else they run on below ``high``.
    """
    order = sorted(range(len(wanted)), key=lambda i: (wanted[i], i))
    places = [0.0] * len(wanted)
    edge = low
    for i in order:
        places[i] = max(wanted[i], edge + sizes[i] / 2)
        edge = places[i] + sizes[i] / 2
    edge = max(high, low + sum(sizes))
    for i in reversed(order):
        places[i] = min(places[i], edge - sizes[i] / 2)
        edge = places[i] - sizes[i] / 2
    return places


def shared_area(a: Box, b: Box) -> float:
    """The area that two boxes share. [drawing units squared]"""
    wide = min(a[2], b[2]) - max(a[0], b[0])
    high = min(a[3], b[3]) - max(a[1], b[1])
    return wide * high if wide > 0 and high > 0 else 0.0


def grown(box: Box, by: float) -> Box:
    """A box with its sides moved out. [drawing units]"""
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


@dataclass(slots=True)
class Placer:
    """Finds free places inside a frame; what is taken stays taken."""

    frame: Box
    taken: list[Box] = field(default_factory=list)
    soft: list[Box] = field(default_factory=list)
    rings: list[tuple[Point, float]] = field(default_factory=list)

    def take(self, box: Box) -> None:
        """Keep a box free of everything that is placed later."""
        self.taken.append(box)

    def avoid(self, box: Box) -> None:
        """Rather stay clear of a box."""
        self.soft.append(box)

    def free(self, box: Box) -> bool:
        """Whether nothing that is taken reaches into a box inside the frame."""
        x0, y0, x1, y1 = box
        left, top, right, bottom = self.frame
        if x0 < left or y0 < top or x1 > right or y1 > bottom:
            return False
        return not any(a < x1 and x0 < c and b < y1 and y0 < d for a, b, c, d in self.taken)

    def ring(self, place: Point, radius: float, *, least: float = 0.0) -> Point | None:
        """The centre of a ring near a place, clear of all other rings, or None. [drawing units]"""
        best = self._near(place, radius, least) or self._anywhere(place, radius)
        if best is not None:
            self.rings.append((best, radius))
            x, y = best
            self.take((x - radius, y - radius, x + radius, y + radius))
        return best

    def _near(self, place: Point, radius: float, least: float) -> Point | None:
        """The best place on circles round a place, the nearest circles first."""
        best: Point | None = None
        best_cost = math.inf
        for step in range(_RINGS_OUT * 4):
            away = least + step * 0.8 * radius
            if away * 0.35 >= best_cost or (step >= _RINGS_OUT and best is not None):
                break
            for k in range(_DIRECTIONS if away else 1):
                angle = 2 * math.pi * (k + 0.5) / _DIRECTIONS
                at = (place[0] + away * math.cos(angle), place[1] - away * math.sin(angle))
                cost = self._ring_cost(at, radius) + away * 0.35
                if cost < best_cost:
                    best, best_cost = at, cost
        return best

    def _anywhere(self, place: Point, radius: float) -> Point | None:
        """The nearest free place on a grid over the whole frame."""
        x0, y0, x1, y1 = self.frame
        columns = int((x1 - x0 - 2 * radius) / radius) + 1
        rows = int((y1 - y0 - 2 * radius) / radius) + 1
        grid = [
            (x0 + radius * (i + 1), y0 + radius * (j + 1))
            for i in range(columns)
            for j in range(rows)
        ]
        free = [at for at in grid if self._ring_cost(at, radius) < math.inf]
        return min(free, key=lambda at: math.dist(at, place), default=None)

    def _ring_cost(self, at: Point, radius: float) -> float:
        x, y = at
        for (rx, ry), other in self.rings:
            if math.hypot(x - rx, y - ry) < radius + other + 2.5:
                return math.inf
        box = (x - radius, y - radius, x + radius, y + radius)
        outside = 4 * radius * radius - shared_area(box, self.frame)
        if outside > 1e-6:
            return math.inf
        hard = sum(shared_area(box, other) for other in self.taken)
        soft = sum(shared_area(box, other) for other in self.soft)
        return 2.0 * hard + 0.12 * soft
