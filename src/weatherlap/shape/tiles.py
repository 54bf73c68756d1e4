"""Tiles: a polygon cut into trapezoids by vertical lines through its corners."""

from __future__ import annotations

import itertools
from collections.abc import Iterable
from dataclasses import dataclass

from shapely import Polygon

from weatherlap.shape.patches import Box

NEAR = 1e-9


@dataclass(frozen=True, slots=True)
class Line:
    """v = slope * u + rise in a face's plane. [in]"""

    slope: float
    rise: float

    def at(self, u: float) -> float:
        """Height of the line at u. [in]"""
        return self.slope * u + self.rise

    @classmethod
    def through(cls, a: tuple[float, float], b: tuple[float, float]) -> Line:
        """The line through two points with different u. [in]"""
        if a[1] == b[1]:
            return cls(0.0, a[1])
        slope = (b[1] - a[1]) / (b[0] - a[0])
        return cls(slope, a[1] - slope * a[0])


@dataclass(frozen=True, slots=True)
class Tile:
    """A trapezoid between u ``left`` and ``right``, bounded by two lines. [in]"""

    left: float
    right: float
    bottom: Line
    top: Line

    @property
    def box(self) -> Box:
        """The box round it: (left, bottom, right, top). [in]"""
        b0, b1 = self.bottom.at(self.left), self.bottom.at(self.right)
        t0, t1 = self.top.at(self.left), self.top.at(self.right)
        return self.left, min(b0, b1), self.right, max(t0, t1)

    def holds(self, u: float, v: float, *, slack: float = NEAR) -> bool:
        """Whether (u, v) lies in the closed tile, give or take ``slack``. [in]"""
        return (
            self.left - slack <= u <= self.right + slack
            and self.bottom.at(u) - slack <= v <= self.top.at(u) + slack
        )


def _edges(rings: Iterable[Iterable[tuple[float, float]]]) -> list[tuple[float, float, Line]]:
    found = []
    for ring in rings:
        points = list(ring)
        for a, b in itertools.pairwise(points):
            if abs(a[0] - b[0]) > NEAR:
                lo, hi = (a, b) if a[0] < b[0] else (b, a)
                found.append((lo[0], hi[0], Line.through(lo, hi)))
    return found


def tiles_of(polygon: Polygon, box: Box | None) -> list[Tile]:
    """The tiles of a polygon (and its box, if it is one), from left to right and bottom to top.

    A box gives one tile; the tiles do not overlap and cover the polygon but its holes.
    """
    if box is not None:
        return [Tile(box[0], box[2], Line(0.0, box[1]), Line(0.0, box[3]))]
    rings = [polygon.exterior.coords, *(hole.coords for hole in polygon.interiors)]
    edges = _edges(rings)
    cuts = sorted({u for lo, hi, _ in edges for u in (lo, hi)})
    tiles: list[Tile] = []
    for left, right in itertools.pairwise(cuts):
        if right - left <= NEAR:
            continue
        mid = 0.5 * (left + right)
        lines = sorted((e[2] for e in edges if e[0] < mid < e[1]), key=lambda k: k.at(mid))
        pairs = zip(lines[::2], lines[1::2], strict=False)
        tiles += [Tile(left, right, low, high) for low, high in pairs]
    return _joined(tiles)


def _joined(tiles: list[Tile]) -> list[Tile]:
    """Neighbours that share both lines become one tile again."""
    done: list[Tile] = []
    open_tiles: dict[tuple[Line, Line], int] = {}
    for tile in tiles:
        key = (tile.bottom, tile.top)
        at = open_tiles.get(key)
        if at is not None and abs(done[at].right - tile.left) <= NEAR:
            done[at] = Tile(done[at].left, tile.right, tile.bottom, tile.top)
        else:
            open_tiles[key] = len(done)
            done.append(tile)
    return done
