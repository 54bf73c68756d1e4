"""The corner: faces in space, the pieces laid on them, and who lies outside whom."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import cached_property, lru_cache

import shapely
from shapely import Polygon

from weatherlap.building.laying import MadeBefore, Patches, Trough, anchors, lay_on
from weatherlap.errors import JobError, Problem
from weatherlap.job.model import (
    Edge,
    FaceRecord,
    Job,
    PanelRecord,
    PieceRecord,
    Sheet,
    passes_of,
    sheet_of,
)
from weatherlap.shape.folds import Contact, Flat, contacts
from weatherlap.shape.frames import Frame, Place, Vector, frame_of
from weatherlap.shape.patches import Box
from weatherlap.sources.catalogue import entry

LEVEL_DEG = 0.01


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
    def gutters(self) -> tuple[tuple[int, Gutter], ...]:
        """The gutters, each with the number of its piece."""
        return tuple((p.index, p.gutter) for p in self.pieces if p.gutter is not None)

    @cached_property
    def looking_up(self) -> tuple[tuple[Face, Box], ...]:
        """The faces that catch what falls, each with its extent in plan. [in]"""
        return tuple((f, _in_plan(f)) for f in self.faces if f.tilt_deg < 90 - 1e-6)

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


def _in_plan(face: Face) -> Box:
    """The extent of a face seen from above: west, south, east, north. [in]"""
    points = [face.frame.to_space(u, v) for u, v in face.outline.exterior.coords]
    xs, ys, _ = zip(*points, strict=True)
    return min(xs), min(ys), max(xs), max(ys)


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


def _gutter(record: PieceRecord) -> Gutter | None:
    if record.gutter is None:
        return None
    g = record.gutter
    depth = g.depth if g.depth is not None else g.width / 2
    return Gutter(g.line[0], g.line[1], g.width, depth, g.shape)


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
    at = {f.id: f.index for f in faces}
    rows: list[list[Sequence[PanelRecord]]] = [[] for _ in faces]
    places = [_by_face(record, at) for record in job.piece]
    for by_face in places:
        for face, records in by_face.items():
            rows[face].append(records)
    laid = [iter(row) for row in _lay(faces, folds, rows, made or MadeBefore())]
    number = {p.id: i for i, p in enumerate(job.piece)}
    pieces: list[Piece] = []
    panels: list[Panel] = []
    for i, (record, by_face) in enumerate(zip(job.piece, places, strict=True)):
        first = len(panels)
        for face in by_face:
            for polygon, troughs, box in next(laid[face]):
                panels.append(Panel(len(panels), i, face, polygon, troughs, box))
        pieces.append(_piece(i, record, number, tuple(range(first, len(panels)))))
    return Corner(faces, tuple(pieces), tuple(panels), folds)


def _by_face(record: PieceRecord, at: dict[str, int]) -> dict[int, list[PanelRecord]]:
    """The panels of a piece by the face that they lie on."""
    found: dict[int, list[PanelRecord]] = {}
    for panel in record.on:
        found.setdefault(at[panel.face], []).append(panel)
    return found


def _lay(
    faces: Sequence[Face],
    folds: Sequence[Contact],
    rows: Sequence[Sequence[Sequence[PanelRecord]]],
    made: MadeBefore,
) -> Iterator[list[Patches]]:
    """The patches on each face, by piece in file order."""
    ends: list[list[Place]] = [[] for _ in faces]
    for fold in folds:
        ends[fold.here] += [fold.start, fold.end]
    for face, row in zip(faces, rows, strict=True):
        snap = anchors(face.outline, ends[face.index], row)
        yield lay_on(face.outline, snap, row, made.on(face.id, snap))


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
