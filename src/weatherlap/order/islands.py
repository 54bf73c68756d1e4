"""Islands: faces between which no water can pass, so that each group is traced by itself."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from weatherlap.building.corner import Corner, Face, build_corner
from weatherlap.job.model import Job, PieceRecord

REACH_IN = 1.0
"""Faces whose plans come within this of one another may drip on one another. [in]"""
UPRIGHT_DEG = 90.0 - 1e-6

Plan = tuple[float, float, float, float]


class Islands:
    """The groups of faces of a job, and the group that each piece lies in."""

    def __init__(self, job: Job, pieces: Iterable[PieceRecord]) -> None:
        corner = build_corner(job.model_copy(update={"piece": (), "change": ()}))
        rows = list(pieces)
        part = _Parts(len(corner.faces))
        for contact in corner.contacts:
            part.join(contact.here, contact.there)
        _join_falls(corner, part)
        self._of_face = {f.id: f.index for f in corner.faces}
        self._head_of: dict[str, int] = {}
        for row in rows:
            own = self._faces_of(corner, row)
            for face in own[1:]:
                part.join(own[0], face)
            named = self._head_of.setdefault(row.id, own[0])
            part.join(named, own[0])
        for row in rows:
            for name in row.behind:
                part.join(self._head_of[row.id], self._head_of.get(name, self._head_of[row.id]))
        heads = [part.head(f.index) for f in corner.faces]
        order = {h: k for k, h in enumerate(dict.fromkeys(heads))}
        self._number = [order[h] for h in heads]
        self.jobs = [
            job.model_copy(
                update={
                    "change": (),
                    "piece": (),
                    "face": tuple(f for f, n in zip(job.face, self._number, strict=True) if n == k),
                }
            )
            for k in range(len(order))
        ]

    def face_number(self, face: str) -> int:
        """A face's number in the whole job."""
        return self._of_face[face]

    def of(self, piece: PieceRecord) -> int:
        """The island of a piece."""
        if piece.id in self._head_of:
            return self._number[self._head_of[piece.id]]
        return self._number[self._of_face[piece.on[0].face]]

    def split(self, pieces: Sequence[PieceRecord]) -> list[tuple[PieceRecord, ...]]:
        """Pieces by island, each in stack order."""
        rows: list[list[PieceRecord]] = [[] for _ in self.jobs]
        for piece in pieces:
            rows[self.of(piece)].append(piece)
        return [tuple(row) for row in rows]

    def _faces_of(self, corner: Corner, piece: PieceRecord) -> list[int]:
        """Faces that a piece lies on, or that water can fall from into it or out of it."""
        own = [self._of_face[p.face] for p in piece.on]
        if piece.gutter is not None:
            (x0, y0, _), (x1, y1, _) = piece.gutter.line
            by = piece.gutter.width + REACH_IN
            plan = min(x0, x1) - by, min(y0, y1) - by, max(x0, x1) + by, max(y0, y1) + by
            own += [f.index for f in corner.faces if _meet(plan, _plan(f))]
        return own or [0]


class _Parts:
    """Numbers joined into groups."""

    def __init__(self, count: int) -> None:
        self._up = list(range(count))

    def head(self, k: int) -> int:
        while self._up[k] != k:
            self._up[k] = self._up[self._up[k]]
            k = self._up[k]
        return k

    def join(self, a: int, b: int) -> None:
        self._up[self.head(b)] = self.head(a)


def _join_falls(corner: Corner, part: _Parts) -> None:
    """Join every face to those that water falling from it could land on."""
    plans = [_plan(f) for f in corner.faces]
    for low in corner.faces:
        if low.tilt_deg < UPRIGHT_DEG:
            for high in corner.faces:
                if _meet(plans[low.index], plans[high.index]):
                    part.join(low.index, high.index)


def _plan(face: Face) -> Plan:
    """What a face takes up seen from above, with its reach. [in]"""
    places = [face.frame.to_space(u, v) for u, v in face.outline.exterior.coords]
    xs, ys = [p[0] for p in places], [p[1] for p in places]
    return min(xs) - REACH_IN, min(ys) - REACH_IN, max(xs) + REACH_IN, max(ys) + REACH_IN


def _meet(a: Plan, b: Plan) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]
