"""Folds: where flat outlines in space meet along a line."""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.shape.frames import Frame, Place, Vector

TOUCH_IN = 1 / 16


@dataclass(frozen=True, slots=True)
class Flat:
    """An outline in a frame."""

    frame: Frame
    outline: Polygon


@dataclass(frozen=True, slots=True)
class Contact:
    """One side of a fold: where outline ``here`` meets outline ``there``.

    ``start``/``end`` are in the plane of ``here``, ``there_start``/``there_end`` the same two
    points in the plane of ``there``. [in]  ``inside_here`` is true where the line does not lie
    on the rim of ``here``; ``inside_there`` likewise.
    """

    here: int
    there: int
    start: Place
    end: Place
    there_start: Place
    there_end: Place
    inside_here: bool
    inside_there: bool


def _segments(geometry: BaseGeometry) -> list[tuple[Place, Place]]:
    parts = getattr(geometry, "geoms", [geometry])
    found = []
    for part in parts:
        if isinstance(part, LineString) and part.length > TOUCH_IN:
            coords = list(part.coords)
            found.append((coords[0][:2], coords[-1][:2]))
    return found


def _box(flat: Flat) -> tuple[Vector, Vector]:
    points = [flat.frame.to_space(u, v) for u, v in flat.outline.exterior.coords]
    lows = tuple(min(p[i] for p in points) - TOUCH_IN for i in range(3))
    highs = tuple(max(p[i] for p in points) + TOUCH_IN for i in range(3))
    return lows, highs  # type: ignore[return-value]


def _edge_on(edge: tuple[Vector, Vector], flat: Flat) -> list[tuple[Place, Place, bool]]:
    """Parts of an edge in space that lie on a flat outline, and whether inside its rim."""
    if any(abs(flat.frame.height_over(p)) > TOUCH_IN for p in edge):
        return []
    line = LineString([flat.frame.to_plane(p) for p in edge])
    if line.length <= TOUCH_IN:
        return []
    band = flat.outline.boundary.buffer(TOUCH_IN, cap_style="square")
    rim = [(a, b) for a, b in _segments(line.intersection(band)) if _along(flat, a, b)]
    rest = line.intersection(flat.outline)
    for a, b in rim:
        rest = rest.difference(LineString([a, b]).buffer(TOUCH_IN, cap_style="flat"))
    return [(a, b, False) for a, b in rim] + [(a, b, True) for a, b in _segments(rest)]


def _along(flat: Flat, a: Place, b: Place) -> bool:
    """Whether a segment runs along the rim, not only across it."""
    middle = LineString([a, b]).interpolate(0.5, normalized=True)
    long = LineString([a, b]).length
    return bool(long > 4 * TOUCH_IN and flat.outline.boundary.distance(middle) <= TOUCH_IN)


def contacts(flats: list[Flat]) -> list[Contact]:
    """Every fold between the outlines, seen from both sides.

    An edge of one outline that lies on the rim of another or inside it is a fold; edges that
    lie within 1/16 in count as lying on it.
    """
    boxes = np.array([_box(f) for f in flats]).reshape(-1, 2, 3)
    lows, highs = boxes[:, 0], boxes[:, 1]
    found: list[Contact] = []
    for i, here in enumerate(flats):
        ring = [here.frame.to_space(u, v) for u, v in here.outline.exterior.coords]
        meet = ((lows[i] <= highs) & (lows <= highs[i])).all(axis=1)
        for j in np.flatnonzero(meet).tolist():
            if i != j:
                for edge in itertools.pairwise(ring):
                    found += _contacts_of_edge(i, j, here, flats[j], edge)
    return found


def _contacts_of_edge(
    i: int, j: int, here: Flat, there: Flat, edge: tuple[Vector, Vector]
) -> list[Contact]:
    found = []
    for a, b, inside in _edge_on(edge, there):
        p, q = (_on_edge(edge, here, there, place) for place in (a, b))
        r, s = (a, b) if inside else (_on_rim(there, a), _on_rim(there, b))
        found.append(Contact(i, j, p, q, r, s, False, inside))
        if inside:
            found.append(Contact(j, i, r, s, p, q, True, False))
    return found


def _on_edge(edge: tuple[Vector, Vector], here: Flat, there: Flat, place: Place) -> Place:
    """The place on an edge of ``here`` that lies over a place on ``there``."""
    own = LineString([here.frame.to_plane(p) for p in edge])
    over = LineString([there.frame.to_plane(p) for p in edge])
    spot = own.interpolate(over.project(Point(place)) * own.length / over.length)
    return spot.x, spot.y


def _on_rim(flat: Flat, place: Place) -> Place:
    """The place of the rim nearest to one that lies on it but for 1/16 in."""
    rim = flat.outline.boundary
    spot = rim.interpolate(rim.project(Point(place)))
    return spot.x, spot.y
