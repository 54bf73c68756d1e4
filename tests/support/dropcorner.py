"""The corner as the drop follower sees it: faces, pieces and who lies outside whom, from a job."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from dropgeometry import NEAR, Plane, Point, Space, Span, column, distance, edges, merged, spans

from weatherlap.job.model import Job, passes_of, sheet_of

LEAST = 1 / 16
"""A lap or an offset under this counts as none. [in]"""


@dataclass(frozen=True)
class DropFace:
    """A face: its number, its plane, its outline and its tilt."""

    number: int
    id: str
    plane: Plane
    corners: list[Point]
    facing: float
    tilt: float

    @property
    def level(self) -> bool:
        """Whether water stands on it."""
        return self.tilt == 0

    def on_rim(self, place: Point) -> bool:
        """Whether a place lies on the outline."""
        return any(distance(place, a, b) < NEAR for a, b in edges(self.corners))


@dataclass(frozen=True)
class DropTrough:
    """A lip on a panel: its line from left to right and which ends are dammed."""

    number: int
    left: Point
    right: Point
    left_dammed: bool
    right_dammed: bool
    width: float
    depth: float

    def height(self, u: float) -> float | None:
        """The line's height at u; None beyond its ends. [in]"""
        (u0, v0), (u1, v1) = self.left, self.right
        if not u0 <= u <= u1 or u0 == u1:
            return None
        return v0 + (v1 - v0) * (u - u0) / (u1 - u0)


@dataclass(frozen=True)
class DropGutter:
    """A gutter in space."""

    ends: tuple[Space, Space]
    width: float
    depth: float
    shape: str


@dataclass(frozen=True)
class DropPiece:
    """A piece that holds water back, with its polygons and troughs by face."""

    number: int
    id: str
    absorbs: bool
    sheds: bool
    passes: float
    drip: bool
    sealed_top: bool
    sealed_bottom: bool
    behind: frozenset[str]
    gutter: DropGutter | None
    shapes: dict[int, list[list[Point]]] = field(default_factory=dict)
    troughs: dict[int, list[DropTrough]] = field(default_factory=dict)

    def column(self, face: int, u: float) -> list[Span]:
        """Where the piece lies on the upright line at u of a face, as v. [in]"""
        return merged([s for shape in self.shapes.get(face, ()) for s in column(shape, u)])

    def along(self, face: int, at: Point, way: Point) -> list[Span]:
        """Where the piece lies on a line through a place of a face, as distances from it. [in]"""
        return merged([s for shape in self.shapes.get(face, ()) for s in spans(shape, at, way)])

    def covers(self, face: int, place: Point) -> bool:
        """Whether the piece lies at a place of a face."""
        return any(low <= place[1] <= high for low, high in self.column(face, place[0]))


class DropCorner:
    """Faces and pieces of a job; pieces that hold nothing back are left out."""

    def __init__(self, job: Job) -> None:
        self.faces = [_face(i, record) for i, record in enumerate(job.face)]
        number = {face.id: face.number for face in self.faces}
        self.pieces: list[DropPiece] = []
        self.troughs: list[DropTrough] = []
        for i, record in enumerate(job.piece):
            if sheet_of(record).value != "open":
                self.pieces.append(self._piece(i, record, number))
        self.on_face = [[p for p in self.pieces if f.number in p.shapes] for f in self.faces]

    def _piece(self, i: int, record, number: dict[str, int]) -> DropPiece:
        sheet = sheet_of(record).value
        piece = DropPiece(
            number=i,
            id=record.id,
            absorbs=sheet == "absorbs",
            sheds=sheet == "sheds",
            passes=passes_of(record),
            drip=record.drip,
            sealed_top="top" in [edge.value for edge in record.sealed],
            sealed_bottom="bottom" in [edge.value for edge in record.sealed],
            behind=frozenset(record.behind),
            gutter=_gutter(record.gutter) if record.gutter else None,
        )
        for panel in record.on:
            face = number[panel.face]
            piece.shapes.setdefault(face, []).append(_corners(panel))
            if panel.trough is not None:
                trough = _trough(len(self.troughs), panel.trough)
                self.troughs.append(trough)
                piece.troughs.setdefault(face, []).append(trough)
        return piece

    def outside(self, a: DropPiece, b: DropPiece) -> bool:
        """Whether a lies outside b: the later in the file, unless it was slipped behind."""
        if b.id in a.behind or a.id in b.behind:
            return a.id in b.behind
        return a.number > b.number

    def outermost(self, pieces: Iterable[DropPiece]) -> DropPiece | None:
        """The one of some pieces that lies outside all the others."""
        every = list(pieces)
        for a in every:
            if all(a is b or self.outside(a, b) for b in every):
                return a
        if every:
            raise ValueError("pieces go round in a circle: " + ", ".join(p.id for p in every))
        return None

    def at(self, face: int, place: Point) -> list[DropPiece]:
        """The pieces that lie at a place of a face."""
        return [p for p in self.on_face[face] if p.covers(face, place)]


def _face(number: int, record) -> DropFace:
    if record.outline is not None:
        corners = list(record.outline)
    else:
        w, h = record.width, record.height
        corners = [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]
    plane = Plane.of(record.origin, record.facing, record.tilt)
    return DropFace(number, record.id, plane, corners, record.facing, record.tilt)


def _corners(panel) -> list[Point]:
    if panel.outline is not None:
        return list(panel.outline)
    left, low, right, top = panel.rect
    return [(left, low), (right, low), (right, top), (left, top)]


def _trough(number: int, record) -> DropTrough:
    a, b = record.line
    shut = [end.value for end in record.closed]
    ends = [(a, "start" in shut), (b, "end" in shut)]
    (left, left_dammed), (right, right_dammed) = sorted(ends)
    return DropTrough(number, left, right, left_dammed, right_dammed, record.width, record.depth)


def _gutter(record) -> DropGutter:
    depth = record.width / 2 if record.depth is None else record.depth
    return DropGutter(record.line, record.width, depth, record.shape)
