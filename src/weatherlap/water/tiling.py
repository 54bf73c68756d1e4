"""The corner cut into tiles, each knowing the tiles that lie outside and inside it."""

from __future__ import annotations

import itertools
from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import shapely
from shapely import Polygon, STRtree

from weatherlap.building.corner import Corner
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.patches import Box, box_of
from weatherlap.shape.tiles import Line, Tile, tiles_of

LEAST = TOUCH_IN - 1e-9
Span = tuple[float, float]
Asked = tuple[int, Box]
"""A place that was looked at: a box on a face. [in]"""


@dataclass(slots=True)
class WetTile:
    """A tile of a panel and its neighbours (those that touch or overlap it)."""

    index: int
    panel: int
    piece: int
    face: int
    tile: Tile
    over: list[int] = field(default_factory=list)
    under: list[int] = field(default_factory=list)


@dataclass(slots=True)
class Tiling:
    """All tiles of the pieces that hold water, with an index for each face.

    ``asked`` are the places that were looked at.
    """

    corner: Corner
    tiles: list[WetTile]
    on_face: list[list[int]]
    trees: list[STRtree | None]
    ground: list[list[Tile]]
    asked: list[Asked] = field(default_factory=list)

    def near(self, face: int, box: Box) -> list[int]:
        """Tiles of a face whose extents come within 1/16 in of a box. [in]"""
        self.asked.append((face, box))
        tree = self.trees[face]
        if tree is None:
            return []
        return [self.on_face[face][i] for i in tree.query(shapely.box(*box))]

    def outermost(self, tiles: list[int]) -> int:
        """The tile among overlapping ones that lies outside all others."""
        best = tiles[0]
        for t in tiles[1:]:
            if self.corner.outside(self.tiles[t].piece, self.tiles[best].piece):
                best = t
        return best

    def innermost(self, tiles: list[int]) -> int:
        """The tile among overlapping ones that lies inside all others."""
        best = tiles[0]
        for t in tiles[1:]:
            if self.corner.outside(self.tiles[best].piece, self.tiles[t].piece):
                best = t
        return best


def _boxes(tiles: list[Tile]) -> np.ndarray:
    return np.array([t.box for t in tiles], dtype=float).reshape(-1, 4)


def tile_corner(corner: Corner) -> Tiling:
    """Cut every panel that holds water into tiles and find their neighbours."""
    tiles: list[WetTile] = []
    on_face: list[list[int]] = []
    trees: list[STRtree | None] = []
    for face in corner.faces:
        mine: list[int] = []
        for p in corner.panels_on[face.index]:
            panel = corner.panels[p]
            if corner.pieces[panel.piece].holds:
                for tile in tiles_of(panel.polygon, panel.box):
                    mine.append(len(tiles))
                    tiles.append(WetTile(len(tiles), p, panel.piece, face.index, tile))
        on_face.append(mine)
        trees.append(_link(corner, tiles, mine))
    ground = [_ground(f.outline) for f in corner.faces]
    return Tiling(corner, tiles, on_face, trees, ground)


@lru_cache(maxsize=256)
def _ground(outline: Polygon) -> list[Tile]:
    """The tiles of a face's outline; faces are the same while the pieces on them change."""
    return tiles_of(outline, box_of(outline))


def _link(corner: Corner, tiles: list[WetTile], mine: list[int]) -> STRtree | None:
    """Tell the tiles of one face who their neighbours are; returns the face's index."""
    if not mine:
        return None
    boxes = _boxes([tiles[i].tile for i in mine])
    wide = boxes + np.array([-TOUCH_IN, -TOUCH_IN, TOUCH_IN, TOUCH_IN])
    tree = STRtree(shapely.box(*wide.T))
    left, right = tree.query(shapely.box(*boxes.T))
    apart = left != right
    for i, j in zip(left[apart].tolist(), right[apart].tolist(), strict=True):
        a, b = tiles[mine[i]], tiles[mine[j]]
        if a.piece != b.piece:
            (a.over if corner.outside(b.piece, a.piece) else a.under).append(b.index)
    return tree


def at_least(slope: float, rise: float, span: Span) -> Span | None:
    """The part of a span where slope * u + rise >= 0, or None. [in]"""
    lo, hi = span
    if abs(slope) < 1e-12:
        return span if slope * lo + rise >= 0 else None
    root = -rise / slope
    if slope > 0:
        lo = max(lo, root)
    else:
        hi = min(hi, root)
    return (lo, hi) if lo <= hi else None


def above(upper: Line, lower: Line, gap: float, span: Span) -> Span | None:
    """The part of a span where ``upper`` lies at least ``gap`` above ``lower``, or None. [in]"""
    return at_least(upper.slope - lower.slope, upper.rise - lower.rise - gap, span)


def shared(a: Span, b: Span) -> Span | None:
    """The part that two spans share, or None. [in]"""
    lo, hi = max(a[0], b[0]), min(a[1], b[1])
    return (lo, hi) if lo <= hi else None


def cut(span: Span, points: list[float]) -> list[Span]:
    """A span cut at the points that lie inside it; pieces under 1e-9 in are dropped. [in]"""
    lo, hi = span
    inner = sorted({p for p in points if lo + 1e-9 < p < hi - 1e-9})
    if not inner:
        return [span]
    kept = [lo]
    for p in inner:
        if p - kept[-1] > 1e-9:
            kept.append(p)
    kept.append(hi)
    return list(itertools.pairwise(kept))
