"""Put-back: the order in which the repaired stack is laid, and what a hurried crew gets wrong."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.order.aims import Fate
from weatherlap.order.takedown import TakeDown, covers_of, height_of, main_face

TRADES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("framing", ("frame", "masonry")),
    ("sheathing", ("sheathing", "insulation")),
    ("barrier", ("barrier", "membrane")),
    ("flashing", ("flashing",)),
    ("roofing", ("roofing",)),
    ("channels", ("channel",)),
    ("siding", ("cladding",)),
    ("trim and metal", ("trim",)),
    ("gutters", ("gutter",)),
    ("lining", ("lining",)),
)
"""Trades in the order in which each would do all its work at once, with their roles.

Common practice, no source.
"""
_BY_SHEET = {"absorbs": "sheathing", "resists": "barrier", "sheds": "flashing", "open": "siding"}


@dataclass(frozen=True, slots=True)
class Laying:
    """A piece of the repaired corner in the order of laying; ``fate`` is None for a new one."""

    number: int
    piece: int
    trade: str
    face: int
    fate: Fate | None
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Trap:
    """Two pieces that are easily laid in the wrong order: ``first`` must go before ``then``."""

    first: int
    then: int
    face: int
    text: str


@dataclass(frozen=True, slots=True)
class PutBack:
    """The order back, and the traps in it."""

    layings: tuple[Laying, ...]
    traps: tuple[Trap, ...]


def trade_of(corner: Corner, piece: int) -> str:
    """The trade that lays a piece, by its role in the catalogue, else by what it does."""
    own = corner.pieces[piece]
    if own.gutter is not None:
        return "gutters"
    for trade, roles in TRADES:
        if own.role in roles:
            return trade
    return _BY_SHEET[own.sheet.value]


_RANK = {trade: k for k, (trade, _) in enumerate(TRADES)}


def put_back(found: Corner, repaired: Corner, down: TakeDown) -> PutBack:
    """The order in which everything that came off, and everything new, is laid.

    Nothing is laid before what lies behind it; ties go on with the trade and the face at hand,
    from the foot up, then to the trade that comes first.
    """
    fates = {found.pieces[r.piece].id: r.fate for r in down.removals if r.piece in down.off}
    laid = {p.index for p in repaired.pieces if p.id in fates or p.id not in found.piece_named}
    covers = covers_of(repaired)
    behind = {p: {q for q in laid if p in covers[q]} for p in laid}
    order = _sequence(repaired, behind)
    layings = tuple(
        Laying(
            number=k + 1,
            piece=p,
            trade=trade_of(repaired, p),
            face=main_face(repaired, p),
            fate=_fate(fates, repaired.pieces[p].id),
            after=tuple(sorted(behind[p])),
        )
        for k, p in enumerate(order)
    )
    return PutBack(layings, tuple(_traps(repaired, order, behind)))


def _fate(fates: dict[str, Fate], name: str) -> Fate | None:
    fate = fates.get(name)
    return None if fate is Fate.SCRAPPED else fate


def _sequence(corner: Corner, behind: dict[int, set[int]]) -> list[int]:
    waits = {p: set(b) for p, b in behind.items()}
    order: list[int] = []
    hand: tuple[str, int] | None = None
    while waits:
        ready = [p for p, b in waits.items() if not b]
        piece = min(ready, key=lambda p: _next_key(corner, p, hand))
        order.append(piece)
        hand = trade_of(corner, piece), main_face(corner, piece)
        del waits[piece]
        for before in waits.values():
            before.discard(piece)
    return order


def _next_key(
    corner: Corner, piece: int, hand: tuple[str, int] | None
) -> tuple[bool, bool, int, int, float, int]:
    trade, face = trade_of(corner, piece), main_face(corner, piece)
    same_trade = hand is not None and trade == hand[0]
    same_face = same_trade and hand is not None and face == hand[1]
    height = round(height_of(corner, piece), 3)
    return not same_face, not same_trade, _RANK[trade], face, height, piece


def _traps(corner: Corner, order: list[int], behind: dict[int, set[int]]) -> Iterable[Trap]:
    """Pairs that the customary trade-by-trade order would lay the other way round."""
    for then in order:
        for first in sorted(behind[then]):
            early, late = trade_of(corner, then), trade_of(corner, first)
            if _RANK[late] > _RANK[early]:
                yield _trap(corner, first, then)


def _trap(corner: Corner, first: int, then: int) -> Trap:
    a, b = corner.pieces[first], corner.pieces[then]
    shared = {corner.panels[p].face for p in a.panels} & {corner.panels[p].face for p in b.panels}
    face = min(shared) if shared else main_face(corner, first)
    title = corner.faces[face].title
    text = (
        f"Lay the {a.title} before the {b.title}, although it is {trade_of(corner, first)} work: "
        f"on the {title} the {b.title} laps over it."
    )
    return Trap(first, then, face, text)
