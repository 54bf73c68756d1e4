"""Laying: the panels of pieces as patches on their faces, drawn to anchors and trimmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.snap import Snap
from weatherlap.job.model import LineEnd, PanelRecord, TroughRecord
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Place
from weatherlap.shape.patches import Box, box_of

ROUNDING_IN = 1e-9
"""Panels that stick out of their face by no more than this lie on it. [in]"""


@dataclass(frozen=True, slots=True)
class Trough:
    """A lip along a line on a panel. [in]"""

    start: Place
    end: Place
    closed_start: bool
    closed_end: bool
    width_in: float
    depth_in: float


Patches = list[tuple[Polygon, tuple[Trough, ...], Box | None]]
"""Connected patches of one piece on one face, each with its lips, and as a box if it is one."""
Made = dict[tuple[int, ...], tuple[Sequence[PanelRecord], Patches]]


class MadeBefore:
    """Patches of earlier states of a job, for states that differ in a few pieces only.

    A patch is used again where the face has the same anchors and the piece the same records.
    """

    def __init__(self) -> None:
        self._rows: dict[object, Made] = {}

    def on(self, face: str, snap: Snap) -> Made:
        """What was made on a face with the same anchors; more may be added."""
        return self._rows.setdefault((face, snap.across, snap.up), {})


def anchors(
    outline: Polygon, folds: Sequence[Place], rows: Sequence[Sequence[PanelRecord]]
) -> Snap:
    """The anchors of a face: its outline, the ends of its folds, then what lies on it. [in]"""
    loose: list[Place] = []
    for record in (r for records in rows for r in records):
        if record.rect is not None:
            loose += record.rect[:2], record.rect[2:]
        else:
            loose += record.outline or ()
    return Snap.of([*outline.exterior.coords, *folds], loose)


def lay_on(
    outline: Polygon, snap: Snap, rows: Sequence[Sequence[PanelRecord]], made: Made
) -> list[Patches]:
    """The patches of every piece on a face, by the records of its panels there.

    What is in ``made`` is used again, what is new is added to it.
    """
    edge = box_of(outline)
    keys = [tuple(map(id, records)) for records in rows]
    new = {key: records for key, records in zip(keys, rows, strict=True) if key not in made}
    if edge is not None:
        made |= _plain_boxes(new, snap, edge)
    for key, records in new.items():
        if key not in made:
            made[key] = records, _patches(_laid(records, snap), outline, edge)
    return [made[key][1] for key in keys]


def _plain_boxes(new: dict[tuple[int, ...], Sequence[PanelRecord]], snap: Snap, edge: Box) -> Made:
    """The patches of pieces of one plain box inside the face, made all at once."""
    plain = {
        key: snap.box(rect)
        for key, (first, *more) in new.items()
        if not more and (rect := first.rect) is not None and first.trough is None
    }
    inside = {
        key: box
        for key, box in plain.items()
        if box[0] < box[2] and box[1] < box[3] and _lies_in(box, edge)
    }
    if not inside:
        return {}
    polygons = shapely.box(*zip(*inside.values(), strict=True))
    return {
        key: (new[key], [(polygon, (), box)])
        for (key, box), polygon in zip(inside.items(), polygons, strict=True)
    }


@dataclass(frozen=True, slots=True)
class _Laid:
    """The panels of one piece on one face as they are laid: rings and lips, drawn to anchors."""

    rings: tuple[tuple[Place, ...], ...]
    troughs: tuple[Trough, ...]


def _laid(records: Sequence[PanelRecord], snap: Snap) -> _Laid:
    troughs = tuple(_trough(r.trough, snap) for r in records if r.trough is not None)
    return _Laid(tuple(_ring(r, snap) for r in records), troughs)


def _ring(record: PanelRecord, snap: Snap) -> tuple[Place, ...]:
    """The corners of a panel; those of a box begin at its lower right and go round to the left."""
    if record.outline is not None:
        return tuple(snap.place(p) for p in record.outline)
    assert record.rect is not None
    a, b, c, d = snap.box(record.rect)
    return (c, b), (c, d), (a, d), (a, b)


def _trough(record: TroughRecord, snap: Snap) -> Trough:
    return Trough(
        snap.place(record.line[0]),
        snap.place(record.line[1]),
        LineEnd.START in record.closed,
        LineEnd.END in record.closed,
        record.width,
        record.depth,
    )


@lru_cache(maxsize=8000)
def _patches(laid: _Laid, outline: Polygon, edge: Box | None) -> Patches:
    """The panels of one piece on one face, joined where they touch, trimmed to the face."""
    shapes = [Polygon(ring) for ring in laid.rings]
    joined = shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)
    if not _lies_on(joined, outline, edge):
        joined = shapely.intersection(joined, outline, grid_size=ROUNDING_IN)
    patches: Patches = []
    for part in getattr(joined, "geoms", [joined]):
        if isinstance(part, Polygon) and part.area > 0:
            own = tuple(t for t in laid.troughs if part.distance(_middle(t)) <= TOUCH_IN)
            patches.append((part, own, box_of(part)))
    return patches


def _lies_on(shape: BaseGeometry, outline: Polygon, edge: Box | None) -> bool:
    """Whether a shape does not stick out of a face; ``edge`` is its outline if it is a box."""
    if edge is not None:
        return _lies_in(shape.bounds, edge)
    return bool(outline.buffer(ROUNDING_IN, join_style="mitre").covers(shape))


def _lies_in(box: Box, edge: Box) -> bool:
    (u0, v0, u1, v1), (a, b, c, d), by = box, edge, ROUNDING_IN
    return u0 >= a - by and v0 >= b - by and u1 <= c + by and v1 <= d + by


def _middle(trough: Trough) -> Point:
    return LineString([trough.start, trough.end]).interpolate(0.5, normalized=True)
