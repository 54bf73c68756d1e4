"""Back to front: the order in which flat plates are drawn, so that near ones cover far ones."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, STRtree

from weatherlap.shape.frames import Vector

Array = NDArray[np.float64]
_FLAT_IN = 0.02
_LEAST_SHARED = 0.05
MOST_COMPARED = 1500
"""More sheets than this are ordered by their distance alone."""


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
    count = len(sheets)
    if count == 0:
        return []
    eye = np.array(toward)
    depth = np.array([float(np.mean(np.array(s.corners) @ eye)) for s in sheets])
    if count > MOST_COMPARED:
        return sorted(range(count), key=lambda i: (depth[i], sheets[i].rank))
    rank = np.array([s.rank for s in sheets])
    covers = _covers(_sides(sheets, eye), depth, rank, _meet(flat))
    return _sorted(covers, depth)


def _sides(sheets: Sequence[Sheet3], eye: Array) -> tuple[Array, Array]:
    """Least and greatest distance of sheet i's corners before the plane of sheet j. [in]"""
    points = np.array([p for s in sheets for p in s.corners])
    starts = np.cumsum([0, *(len(s.corners) for s in sheets)])[:-1]
    normals = np.array([s.normal for s in sheets])
    turned = np.where(normals @ eye < 0, -1.0, 1.0)[:, None]
    normals = normals * turned
    offsets = np.array(
        [float(np.dot(n, s.corners[0])) for n, s in zip(normals, sheets, strict=True)]
    )
    away = points @ normals.T - offsets
    return np.minimum.reduceat(away, starts, axis=0), np.maximum.reduceat(away, starts, axis=0)


def _meet(flat: Sequence[Array]) -> NDArray[np.bool_]:
    """Whether two sheets overlap on the page, by more than a hair."""
    shapes = shapely.buffer([Polygon(f) for f in flat], 0)
    left, right = STRtree(shapes).query(shapes, predicate="intersects")
    apart = left < right
    left, right = left[apart], right[apart]
    shared = shapely.area(shapely.intersection(shapes[left], shapes[right])) > _LEAST_SHARED
    meet: NDArray[np.bool_] = np.zeros((len(flat), len(flat)), dtype=np.bool_)
    meet[left[shared], right[shared]] = True
    return meet | meet.T


def _covers(
    sides: tuple[Array, Array], depth: Array, rank: NDArray[np.int_], meet: NDArray[np.bool_]
) -> NDArray[np.bool_]:
    """Whether sheet i is drawn after sheet j, where they meet on the page."""
    near = sides[0] >= -_FLAT_IN
    far = sides[1] <= _FLAT_IN
    level = near & far
    ahead = (near & ~far) | (far & ~near).T
    back = ahead.T
    by_depth = depth[:, None] > depth[None, :]
    by_rank = rank[:, None] > rank[None, :]
    chosen = np.where(ahead & ~back, True, np.where(back & ~ahead, False, by_depth))
    chosen = np.where(level & level.T, by_rank, chosen)
    result: NDArray[np.bool_] = chosen & meet
    return result


def _sorted(covers: NDArray[np.bool_], depth: Array) -> list[int]:
    """An order that keeps to ``covers``; a circle is broken where it costs least."""
    waits = covers.sum(axis=1)
    done: list[int] = []
    left = set(range(len(depth)))
    by_depth = sorted(left, key=lambda i: (depth[i], i))
    while left:
        ready = next((i for i in by_depth if i in left and waits[i] == 0), None)
        if ready is None:
            ready = min(left, key=lambda i: (waits[i], depth[i], i))
        left.remove(ready)
        done.append(ready)
        waits = waits - covers[:, ready]
    return done
