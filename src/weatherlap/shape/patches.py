"""Patches: areas in a plane that are mostly upright boxes, cut exactly and fast."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import numpy as np
import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

Box = tuple[float, float, float, float]
MANY = 24
"""From this many boxes taken away at once, a grid is quicker than one cut after another."""
NEEDLE_IN = 1e-9
"""Parts of less width than this are rounding. [in]"""
FINE_GRID_IN = 1e-9
"""Grid on which cuts are made that did not come out whole. [in]"""
LARGEST_GRID = 4_000_000
"""Cells of a grid above which polygons are united instead."""


def box_of(polygon: Polygon) -> Box | None:
    """The (left, bottom, right, top) of a polygon that is an upright box, else None. [in]"""
    corners = shapely.get_coordinates(polygon).tolist()
    if len(corners) != 5:
        return None
    us, vs = {p[0] for p in corners}, {p[1] for p in corners}
    if len(us) != 2 or len(vs) != 2:
        return None
    return min(us), min(vs), max(us), max(vs)


def _cut(box: Box, by: Box) -> list[Box]:
    """What is left of a box when another is taken away: up to four boxes."""
    a, b, c, d = box
    p, q, r, s = by
    if p >= c or r <= a or q >= d or s <= b:
        return [box]
    rest = []
    if q > b:
        rest.append((a, b, c, q))
        b = q
    if s < d:
        rest.append((a, s, c, d))
        d = s
    if p > a:
        rest.append((a, b, p, d))
    if r < c:
        rest.append((r, b, c, d))
    return rest


def _shared(box: Box, other: Box) -> Box | None:
    u0, v0 = max(box[0], other[0]), max(box[1], other[1])
    u1, v1 = min(box[2], other[2]), min(box[3], other[3])
    return (u0, v0, u1, v1) if u1 > u0 and v1 > v0 else None


def _boxes_less(own: list[Box], taken: list[Box]) -> list[Box] | None:
    """What is left of boxes when others are taken away; None where a grid would be too large."""
    if len(taken) < MANY:
        for by in taken:
            own = [r for box in own for r in _cut(box, by)]
            if not own:
                break
        return own
    rest: list[Box] = []
    for box in own:
        left = _on_grid(box, taken)
        if left is None:
            return None
        rest += left
    return rest


def _on_grid(box: Box, taken: list[Box]) -> list[Box] | None:
    """What is left of one box, found on the grid of all edges; in rows of joined cells."""
    near = np.array([b for b in taken if _shared(box, b)], dtype=float).reshape(-1, 4)
    low, high = np.array(box[:2] * 2), np.array(box[2:] * 2)
    near = np.clip(near, low, high)
    us = np.unique(np.concatenate([near[:, 0], near[:, 2], [box[0], box[2]]]))
    vs = np.unique(np.concatenate([near[:, 1], near[:, 3], [box[1], box[3]]]))
    if len(us) * len(vs) > LARGEST_GRID:
        return None
    steps = np.zeros((len(vs), len(us)), dtype=np.int32)
    i0, i1 = np.searchsorted(us, near[:, 0]), np.searchsorted(us, near[:, 2])
    j0, j1 = np.searchsorted(vs, near[:, 1]), np.searchsorted(vs, near[:, 3])
    for rows, cols, sign in ((j0, i0, 1), (j0, i1, -1), (j1, i0, -1), (j1, i1, 1)):
        np.add.at(steps, (rows, cols), sign)
    bare = steps.cumsum(axis=0).cumsum(axis=1)[:-1, :-1] == 0
    left: list[Box] = []
    for j in np.flatnonzero(bare.any(axis=1)).tolist():
        edges = np.flatnonzero(np.diff(bare[j].astype(np.int8), prepend=0, append=0)).tolist()
        for a, b in zip(edges[::2], edges[1::2], strict=True):
            left.append((float(us[a]), float(vs[j]), float(us[b]), float(vs[j + 1])))
    return left


def _without_needles(shape: BaseGeometry) -> BaseGeometry:
    """A shape without the parts that rounding leaves: those of no width, and lines."""
    parts = list(getattr(shape, "geoms", [shape]))
    kept = [p for p in parts if isinstance(p, Polygon) and p.area > NEEDLE_IN * p.length]
    if len(kept) == len(parts):
        return shape
    return shapely.multipolygons(kept) if kept else Polygon()


def _common(shape: BaseGeometry, polygon: Polygon, grid: float | None) -> BaseGeometry:
    """What two shapes share; never nothing where their insides meet. [in]

    The exact cut of edges that are one but for the last digit may come out empty.
    """
    part = _without_needles(shapely.intersection(shape, polygon, grid_size=grid))
    if not part.is_empty or not shapely.relate_pattern(shape, polygon, "T********"):
        return part
    return _without_needles(shapely.intersection(shape, polygon, grid_size=FINE_GRID_IN))


def fall_short(parts: Iterable[float], whole: float) -> bool:
    """Whether the areas of parts leave some of a whole out, more than by rounding. [in2]"""
    return sum(parts) < whole * (1 - 1e-7) - 1e-6


Trapezoid = tuple[float, float, float, float, float, float]
"""Left, right, then how high the lower and the upper side are at left and at right. [in]"""


class Patch:
    """An area in a plane: separate boxes while it can be, any shape where it must be. [in]"""

    __slots__ = ("_bounds", "_cut", "_grid", "_known", "_middle", "_spans", "boxes", "shape")

    def __init__(
        self,
        *,
        boxes: Sequence[Box] | None = None,
        shape: BaseGeometry | None = None,
        grid: float | None = None,
    ):
        self.boxes = None if boxes is None else list(boxes)
        self.shape = shape
        self._grid = grid
        self._known: dict[Polygon, Patch] = {}
        self._middle: tuple[float, float] | None = None
        self._bounds: Box | None = None
        self._spans: dict[float, list[tuple[float, float]]] = {}
        self._cut: tuple[tuple[Trapezoid, ...], list[tuple[int, Patch]]] = ((), [])

    @classmethod
    def of(cls, polygon: Polygon, box: Box | None, *, grid: float | None = None) -> Patch:
        """The patch of a polygon, given its box if it is one. [in]

        On a ``grid`` what is cut from it, and from its parts, has its corners on the grid: not
        exact, but right where edges that nearly fall together lead the exact cut astray. [in]
        """
        return cls(shape=polygon, grid=grid) if box is None else cls(boxes=[box], grid=grid)

    def on_grid(self, grid: float) -> Patch:
        """The same patch, cut on a grid. [in]"""
        return Patch(boxes=self.boxes, shape=self.shape, grid=grid)

    @property
    def area(self) -> float:
        """[in2]"""
        if self.boxes is not None:
            return sum((c - a) * (d - b) for a, b, c, d in self.boxes)
        return float(self.geometry().area)

    @property
    def bounds(self) -> Box:
        """(left, bottom, right, top). [in]"""
        if self._bounds is None:
            if self.boxes:
                lefts, lows, rights, tops = zip(*self.boxes, strict=True)
                self._bounds = min(lefts), min(lows), max(rights), max(tops)
            else:
                self._bounds = self.geometry().bounds
        return self._bounds

    def geometry(self) -> BaseGeometry:
        """The patch as one shape. [in]"""
        if self.shape is None:
            boxes = [shapely.box(*b) for b in self.boxes or ()]
            self.shape = boxes[0] if len(boxes) == 1 else shapely.union_all(boxes)
        return self.shape

    def less(self, polygons: Sequence[tuple[Polygon, Box | None]]) -> Patch:
        """What is left when polygons (each with its box, if it is one) are taken away. [in]"""
        if not polygons:
            return self
        boxes = [b for _, b in polygons if b is not None]
        if self.boxes is not None and len(boxes) == len(polygons):
            rest = _boxes_less(self.boxes, boxes)
            if rest is not None:
                return Patch(boxes=rest, grid=self._grid)
        shapes = [p for p, _ in polygons]
        cover = shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)
        rest = shapely.difference(self.geometry(), cover, grid_size=self._grid)
        return Patch(shape=_without_needles(rest), grid=self._grid)

    def in_box(self, box: Box) -> Patch:
        """What a patch of boxes shares with a box. [in]"""
        found = [_shared(own, box) for own in self.boxes or ()]
        return Patch(boxes=[f for f in found if f is not None], grid=self._grid)

    def common(self, polygon: Polygon, box: Box | None = None) -> Patch:
        """What the patch shares with a polygon (and its box, if it is one). [in]"""
        if self.boxes is not None and box is not None:
            return self.in_box(box)
        known = self._known.get(polygon)
        if known is None:
            known = Patch(shape=_common(self.geometry(), polygon, self._grid), grid=self._grid)
            self._known[polygon] = known
        return known

    def parts(self, cuts: tuple[Trapezoid, ...]) -> list[tuple[int, Patch]]:
        """What the patch shares with each of the trapezoids that cover it, with its number.

        What is empty is left out. The last answer is kept: after a change elsewhere the same is
        asked again.
        """
        known, found = self._cut
        if cuts != known:
            found = self._parts(cuts)
            if fall_short((part.area for _, part in found), self.area):
                found = self.on_grid(FINE_GRID_IN)._parts(cuts)
            self._cut = cuts, found
        return found

    def _parts(self, cuts: tuple[Trapezoid, ...]) -> list[tuple[int, Patch]]:
        shared = ((n, self._common_part(cut)) for n, cut in enumerate(cuts))
        return [(n, part) for n, part in shared if part is not None]

    def _common_part(self, cut: Trapezoid) -> Patch | None:
        left, right, l0, l1, h0, h1 = cut
        a, b, c, d = self.bounds
        if left >= c or right <= a or min(l0, l1) >= d or max(h0, h1) <= b:
            return None
        box = (left, l0, right, h0) if l0 == l1 and h0 == h1 else None
        if self.boxes is not None and box is not None:
            part = self.in_box(box)
        else:
            part = self.common(Polygon([(left, l0), (right, l1), (right, h1), (left, h0)]), box)
        return part if part.area > 0 else None

    def spans(self, u: float) -> list[tuple[float, float]]:
        """The stretches of an upright line at u that lie in the patch, as (low, high). [in]"""
        if self.boxes is not None:
            return [(b, d) for a, b, c, d in self.boxes if a < u < c]
        if u not in self._spans:
            _, low, _, high = self.bounds
            common = LineString([(u, low - 1), (u, high + 1)]).intersection(self.geometry())
            parts = [p for p in getattr(common, "geoms", [common]) if isinstance(p, LineString)]
            self._spans[u] = [(p.bounds[1], p.bounds[3]) for p in parts if not p.is_empty]
        return self._spans[u]

    def middle(self) -> tuple[float, float]:
        """A place well inside the patch. [in]"""
        if self._middle is None:
            spot = self.geometry().representative_point()
            self._middle = spot.x, spot.y
        return self._middle
