"""Lap rules that a change can mend, and those that a mend must not break."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do, Edge, Side
from weatherlap.sources.rulebook import Basis
from weatherlap.water.newpieces import Remedy, over_all
from weatherlap.water.rain import SiteRain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult

SEALED_RULE = "lower-edge-sealed"
SHORT_RULES = ("barrier-lap",)
TURN_RULES = ("lap-way",)
LEDGER_RULE = "ledger-flashing"


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


def rule_remedies(corner: Corner, broken: Broken) -> Iterator[Remedy]:
    """The changes that make a broken rule kept; none where a single change cannot."""
    result = broken.result
    pieces = [corner.pieces[p] for p in result.pieces]
    if any(p.record.keep for p in pieces):
        return
    if result.rule == SEALED_RULE and pieces and pieces[0].sealed_bottom:
        change = Change(do=Do.UNSEAL, piece=pieces[0].id, edge=Edge.BOTTOM)
        yield Remedy((change,), f"cut the sealant at the foot of the {pieces[0].title}")
    if result.rule == LEDGER_RULE and len(pieces) == 2 and result.face is not None:
        yield from over_all(corner, pieces[1], result.face)
        return
    if len(pieces) != 2 or result.face is None:
        return
    upper, lower = pieces
    turn: tuple[Change, ...] = ()
    if corner.outside(lower.index, upper.index):
        turn = (Change(do=Do.TURN, piece=upper.id, over=lower.id),)
    if result.rule in TURN_RULES and turn:
        yield Remedy(turn, f"lay the {upper.title} over the {lower.title}")
    if result.rule in SHORT_RULES:
        by = 0.0 if turn else result.required_in - result.measured_in
        yield from _longer(corner, result, turn, by)


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
