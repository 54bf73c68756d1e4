"""The lightest stock that works in a place, with what the code's table says beside it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from weatherlap.errors import InputError, NoSolution
from weatherlap.structure.factors import strength
from weatherlap.structure.inspect_at import MemberAt, links_by_member
from weatherlap.structure.lumber import describe, weight_pcf
from weatherlap.structure.member_checks import check_member, check_stage
from weatherlap.structure.model import Framing, Member, Stock
from weatherlap.structure.prescriptive import TableSays
from weatherlap.structure.results import Check
from weatherlap.structure.sections import whole_section
from weatherlap.structure.staging import StageResult, as_found

IN3_PER_FT3 = 1728.0
WIDTHS_IN = (1.5,)
DEPTHS_IN = (3.5, 5.5, 7.25, 9.25, 11.25)
TIMBER_BEAMS_IN = ((3.5, 5.5), (3.5, 7.25), (3.5, 9.25), (3.5, 11.25), (5.5, 5.5), (5.5, 7.5),
                   (5.5, 9.5), (5.5, 11.5))  # fmt: skip
POSTS_IN = ((3.5, 3.5), (3.5, 5.5), (5.5, 5.5), (7.5, 7.5))
NEAR = 1.15


@dataclass(frozen=True, slots=True)
class Pick:
    """A stock that works, its weight, its checks and the table's word. [lb/ft]"""

    stock: Stock
    weight_plf: float
    checks: tuple[Check, ...]
    tried: int
    table: TableSays | None = None

    @property
    def worst(self) -> Check:
        """The check that governs."""
        return max(self.checks, key=lambda c: c.ratio)

    @property
    def sentence(self) -> str:
        """The pick in words."""
        beside = f" Table: {self.table.sentence}" if self.table else ""
        return (
            f"{describe(self.stock)}: {self.worst.what} governs at "
            f"{100 * self.worst.ratio:.0f} %.{beside}"
        )


def beam_stocks(species: str, grade: str, *, most_plies: int = 3) -> tuple[Stock, ...]:
    """Beams of plies and of solid timber in a species and grade, lightest first.

    Parameters
    ----------
    most_plies : int
        Most plies. [-]
    """
    built = [
        Stock(w, d, n, species, grade)
        for w in WIDTHS_IN
        for d in DEPTHS_IN
        for n in range(1, most_plies + 1)
    ]
    solid = [Stock(w, d, 1, species, grade) for w, d in TIMBER_BEAMS_IN]
    return tuple(sorted((*built, *solid), key=lambda s: (s.total_width_in * s.depth_in, s.plies)))


def post_stocks(species: str, grade: str) -> tuple[Stock, ...]:
    """Solid posts in a species and grade, lightest first."""
    return tuple(Stock(w, d, 1, species, grade) for w, d in POSTS_IN)


def weight_plf(stock: Stock, *, member: Member) -> float:
    """Weight per foot. [plf]

    Sources
    -------
    S-022.
    """
    pcf = weight_pcf(stock, wet=member.service.wet, treated=member.service.treated)
    return pcf / IN3_PER_FT3 * stock.total_width_in * stock.depth_in * 12.0


def pick_stock(
    framing: Framing,
    name: str,
    stocks: tuple[Stock, ...],
    *,
    beside: Callable[[Stock], TableSays | None] | None = None,
    snow_is_strength_level: bool = False,
    stage: StageResult | None = None,
) -> Pick:
    """The lightest of some stocks that works for a member where it stands.

    Each stock is first judged by the forces found with the member's own stock, scaled for what its
    stiffness changes; the first that may work is then put into the frame and checked again.

    Parameters
    ----------
    stocks : tuple of Stock
        Stocks to try.
    beside : callable, optional
        What the code's table says of a stock in this place.
    snow_is_strength_level : bool
        Snow is that of ASCE 7-22.
    stage : StageResult, optional
        The framing as it stands with the member's own stock, if it was run already.

    Raises
    ------
    NoSolution
        None of them works, or none is given.
    InputError
        The framing with the member's own stock does not stand.
    """
    if not stocks:
        raise NoSolution(f"member {name!r}: no stock is left to try; add a support.")
    member = framing.member(name)
    if stage is None:
        stage = as_found(framing, snow_is_strength_level=snow_is_strength_level)
    if not stage.stands:
        raise InputError(f"member {stage.loose[0]!r}", "nothing that holds it", "a load path")
    ordered = sorted(stocks, key=lambda s: weight_plf(s, member=member))
    for tried, stock in enumerate(ordered, 1):
        if _rough_ratio(framing, stage, member, stock) > NEAR:
            continue
        checks = _checked(framing, name, stock, snow_is_strength_level)
        if checks and all(c.holds for c in checks):
            said = beside(stock) if beside else None
            return Pick(stock, weight_plf(stock, member=member), checks, tried, said)
    raise NoSolution(
        f"member {name!r}: none of {len(stocks)} stocks works; add a support, a stronger grade, "
        "or typed values of engineered lumber."
    )


def _rough_ratio(framing: Framing, stage: StageResult, member: Member, stock: Stock) -> float:
    """Worst ratio with another stock under the forces found; refused stock is infinite."""
    other = replace(member, stock=stock)
    try:
        stiff = _stiffness(member) / _stiffness(other)
    except InputError:
        return float("inf")
    worst = 0.0
    dead_lines = stage.dead.lines[member.id]
    links = links_by_member(framing.members, stage=stage)[member.id]
    dead = MemberAt(
        other, replace(dead_lines, move_in=dead_lines.move_in * stiff), stage.dead, stage, links
    )
    for carried in stage.carried:
        lines = carried.lines[member.id]
        moved = replace(lines, move_in=lines.move_in * stiff)
        at = MemberAt(other, moved, carried, stage, links)
        worst = max([worst, *(c.ratio for c in check_member(at, dead=dead))])
    return worst


def _stiffness(member: Member) -> float:
    """E I of a member. [lb in2]"""
    return strength(member, duration=1.0).e.value * whole_section(member).strong_inertia_in4


def _checked(
    framing: Framing, name: str, stock: Stock, snow_is_strength_level: bool
) -> tuple[Check, ...]:
    """Checks of the member in the frame with the stock."""
    members = tuple(replace(m, stock=stock) if m.id == name else m for m in framing.members)
    trial = replace(framing, members=members)
    stage = as_found(trial, snow_is_strength_level=snow_is_strength_level)
    found, _ = check_stage(trial, stage, only=name)
    return found
