"""Laps: which pieces overlap, by how much, and which one lies outside."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from graphlib import CycleError, TopologicalSorter

import numpy as np
import shapely
from shapely import STRtree

from weatherlap.building.corner import Corner, circle_error
from weatherlap.shape.folds import TOUCH_IN

_LEAST = TOUCH_IN - 1e-9


class LapKind(StrEnum):
    """How two panels overlap."""

    HEAD = "head"
    SIDE = "side"
    COVER = "cover"


@dataclass(frozen=True, slots=True)
class Lap:
    """Two pieces that overlap on a face, one outside the other. [in]

    A HEAD lap lies at the lower edge of ``upper``, a SIDE lap at upright edges; COVER is one
    piece lying over the middle of another.  ``height_in`` is measured up the face,
    ``length_in`` along it.
    """

    face: int
    outer: int
    inner: int
    upper: int
    lower: int
    kind: LapKind
    height_in: float
    length_in: float
    at: tuple[float, float]

    @property
    def right_way(self) -> bool:
        """Whether the upper piece lies outside the lower one, so that the lap sheds water."""
        return self.outer == self.upper


def overlaps(corner: Corner, *, face: int | None = None) -> list[tuple[int, int]]:
    """Pairs of panels (of different pieces) on one face that share at least 1/16 x 1/16 in.

    Parameters
    ----------
    face : int, optional
        The only face that is looked at.
    """
    found: list[tuple[int, int]] = []
    for on_face in corner.panels_on if face is None else [corner.panels_on[face]]:
        if len(on_face) < 2:
            continue
        shapes = [corner.panels[p].polygon for p in on_face]
        left, right = STRtree(shapes).query(shapes, predicate="intersects")
        box = shapely.bounds(shapes)
        keep = (
            (left < right)
            & (
                np.minimum(box[left, 2], box[right, 2]) - np.maximum(box[left, 0], box[right, 0])
                >= _LEAST
            )
            & (
                np.minimum(box[left, 3], box[right, 3]) - np.maximum(box[left, 1], box[right, 1])
                >= _LEAST
            )
        )
        found += [(on_face[i], on_face[j]) for i, j in zip(left[keep], right[keep], strict=True)]
    return [(i, j) for i, j in found if corner.panels[i].piece != corner.panels[j].piece]


def check_order(corner: Corner) -> None:
    """Make sure that the pieces on every face can be laid one after the other.

    Raises
    ------
    JobError
        If laps go round in a circle; the message names the pieces.
    """
    if not any(p.behind for p in corner.pieces):
        return
    graphs: dict[int, TopologicalSorter[int]] = {}
    for i, j in overlaps(corner):
        a, b = corner.panels[i], corner.panels[j]
        inner, outer = (
            (a.piece, b.piece) if corner.outside(b.piece, a.piece) else (b.piece, a.piece)
        )
        graph = graphs.setdefault(a.face, TopologicalSorter())
        graph.add(outer, inner)
        if outer in corner.pieces[inner].behind and inner in corner.pieces[outer].behind:
            graph.add(inner, outer)
    for face, graph in graphs.items():
        try:
            graph.prepare()
        except CycleError as error:
            circle = list(reversed(error.args[1]))[:-1]
            raise circle_error(corner, face, circle) from None


def laps(corner: Corner, *, face: int | None = None) -> tuple[Lap, ...]:
    """Every lap of the corner, face by face.

    Parameters
    ----------
    face : int, optional
        The only face that is looked at.
    """
    pairs = overlaps(corner, face=face)
    if not pairs:
        return ()
    first = np.array([corner.panels[i].polygon for i, _ in pairs])
    second = np.array([corner.panels[j].polygon for _, j in pairs])
    boxes_a, boxes_b = shapely.bounds(first), shapely.bounds(second)
    shared = np.hstack((np.maximum(boxes_a, boxes_b)[:, :2], np.minimum(boxes_a, boxes_b)[:, 2:]))
    odd = [k for k, pair in enumerate(pairs) if any(corner.panels[p].box is None for p in pair)]
    if odd:
        shared[odd] = shapely.bounds(shapely.intersection(first[odd], second[odd]))
    rows = zip(pairs, shared.tolist(), boxes_a.tolist(), boxes_b.tolist(), strict=True)
    return tuple(
        _lap(corner, pair, common, a, b)
        for pair, common, a, b in rows
        if common[2] - common[0] >= _LEAST and common[3] - common[1] >= _LEAST
    )


def _lap(
    corner: Corner, pair: tuple[int, int], common: list[float], a: list[float], b: list[float]
) -> Lap:
    p, q = corner.panels[pair[0]], corner.panels[pair[1]]
    outer, inner = (p.piece, q.piece) if corner.outside(p.piece, q.piece) else (q.piece, p.piece)
    upper, lower = (p.piece, q.piece) if (a[3], a[1]) > (b[3], b[1]) else (q.piece, p.piece)
    u0, v0, u1, v1 = common
    return Lap(
        face=p.face,
        outer=outer,
        inner=inner,
        upper=upper,
        lower=lower,
        kind=_kind(a, b),
        height_in=v1 - v0,
        length_in=u1 - u0,
        at=((u0 + u1) / 2, (v0 + v1) / 2),
    )


def _kind(a: list[float], b: list[float]) -> LapKind:
    high, low = (a, b) if (a[3], a[1]) > (b[3], b[1]) else (b, a)
    if high[1] >= low[1] + _LEAST and high[3] >= low[3] + _LEAST:
        return LapKind.HEAD
    left, right = (a, b) if (a[0], a[2]) < (b[0], b[2]) else (b, a)
    if right[0] >= left[0] + _LEAST and right[2] >= left[2] + _LEAST:
        return LapKind.SIDE
    return LapKind.COVER
