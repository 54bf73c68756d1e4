"""Aims: which pieces a job's changes make come off, and what becomes of each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do, Edge, Sheet, Side

STRIP_IN = 1.0
"""Width along an edge that must lie open to work on the edge. [in]"""


class Fate(StrEnum):
    """What becomes of a piece that comes off."""

    SCRAPPED = "scrapped"
    CHANGED = "goes back changed"
    BACK = "goes back as it was"


@dataclass(frozen=True, slots=True)
class Aim:
    """A piece that must come off: what becomes of it, and why."""

    piece: int
    fate: Fate
    why: str


_RANK = {Fate.SCRAPPED: 2, Fate.CHANGED: 1, Fate.BACK: 0}


def aims(found: Corner, changes: Sequence[Change]) -> dict[int, Aim]:
    """The pieces that the changes themselves make come off, by number as found."""
    kept: dict[int, Aim] = {}
    for change in changes:
        for aim in _aims_of(found, change):
            old = kept.get(aim.piece)
            if old is None or _RANK[aim.fate] > _RANK[old.fate]:
                kept[aim.piece] = aim
    return kept


def _aims_of(found: Corner, change: Change) -> list[Aim]:
    piece = found.piece_named.get(change.piece or "")
    if piece is None:
        return []
    why = change.why or _WHY.get(change.do, "")
    if change.do in (Do.TAKE_AWAY, Do.REPLACE):
        return [Aim(piece.index, Fate.SCRAPPED, why)]
    if _cut_in_place(found, change):
        return []
    if change.do is Do.EXTEND:
        longer = change.by is not None and change.by > 0
        fate = Fate.SCRAPPED if longer else Fate.CHANGED
        return [Aim(piece.index, fate, why if longer else change.why or "is trimmed")]
    if change.do is Do.DRIP:
        return [Aim(piece.index, Fate.CHANGED, why)]
    if change.do is Do.REUSE:
        return [Aim(piece.index, Fate.BACK, why)]
    if change.do is Do.TURN:
        other = found.piece_named.get(change.over or "")
        if other is not None:
            outer = other if found.outside(other.index, piece.index) else piece
            return [Aim(outer.index, Fate.BACK, why)]
    return []


_WHY = {
    Do.TAKE_AWAY: "is taken away",
    Do.REPLACE: "is replaced",
    Do.EXTEND: "is renewed, longer",
    Do.DRIP: "gets a drip edge",
    Do.REUSE: "is in the way",
    Do.TURN: "its lap is turned",
}


def laid_anew(repaired: Corner, found: Corner, off: set[int]) -> set[int]:
    """Pieces of the repaired corner that the work lays: new ones, and those that came off."""
    names = {found.pieces[p].id for p in off}
    return {p.index for p in repaired.pieces if p.id in names or p.id not in found.piece_named}


def _cut_in_place(found: Corner, change: Change) -> bool:
    """Whether wood is cut back along its foot or its top where it stands."""
    piece = found.piece_named.get(change.piece or "")
    shorter = change.do is Do.EXTEND and change.by is not None and change.by < 0
    upright = change.side in (Side.TOP, Side.BOTTOM)
    return piece is not None and shorter and upright and piece.sheet is Sheet.ABSORBS


@dataclass(frozen=True, slots=True)
class WorkedEdge:
    """An edge of a panel that is worked on in place, and how wide it must lie open. [in]"""

    piece: int
    panel: int
    edge: Edge
    strip_in: float = STRIP_IN


def edges_worked_on(found: Corner, changes: Sequence[Change]) -> list[WorkedEdge]:
    """Each edge that is sealed, cut open, cut back or undammed in place."""
    rows = []
    for change in changes:
        piece = found.piece_named.get(change.piece or "")
        if piece is None:
            continue
        if change.do in (Do.SEAL, Do.UNSEAL) and change.edge is not None:
            rows += [WorkedEdge(piece.index, p, change.edge) for p in piece.panels]
        if change.do is Do.OPEN_END:
            rows += [WorkedEdge(piece.index, p, Edge.BOTTOM) for p in piece.panels]
        if _cut_in_place(found, change):
            edge = Edge.TOP if change.side is Side.TOP else Edge.BOTTOM
            by = STRIP_IN - (change.by or 0.0)
            rows += [
                WorkedEdge(piece.index, p, edge, by)
                for p in piece.panels
                if found.faces[found.panels[p].face].id == change.face
            ]
    return rows
