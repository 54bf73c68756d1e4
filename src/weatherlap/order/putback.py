"""Put-back: the order in which the repaired stack is laid, and what a hurried crew gets wrong."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.errors import NoSolution
from weatherlap.order.aims import Fate
from weatherlap.order.sequence import StuckError, Turn, in_order
from weatherlap.order.takedown import TakeDown, circle_words, covers_of, height_of, main_face
from weatherlap.order.trapwords import trap_words

TRADES: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("framing", ("frame", "masonry")),
    ("sheathing", ("sheathing", "insulation")),
    ("barrier", ("barrier", "membrane")),
    ("flashing", ("flashing",)),
    ("windows and doors", ()),
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
_WINDOWS_AND_DOORS = ("window-glass", "window-frame", "door-unit")
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
class Lowering:
    """A sheet that was bent up and is let down for good after a step, over pieces laid by then."""

    piece: int
    after: int
    over: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Trap:
    """Pieces that are easily laid in the wrong order: ``first`` must go before all of ``then``."""

    first: int
    then: tuple[int, ...]
    face: int
    text: str


@dataclass(frozen=True, slots=True)
class PutBack:
    """The order back, what is let down again on the way, and the traps in it."""

    layings: tuple[Laying, ...]
    lowered: tuple[Lowering, ...]
    traps: tuple[Trap, ...]


def trade_of(corner: Corner, piece: int) -> str:
    """The trade that lays a piece, by its role in the catalogue, else by what it does."""
    own = corner.pieces[piece]
    if own.gutter is not None:
        return "gutters"
    if own.record.what in _WINDOWS_AND_DOORS:
        return "windows and doors"
    for trade, roles in TRADES:
        if own.role in roles:
            return trade
    return _BY_SHEET[own.sheet.value]


_RANK = {trade: k for k, (trade, _) in enumerate(TRADES)}


def put_back(
    found: Corner, repaired: Corner, down: TakeDown, *, face_first: bool = False
) -> PutBack:
    """The order in which everything that came off, and everything new, is laid.

    Nothing is laid before what lies behind it, unless that slides in later; nor over a sheet that
    was bent up before it is down. Ties go on with the trade and the face at hand, from the foot
    up, then to the trade that comes first.  With
    ``face_first`` a face is finished before the next, with changes of trade as they come.

    Raises
    ------
    NoSolution
        If pieces lie over one another in a circle round several faces.
    """
    fates = {found.pieces[r.piece].id: r.fate for r in down.removals if r.piece in down.off}
    laid = {p.index for p in repaired.pieces if p.id in fates or p.id not in found.piece_named}
    up = {found.pieces[p].id for p in down.bent}
    bent = {p.index for p in repaired.pieces if p.id in up}
    behind: dict[int, set[int]] = {p: set() for p in laid | bent}
    for inner, covers in covers_of(repaired).items():
        if inner in behind:
            for cover in covers & behind.keys():
                behind[cover].add(inner)
    order = [p for p in _sequence(repaired, behind, bent, face_first=face_first) if p in laid]
    for p in laid:
        behind[p] -= bent
    layings = tuple(
        Laying(
            number=k,
            piece=p,
            trade=trade_of(repaired, p),
            face=main_face(repaired, p),
            fate=_fate(fates, repaired.pieces[p].id),
            after=tuple(sorted(behind[p])),
        )
        for k, p in enumerate(order, start=1)
    )
    lowered = tuple(_lowered(sorted(bent), behind, order))
    return PutBack(layings, lowered, tuple(_traps(repaired, order, behind)))


def _lowered(
    bent: Sequence[int], behind: dict[int, set[int]], order: Sequence[int]
) -> Iterator[Lowering]:
    """Each sheet that was bent up, after the last piece that goes behind it."""
    number = {p: k for k, p in enumerate(order, start=1)}
    for sheet in bent:
        under = sorted(behind[sheet] & number.keys(), key=lambda p: number[p])
        if under:
            yield Lowering(sheet, number[under[-1]], tuple(under))


def _fate(fates: dict[str, Fate], name: str) -> Fate | None:
    fate = fates.get(name)
    return None if fate is Fate.SCRAPPED else fate


def _sequence(
    corner: Corner, behind: dict[int, set[int]], bent: set[int], *, face_first: bool
) -> list[int]:
    """The order of laying; what slides in later, or hangs bent up, makes nothing wait for it."""
    must: dict[int, set[int]] = {p: set() for p in behind}
    for p in behind.keys() - bent:
        must[p] = {b for b in behind[p] - bent if not corner.pieces[b].record.slides}
    turns = {}
    for p in behind:
        rank, face = _RANK[trade_of(corner, p)], main_face(corner, p)
        task = (face, rank) if face_first else (rank, face)
        turns[p] = Turn(task, (round(height_of(corner, p), 3), p))
    try:
        return in_order(must, behind, turns)
    except StuckError as stuck:
        raise NoSolution(circle_words(corner, stuck.circle)) from None


def _traps(corner: Corner, order: list[int], behind: dict[int, set[int]]) -> Iterator[Trap]:
    """What the customary trade-by-trade order would lay too late, with all that goes over it."""
    number = {p: k for k, p in enumerate(order)}
    over: dict[tuple[int, str], list[int]] = {}
    for then in order:
        for first in sorted(behind[then]):
            early, late = trade_of(corner, then), trade_of(corner, first)
            if _RANK[late] > _RANK[early] and number[first] < number[then]:
                over.setdefault((first, early), []).append(then)
    for (first, _), rows in sorted(over.items(), key=lambda row: number[row[0][0]]):
        yield _trap(corner, first, tuple(rows))


def _trap(corner: Corner, first: int, then: tuple[int, ...]) -> Trap:
    a = corner.pieces[first]
    own = {corner.panels[p].face for p in a.panels}
    shared = own & {corner.panels[p].face for p in corner.pieces[then[0]].panels}
    face = min(shared) if shared else main_face(corner, first)
    trades = trade_of(corner, first), trade_of(corner, then[0])
    text = trap_words(corner, first, then, face, trades)
    return Trap(first, then, face, text)
