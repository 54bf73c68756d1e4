"""A face seen square on: its panels in stack order, what of each is seen and what is covered."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.drawings.svg import Point
from weatherlap.job.model import Sheet
from weatherlap.shape.folds import TOUCH_IN

_HAIR_IN = 0.02

Shapes = NDArray[Any]
Numbers = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PanelView:
    """A panel as it is seen: the part that shows, and the edges that others cover. [in]"""

    panel: int
    piece: int
    seen: BaseGeometry
    covered_edges: BaseGeometry


@dataclass(frozen=True, slots=True)
class LapView:
    """Two panels that lap, head over foot: the patch they share, and who lies outside. [in]"""

    outer: int
    inner: int
    outer_is_upper: bool
    shared: BaseGeometry


@dataclass(frozen=True, slots=True)
class OnPage:
    """From a face's plane [in] to the drawing: u to the right, v up."""

    units_per_in: float
    left: float
    bottom: float
    u_min: float
    v_min: float

    def point(self, u: float, v: float) -> Point:
        """Where a place of the face stands on the drawing. [drawing units]"""
        return (
            self.left + (u - self.u_min) * self.units_per_in,
            self.bottom - (v - self.v_min) * self.units_per_in,
        )

    def shape(self, shape: BaseGeometry) -> BaseGeometry:
        """A shape on the face as it stands on the drawing. [drawing units]"""
        return self.shapes([shape])[0]

    def shapes(self, shapes: Sequence[BaseGeometry]) -> list[BaseGeometry]:
        """Shapes on the face as they stand on the drawing. [drawing units]"""
        per_in = self.units_per_in
        turn = np.array([per_in, -per_in])
        move = np.array([self.left - self.u_min * per_in, self.bottom + self.v_min * per_in])
        rows = np.array([*shapes, None], dtype=object)[:-1]
        return list(shapely.transform(rows, lambda c: c * turn + move))


@dataclass(frozen=True, slots=True)
class StackView:
    """A face's panels, innermost first, and its laps."""

    panels: tuple[PanelView, ...]
    laps: tuple[LapView, ...]


def lap_pairs(corner: Corner, panels: Sequence[int]) -> list[tuple[int, int]]:
    """Pairs of overlapping panels as places in the list: (inner, outer)."""
    if len(panels) < 2:
        return []
    shapes = [corner.panels[p].polygon for p in panels]
    left, right = STRtree(shapes).query(shapes, predicate="intersects")
    boxes = shapely.bounds(shapes)
    wide = np.minimum(boxes[left, 2], boxes[right, 2]) - np.maximum(boxes[left, 0], boxes[right, 0])
    high = np.minimum(boxes[left, 3], boxes[right, 3]) - np.maximum(boxes[left, 1], boxes[right, 1])
    keep = (left < right) & (wide > _HAIR_IN) & (high > _HAIR_IN)
    found = []
    for i, j in zip(left[keep].tolist(), right[keep].tolist(), strict=True):
        a, b = corner.panels[panels[i]].piece, corner.panels[panels[j]].piece
        if a != b:
            found.append((i, j) if corner.outside(b, a) else (j, i))
    return found


def _order(count: int, pairs: list[tuple[int, int]]) -> list[int]:
    graph: TopologicalSorter[int] = TopologicalSorter({i: [] for i in range(count)})
    for inner, outer in pairs:
        graph.add(outer, inner)
    try:
        return list(graph.static_order())
    except CycleError:
        return list(range(count))


def stack_view(corner: Corner, face: int, *, without: Collection[int] = ()) -> StackView:
    """What is seen of each panel on a face; pieces in ``without`` are taken off."""
    panels = [p for p in corner.panels_on[face] if corner.panels[p].piece not in without]
    pairs = lap_pairs(corner, panels)
    over: list[list[int]] = [[] for _ in panels]
    for inner, outer in pairs:
        over[inner].append(outer)
    shapes = np.array([corner.panels[p].polygon for p in panels], dtype=object)
    seen, edges = shapes.copy(), np.full(len(panels), shapely.LineString(), dtype=object)
    under = [i for i, rows in enumerate(over) if rows]
    if under:
        covers = np.array([_union(shapes[over[i]]) for i in under], dtype=object)
        seen[under] = shapely.difference(shapes[under], covers)
        inside = shapely.buffer(covers, -_HAIR_IN, join_style="mitre")
        edges[under] = shapely.intersection(shapely.boundary(shapes[under]), inside)
    order = _order(len(panels), pairs)
    return StackView(
        tuple(
            PanelView(panels[i], corner.panels[panels[i]].piece, seen[i], edges[i]) for i in order
        ),
        tuple(_laps(corner, panels, pairs, shapes)),
    )


def _union(shapes: Shapes) -> BaseGeometry:
    return shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)


def _laps(
    corner: Corner, panels: list[int], pairs: list[tuple[int, int]], shapes: Shapes
) -> list[LapView]:
    """Head laps between pieces that keep water out, whichever lies outside."""
    stops = {Sheet.SHEDS, Sheet.RESISTS}
    keep = [corner.pieces[corner.panels[p].piece].sheet in stops for p in panels]
    kept = [(i, j) for i, j in pairs if keep[i] and keep[j]]
    if not kept:
        return []
    inner, outer = np.array(kept).T
    shared = np.array(
        [_areas(s) for s in shapely.intersection(shapes[inner], shapes[outer])], dtype=object
    )
    middles = shapely.get_x(shapely.point_on_surface(shared))
    spans = _uprights(shapes, np.array(kept), middles).tolist()
    found = []
    for k, (i, j) in enumerate(kept):
        outer_is_upper = _is_upper(*spans[k])
        if outer_is_upper is not None and not shared[k].is_empty:
            a, b = corner.panels[panels[i]].piece, corner.panels[panels[j]].piece
            found.append(LapView(b, a, outer_is_upper, shared[k]))
    return found


def _areas(shape: BaseGeometry) -> BaseGeometry:
    """A shape without the lines and points that touching edges leave in it."""
    if shape.geom_type != "GeometryCollection":
        return shape
    return shapely.MultiPolygon([part for part in shape.geoms if part.geom_type == "Polygon"])


def _uprights(shapes: Shapes, pairs: NDArray[np.int_], us: Numbers) -> Numbers:
    """From where to where both shapes of each pair reach up at the pair's u: (n, 2, 2). [in]"""
    bounds = shapely.bounds(shapes)
    spans: Numbers = bounds[pairs][:, :, [1, 3]]
    square = shapely.area(shapes) > 0.999 * shapely.area(shapely.envelope(shapes))
    at, side = np.nonzero(~square[pairs])
    if len(at):
        own = pairs[at, side]
        ends = np.repeat(us[at], 2).reshape(-1, 2)
        heights = bounds[own][:, [1, 3]] + np.array([-1.0, 1.0])
        lines = shapely.linestrings(np.stack([ends, heights], axis=2))
        parts = shapely.intersection(lines, shapes[own])
        cut = ~shapely.is_empty(parts)
        spans[at[cut], side[cut]] = shapely.bounds(parts[cut])[:, [1, 3]]
    return spans


def _is_upper(inner: Sequence[float], outer: Sequence[float]) -> bool | None:
    """Whether the outer one of two is the upper one; None if neither is."""
    if outer[0] >= inner[0] + TOUCH_IN and outer[1] >= inner[1] + TOUCH_IN:
        return True
    if inner[0] >= outer[0] + TOUCH_IN and inner[1] >= outer[1] + TOUCH_IN:
        return False
    return None
