"""The corner: faces in space, the pieces laid on them, and who lies outside whom."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.snap import Snap
from weatherlap.errors import JobError, Problem
from weatherlap.job.model import (
    Edge,
    FaceRecord,
    Job,
    LineEnd,
    PanelRecord,
    PieceRecord,
    Sheet,
    TroughRecord,
    passes_of,
    sheet_of,
)
from weatherlap.shape.folds import TOUCH_IN, Contact, Flat, contacts
from weatherlap.shape.frames import Frame, Place, Vector, frame_of
from weatherlap.shape.patches import Box, box_of
from weatherlap.sources.catalogue import entry

LEVEL_DEG = 0.01
ROUNDING_IN = 1e-9
"""Panels that stick out of their face by no more than this lie on it. [in]"""


@dataclass(frozen=True, slots=True)
class Face:
    """A flat side of the corner."""

    index: int
    id: str
    title: str
    facing_deg: float
    tilt_deg: float
    frame: Frame
    outline: Polygon

    @property
    def looks_down(self) -> bool:
        """Whether the face is an underside, so that rain cannot fall on it."""
        return self.tilt_deg > 90 + LEVEL_DEG

    @property
    def is_level(self) -> bool:
        """Whether the face is a level top, on which water stands."""
        return self.tilt_deg < LEVEL_DEG


@dataclass(frozen=True, slots=True)
class Trough:
    """A lip along a line on a panel. [in]"""

    start: Place
    end: Place
    closed_start: bool
    closed_end: bool
    width_in: float
    depth_in: float


@dataclass(frozen=True, slots=True)
class Panel:
    """The part of a piece on one face (one connected patch); ``box`` if it is an upright one."""

    index: int
    piece: int
    face: int
    polygon: Polygon
    troughs: tuple[Trough, ...]
    box: Box | None


@dataclass(frozen=True, slots=True)
class Gutter:
    """A gutter hung in space. [in]"""

    start: Vector
    end: Vector
    width_in: float
    depth_in: float
    shape: str


@dataclass(frozen=True, slots=True)
class Piece:
    """A thing laid on faces."""

    index: int
    id: str
    title: str
    sheet: Sheet
    role: str
    passes: float
    drip: bool
    sealed_top: bool
    sealed_bottom: bool
    behind: frozenset[int]
    gutter: Gutter | None
    panels: tuple[int, ...]
    record: PieceRecord = field(repr=False)

    @property
    def kind(self) -> str:
        """Pieces of one run, or of one catalogue entry, are of one kind."""
        return self.record.run or self.record.what or self.id

    @property
    def holds(self) -> bool:
        """Whether the piece holds water back at all (an open one does not)."""
        return self.sheet is not Sheet.OPEN


@dataclass(frozen=True)
class Corner:
    """Faces, pieces, panels and folds of one state of a job."""

    faces: tuple[Face, ...]
    pieces: tuple[Piece, ...]
    panels: tuple[Panel, ...]
    contacts: tuple[Contact, ...]

    def outside(self, a: int, b: int) -> bool:
        """Whether piece ``a`` lies outside (to the weather of) piece ``b`` where they lap."""
        if b in self.pieces[a].behind:
            return False
        return True if a in self.pieces[b].behind else a > b

    @cached_property
    def panels_on(self) -> tuple[tuple[int, ...], ...]:
        """Indices of the panels on each face, in stack order."""
        rows: list[list[int]] = [[] for _ in self.faces]
        for panel in self.panels:
            rows[panel.face].append(panel.index)
        return tuple(tuple(row) for row in rows)

    @cached_property
    def contacts_of(self) -> tuple[tuple[Contact, ...], ...]:
        """The folds of each face, seen from it."""
        rows: list[list[Contact]] = [[] for _ in self.faces]
        for contact in self.contacts:
            rows[contact.here].append(contact)
        return tuple(tuple(row) for row in rows)

    @cached_property
    def piece_named(self) -> dict[str, Piece]:
        """Pieces by id."""
        return {p.id: p for p in self.pieces}

    @cached_property
    def face_named(self) -> dict[str, Face]:
        """Faces by id."""
        return {f.id: f for f in self.faces}


def outline_of(record: FaceRecord) -> Polygon:
    """The outline of a face in its own plane. [in]"""
    if record.outline is not None:
        return shapely.orient_polygons(Polygon(record.outline))
    assert record.width is not None and record.height is not None
    return shapely.box(0.0, 0.0, record.width, record.height, ccw=True)


@lru_cache(maxsize=64)
def _faces(records: tuple[FaceRecord, ...]) -> tuple[tuple[Face, ...], tuple[Contact, ...]]:
    """Faces and their folds; the pieces on them change more often than they do."""
    faces = tuple(
        Face(
            i,
            f.id,
            f.title or f.id,
            f.facing,
            f.tilt,
            frame_of(f.origin, f.facing, f.tilt),
            outline_of(f),
        )
        for i, f in enumerate(records)
    )
    return faces, tuple(contacts([Flat(f.frame, f.outline) for f in faces]))


def _panel_polygon(record: PanelRecord, snap: Snap) -> Polygon:
    if record.outline is not None:
        return Polygon([snap.place(p) for p in record.outline])
    assert record.rect is not None
    u0, v0, u1, v1 = record.rect
    (a, b), (c, d) = snap.place((u0, v0)), snap.place((u1, v1))
    return shapely.box(a, b, c, d)


def _trough(record: TroughRecord, snap: Snap) -> Trough:
    start, end = snap.place(record.line[0]), snap.place(record.line[1])
    return Trough(
        start,
        end,
        LineEnd.START in record.closed,
        LineEnd.END in record.closed,
        record.width,
        record.depth,
    )


@lru_cache(maxsize=8000)
def _patches(records: tuple[PanelRecord, ...], face: Face, snap: Snap, edge: Box | None) -> Patches:
    """The panels of one piece on one face, joined where they touch, trimmed to the face."""
    shapes = [_panel_polygon(r, snap) for r in records]
    joined = shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)
    if not _lies_on(joined, face, edge):
        joined = shapely.intersection(joined, face.outline, grid_size=ROUNDING_IN)
    troughs = [_trough(r.trough, snap) for r in records if r.trough is not None]
    patches = []
    for part in getattr(joined, "geoms", [joined]):
        if isinstance(part, Polygon) and part.area > 0:
            own = tuple(t for t in troughs if part.distance(_trough_middle(t)) <= TOUCH_IN)
            patches.append((part, own))
    return patches


def _lies_on(shape: BaseGeometry, face: Face, edge: Box | None) -> bool:
    """Whether a shape does not stick out of a face; ``edge`` is its outline if it is a box."""
    if edge is not None:
        u0, v0, u1, v1 = shape.bounds
        a, b, c, d = edge
        by = ROUNDING_IN
        return bool(u0 >= a - by and v0 >= b - by and u1 <= c + by and v1 <= d + by)
    return bool(face.outline.buffer(ROUNDING_IN, join_style="mitre").covers(shape))


def _trough_middle(trough: Trough) -> Point:
    return LineString([trough.start, trough.end]).interpolate(0.5, normalized=True)


def _gutter(record: PieceRecord) -> Gutter | None:
    if record.gutter is None:
        return None
    g = record.gutter
    depth = g.depth if g.depth is not None else g.width / 2
    return Gutter(g.line[0], g.line[1], g.width, depth, g.shape)


def _snaps(job: Job, faces: Sequence[Face], folds: Sequence[Contact]) -> list[Snap]:
    values: list[list[Place]] = [[] for _ in faces]
    at = {f.id: f.index for f in faces}
    for piece in job.piece:
        for panel in piece.on:
            if panel.rect is not None:
                u0, v0, u1, v1 = panel.rect
                values[at[panel.face]] += [(u0, v0), (u1, v1)]
            else:
                values[at[panel.face]] += panel.outline or ()
    firm: list[list[Place]] = [list(f.outline.exterior.coords) for f in faces]
    for fold in folds:
        firm[fold.here] += [fold.start, fold.end]
    return [Snap.of(firm[i], values[i]) for i in range(len(faces))]


Patches = list[tuple[Polygon, tuple[Trough, ...]]]


class MadeBefore:
    """Patches of earlier states of a job, for states that differ in a few pieces only.

    A patch is used again where the face has the same anchors and the piece the same records.
    """

    def __init__(self) -> None:
        self._rows: dict[object, dict[tuple[int, ...], tuple[list[PanelRecord], Patches]]] = {}

    def of(
        self, records: list[PanelRecord], face: Face, snap: Snap, edge: Box | None, anchors: object
    ) -> Patches:
        """The patches of one piece on one face, made if they were not before."""
        rows = self._rows.setdefault(anchors, {})
        key = tuple(map(id, records))
        if key not in rows:
            rows[key] = records, _patches(tuple(records), face, snap, edge)
        return rows[key][1]


def build_corner(job: Job, *, made: MadeBefore | None = None) -> Corner:
    """The corner that a job describes.

    Offsets under 1/16 in between edges on a face are closed, as they count as none.
    ``made`` keeps what other states of the same job can use again.

    Raises
    ------
    JobError
        If laps go round in a circle on a face; the message names the pieces.
    """
    faces, folds = _faces(job.face)
    snaps = _snaps(job, faces, folds)
    edges = [box_of(f.outline) for f in faces]
    made = made or MadeBefore()
    anchors = [(f.id, s.across, s.up) for f, s in zip(faces, snaps, strict=True)]
    at = {f.id: f.index for f in faces}
    number = {p.id: i for i, p in enumerate(job.piece)}
    pieces: list[Piece] = []
    panels: list[Panel] = []
    for i, record in enumerate(job.piece):
        own: list[int] = []
        by_face: dict[int, list[PanelRecord]] = {}
        for panel_record in record.on:
            by_face.setdefault(at[panel_record.face], []).append(panel_record)
        for face, records in by_face.items():
            for polygon, troughs in made.of(
                records, faces[face], snaps[face], edges[face], anchors[face]
            ):
                own.append(len(panels))
                panels.append(Panel(len(panels), i, face, polygon, troughs, box_of(polygon)))
        pieces.append(_piece(i, record, number, tuple(own)))
    return Corner(faces, tuple(pieces), tuple(panels), folds)


def _piece(i: int, record: PieceRecord, number: dict[str, int], own: tuple[int, ...]) -> Piece:
    return Piece(
        index=i,
        id=record.id,
        title=record.title or record.id,
        sheet=sheet_of(record),
        role=entry(record.what).role.value if record.what else "",
        passes=passes_of(record),
        drip=record.drip,
        sealed_top=Edge.TOP in record.sealed,
        sealed_bottom=Edge.BOTTOM in record.sealed,
        behind=frozenset(number[b] for b in record.behind),
        gutter=_gutter(record),
        panels=own,
        record=record,
    )


def circle_error(corner: Corner, face: int, circle: Sequence[int]) -> JobError:
    """The error for laps that go round in a circle."""
    names = [corner.pieces[p].id for p in circle]
    around = " over ".join([*names, names[0]])
    turned = (corner.pieces[p].id for p in circle if corner.pieces[p].behind & set(circle))
    return JobError(
        [
            Problem(
                where=f"face {corner.faces[face].id!r}, pieces {', '.join(names)}",
                found=f"laps on face {corner.faces[face].id!r} go round in a circle ({around})",
                want="an order in which they can be laid one after the other",
                do="Take one `behind` or `turn` out, or move a piece up or down in the file.",
                key=("piece", next(turned, names[0]), "behind"),
            )
        ]
    )
