"""Back to front: the order in which flat plates are drawn, so that near ones cover far ones."""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from weatherlap.shape.frames import Vector

Array = NDArray[np.float64]
Indices = NDArray[np.int_]
_FLAT_IN = 0.02
_LEAST_SHARED = 0.05


@dataclass(frozen=True, slots=True)
class Sheet3:
    """A flat outline in space; ``rank`` decides between sheets in one plane. [in]"""

    corners: tuple[Vector, ...]
    normal: Vector
    rank: int


def back_to_front(sheets: Sequence[Sheet3], *, toward: Vector, flat: Sequence[Array]) -> list[int]:
    """Numbers of the sheets in the order in which they are drawn.

    Parameters
    ----------
    toward : Vector
        The unit vector to the viewer.
    flat : sequence of ndarray, shape (n_corners, 2)
        Each sheet's corners on the page. [drawing units]
    """
    if not sheets:
        return []
    eye = np.array(toward)
    depth = np.array([float(np.mean(np.array(s.corners) @ eye)) for s in sheets])
    rank = np.array([s.rank for s in sheets])
    left, right = _meeting(flat)
    before = _before(sheets, eye, (left, right))
    later = _later(before, depth, rank, (left, right))
    return _sorted(np.where(later, right, left), np.where(later, left, right), depth)


def _meeting(flat: Sequence[Array]) -> tuple[Indices, Indices]:
    """Pairs of sheets that overlap on the page, by more than a hair."""
    shapes = shapely.buffer([Polygon(f) for f in flat], 0)
    left, right = STRtree(shapes).query(shapes, predicate="intersects")
    apart = left < right
    left, right = left[apart], right[apart]
    shared = shapely.area(shapely.intersection(shapes[left], shapes[right])) > _LEAST_SHARED
    return left[shared], right[shared]


Sides = tuple[tuple[Array, Array], tuple[Array, Array]]


def _before(sheets: Sequence[Sheet3], eye: Array, pairs: tuple[Indices, Indices]) -> Sides:
    """For each pair the least and greatest distance of the one before the other's plane. [in]

    First of the left sheet's corners before the right one's plane, then the other way round.
    """
    most = max(len(s.corners) for s in sheets)
    points = np.array([[*s.corners, *[s.corners[-1]] * (most - len(s.corners))] for s in sheets])
    normals = np.array([s.normal for s in sheets])
    normals = normals * np.where(normals @ eye < 0, -1.0, 1.0)[:, None]
    offsets = np.einsum("nk,nk->n", normals, points[:, 0])
    rows = []
    for one, other in (pairs, pairs[::-1]):
        away = np.einsum("pmk,pk->pm", points[one], normals[other]) - offsets[other][:, None]
        rows.append((away.min(axis=1, initial=np.inf), away.max(axis=1, initial=-np.inf)))
    return rows[0], rows[1]


def _later(
    before: Sides, depth: Array, rank: NDArray[np.int_], pairs: tuple[Indices, Indices]
) -> NDArray[np.bool_]:
    """Whether the left sheet of each pair is drawn after the right one."""
    left, right = pairs
    (near, far), (near_back, far_back) = (
        (low >= -_FLAT_IN, high <= _FLAT_IN) for low, high in before
    )
    ahead = (near & ~far) | (far_back & ~near_back)
    back = (near_back & ~far_back) | (far & ~near)
    chosen = np.where(
        ahead & ~back, True, np.where(back & ~ahead, False, depth[left] > depth[right])
    )
    level = near & far & near_back & far_back
    later: NDArray[np.bool_] = np.where(level, rank[left] > rank[right], chosen)
    return later


def _sorted(first: Indices, then: Indices, depth: Array) -> list[int]:
    """An order that keeps each pair; a circle is broken where it costs least."""
    over: list[list[int]] = [[] for _ in depth]
    waits = [0] * len(depth)
    for a, b in zip(first.tolist(), then.tolist(), strict=True):
        over[a].append(b)
        waits[b] += 1
    left = dict.fromkeys(range(len(depth)))
    ready = [(depth[i], i) for i in left if waits[i] == 0]
    heapq.heapify(ready)
    done: list[int] = []
    while left:
        now = heapq.heappop(ready)[1] if ready else min(left, key=lambda i: (waits[i], depth[i], i))
        if now not in left:
            continue
        del left[now]
        done.append(now)
        for i in over[now]:
            waits[i] -= 1
            if waits[i] == 0 and i in left:
                heapq.heappush(ready, (depth[i], i))
    return done
