"""Where in a job's file that stands which a change made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from weatherlap.job.lines import Path
from weatherlap.job.model import Change, Do, Job, PieceRecord


def written(key: Path, repaired: Job, changes: Sequence[Change]) -> Path:
    """Where that of a repaired job stands that a key leads to: in a change, or at a piece."""
    if key[:1] != ("piece",) or len(key) < 2 or not isinstance(key[1], int):
        return key
    name, rest = repaired.piece[key[1]].id, key[2:]
    for k in reversed(range(len(changes))):
        change = changes[k]
        if change.subject != name:
            continue
        if change.new is not None:
            return ("change", k, "new", *rest)
        if change.on and rest[:1] == ("on",):
            return ("change", k, *rest)
        if change.do is Do.EXTEND and rest[:1] == ("on",):
            return ("change", k, "by")
        if change.do is Do.REPLACE and rest[:1] == ("what",):
            return ("change", k, "what")
    return ("piece", name, *rest)


def taken_by(by: Mapping[str, int], changes: Sequence[Change], piece: str) -> str:
    """Which change takes a piece away; ``by`` is the last change about each piece."""
    number = by.get(piece)
    if number is None or changes[number].do is not Do.TAKE_AWAY:
        return "is not there"
    return f"change {number + 1} takes away"


def behind_key(changes: Sequence[Change], piece: PieceRecord, behind: str) -> Path:
    """Where it stands that a piece lies behind another: a change that turned them, or its own."""
    for k, change in enumerate(changes):
        if change.do is Do.TURN and (change.over, change.piece) == (piece.id, behind):
            return ("change", k, "over")
        if change.new is not None and change.new.id == piece.id:
            return ("change", k, "new", "behind")
    return ("piece", piece.id, "behind")
