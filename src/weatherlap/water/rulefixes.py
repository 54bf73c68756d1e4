"""Lap rules that a change can mend, and those that a mend must not break."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do, Edge, Side
from weatherlap.sources.rulebook import Basis
from weatherlap.water.edgepieces import off_ground
from weatherlap.water.foldpieces import base_flashing, cut_clear, diverter, shelf_near, taller
from weatherlap.water.newpieces import Remedy, over_all
from weatherlap.water.rain import SiteRain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult

SHORT_RULES = ("barrier-lap",)
TURN_RULES = ("lap-way",)
MUST_KEEP = frozenset(("lower-edge-sealed", "ledger-flashing", *SHORT_RULES, *TURN_RULES))
"""Rules whose changes are always at hand; an answer that breaks one is none."""


@dataclass(frozen=True, slots=True)
class Broken:
    """A rule that is not kept between some pieces."""

    key: str
    result: RuleResult
    text: str


def broken_rules(corner: Corner, rain: SiteRain) -> tuple[Broken, ...]:
    """The code and practice rules that a corner does not keep."""
    return tuple(
        Broken(_key(corner, r), r, r.text)
        for r in check_rules(corner, rain=rain, gutter_lph={})
        if not r.ok and r.basis is not Basis.PHYSICS
    )


def _key(corner: Corner, result: RuleResult) -> str:
    names = sorted(corner.pieces[p].id for p in result.pieces)
    return f"{result.rule}|{'|'.join(names)}"


def rule_remedies(corner: Corner, broken: Broken, every: Sequence[Broken] = ()) -> Iterator[Remedy]:
    """The changes that make a broken rule kept; none where no change here can.

    ``every`` are all broken rules of the corner: like faults of like pieces are mended together.
    """
    cure = _CURES.get(broken.result.rule)
    pieces = [corner.pieces[p] for p in broken.result.pieces]
    if cure is not None and not any(p.record.keep for p in pieces):
        alike = [b.result for b in every if b.result.rule == broken.result.rule]
        yield from cure(corner, broken.result, alike or [broken.result])


Cure = Callable[[Corner, RuleResult, Sequence[RuleResult]], Iterator[Remedy]]


def _unsealed(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    piece = corner.pieces[result.pieces[0]]
    if piece.sealed_bottom:
        change = Change(do=Do.UNSEAL, piece=piece.id, edge=Edge.BOTTOM)
        yield Remedy((change,), f"cut the sealant at the foot of the {piece.title}")


def _ledger(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    if len(result.pieces) == 2 and result.face is not None:
        yield from over_all(corner, corner.pieces[result.pieces[1]], result.face)


def _lapped(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    if len(result.pieces) != 2 or result.face is None:
        return
    upper, lower = (corner.pieces[p] for p in result.pieces)
    turn: tuple[Change, ...] = ()
    if corner.outside(lower.index, upper.index):
        turn = (Change(do=Do.TURN, piece=upper.id, over=lower.id),)
    if result.rule in TURN_RULES and turn:
        yield Remedy(turn, f"lay the {upper.title} over the {lower.title}")
    if result.rule in SHORT_RULES:
        by = 0.0 if turn else result.required_in - result.measured_in
        yield from _longer(corner, result, turn, by)


def _flashed(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    """A base flashing where there is none; all that are too low replaced by taller ones."""
    if result.face is None or result.at is None:
        return
    if len(result.pieces) == 1:
        low = [(r.pieces[0], r.face, r.required_in - r.measured_in) for r in alike
               if len(r.pieces) == 1 and r.face is not None]  # fmt: skip
        yield from taller(corner, low)
        return
    shelf = shelf_near(corner, result.face, result.at)
    if shelf is not None:
        yield from base_flashing(corner, shelf)


def _diverted(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    if not result.pieces and result.face is not None and result.at is not None:
        yield from diverter(corner, result.face, result.at)


def _cleared(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    if result.face is None or result.at is None:
        return
    shelf = shelf_near(corner, result.face, result.at)
    if shelf is not None:
        yield from cut_clear(corner, result.pieces[0], shelf, result.required_in)


def _raised(corner: Corner, result: RuleResult, alike: Sequence[RuleResult]) -> Iterator[Remedy]:
    del alike
    wood, ground = result.pieces
    yield from off_ground(corner, wood, ground, result.required_in - result.measured_in)


def _longer(
    corner: Corner, result: RuleResult, turn: tuple[Change, ...], by: float
) -> Iterator[Remedy]:
    upper, lower = (corner.pieces[p] for p in result.pieces)
    if by <= 0:
        yield Remedy(turn, f"lay the {upper.title} over the {lower.title}")
        return
    assert result.face is not None
    face = corner.faces[result.face].id
    by = round(by * 16 + 0.499) / 16
    for piece, side, way in ((upper, Side.BOTTOM, "down"), (lower, Side.TOP, "up")):
        change = Change(do=Do.EXTEND, piece=piece.id, face=face, side=side, by=by)
        yield Remedy((*turn, change), f"bring the {piece.title} {way} by what the lap lacks")


_CURES: dict[str, Cure] = {
    "lower-edge-sealed": _unsealed,
    "ledger-flashing": _ledger,
    "barrier-lap": _lapped,
    "lap-way": _lapped,
    "base-flashing-up": _flashed,
    "diverter": _diverted,
    "siding-to-roof": _cleared,
    "siding-to-flashing": _cleared,
    "wood-to-soil": _raised,
    "wood-to-paving": _raised,
}
