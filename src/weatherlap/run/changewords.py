"""A change in words, as a carpenter would say it."""

from __future__ import annotations

from collections.abc import Callable

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do
from weatherlap.units import tape


def change_words(found: Corner, repaired: Corner, change: Change) -> str:
    """What a change does, in one short sentence without its stop."""

    def name(piece: str | None) -> str:
        for corner in (found, repaired):
            if piece in corner.piece_named:
                return f"the {corner.piece_named[piece or ''].title}"
        return f"the {piece}"

    return change_said(change, name)


Name = Callable[[str | None], str]


def change_said(change: Change, name: Name) -> str:
    """What a change does, its pieces called as ``name`` calls them."""
    return _WORDS[change.do](change, name)


def _replace(change: Change, name: Name) -> str:
    by = f" by a {change.title}" if change.title and not change.title.startswith("new ") else ""
    by = f" by the {change.title}" if change.title.startswith("new ") else by
    return f"replace {name(change.piece)}{by}"


def _extend(change: Change, name: Name) -> str:
    by, side = change.by or 0.0, "" if change.side is None else change.side.value
    verb = "make" if by > 0 else "trim"
    size = tape(abs(by))
    if by > 0:
        return f"{verb} {name(change.piece)} {size} longer at its {side}"
    return f"{verb} {size} off the {side} of {name(change.piece)}"


_WORDS: dict[Do, Callable[[Change, Name], str]] = {
    Do.TAKE_AWAY: lambda c, name: f"take {name(c.piece)} away",
    Do.REPLACE: _replace,
    Do.ADD: lambda c, _: f"add the {c.new.title or c.new.id}" if c.new else "add a piece",
    Do.TURN: lambda c, name: f"lay {name(c.piece)} over {name(c.over)}",
    Do.EXTEND: _extend,
    Do.UNSEAL: lambda c, name: f"cut {name(c.piece)} open at its {c.edge}",
    Do.SEAL: lambda c, name: f"seal {name(c.piece)} at its {c.edge}",
    Do.DRIP: lambda c, name: f"bend a drip edge onto {name(c.piece)}",
    Do.OPEN_END: lambda c, name: f"open the dammed {c.end} of {name(c.piece)}",
    Do.REUSE: lambda c, name: f"take {name(c.piece)} off and put it back where it was",
}
