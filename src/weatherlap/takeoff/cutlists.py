"""Cut lists: the parts of each good as one plan, from new stock, leftovers and what is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from weatherlap.errors import InputError, NoSolution
from weatherlap.job.model import Job
from weatherlap.job.shoprecords import LeftoverRecord, OnHandRecord
from weatherlap.sources.goods import CutBy, Form, Good, Goods
from weatherlap.takeoff.coursing import is_coursed, staggered
from weatherlap.takeoff.cutshapes import CutShape, bar_and_sheet_shapes, roll_shapes
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.coil import Coil, CoilPlan, CoilRules, Strip, plan_coil
from weatherlap.takeoff.cutting.model import (
    BarPiece,
    BarPlan,
    BarStock,
    CutBar,
    CutRules,
    Way,
)
from weatherlap.takeoff.cutting.rolls import Covered, Roll, RollPlan, RollRules, plan_rolls
from weatherlap.takeoff.cutting.sheets import SheetPiece, SheetPlan, SheetStock, plan_sheets
from weatherlap.takeoff.model import Part
from weatherlap.takeoff.splicing import SAME_IN, Site, Spliced, site_of, spliced
from weatherlap.units import tape

IN_PER_FT = 12.0
HAND = "on hand"
LEFT = "leftover"
_LEAST_COVER_IN = 1.0

Plan = BarPlan | CoilPlan | SheetPlan | RollPlan


@dataclass(frozen=True, slots=True)
class CutList:
    """One cutting plan: the good (of rolls the kind that was chosen), its parts, its splices.

    ``titles`` names each piece id of the plan; ``shapes`` are those of pieces that are no
    rectangles. ``least_usd`` is what courses cost at least wherever their joints lie. [US$]
    """

    good: Good
    plan: Plan
    spliced: tuple[Spliced, ...]
    titles: dict[str, str]
    from_hand: bool = False
    shapes: tuple[CutShape, ...] = ()
    least_usd: float | None = None

    def name_of(self, piece_id: str, *, whole_id: str = "") -> str:
        """The title of a piece with its shape; ``whole_id`` is what a length off a roll covers."""
        title = self.titles.get(whole_id or piece_id, piece_id)
        numbers = [str(shape.number) for shape in self.shapes if piece_id in shape.names]
        return f"{title}, shape {' and '.join(numbers)}" if numbers else title

    @property
    def on_studs(self) -> bool:
        """Whether courses butt, and so need a stud behind each joint."""
        plans = (row.plan for row in self.spliced if row.plan is not None)
        laps = [s.to_in - s.from_in for plan in plans for s in plan.splices]
        return self.least_usd is not None and any(lap < SAME_IN for lap in laps)

    @property
    def joints_proven(self) -> bool | None:
        """Whether no other joints of courses cost less; None where none were chosen."""
        if self.least_usd is None or not isinstance(self.plan, BarPlan):
            return None
        return self.plan.cost_usd <= self.least_usd + 0.005


@dataclass(frozen=True, slots=True)
class Stores:
    """What is there already, by the name of the good."""

    on_hand: tuple[OnHandRecord, ...]
    leftover: tuple[LeftoverRecord, ...]

    def hand(self, good: str) -> tuple[OnHandRecord, ...]:
        """Whole stock of a good."""
        return tuple(row for row in self.on_hand if row.good == good)

    def left(self, good: str) -> tuple[LeftoverRecord, ...]:
        """Leftovers of a good."""
        return tuple(row for row in self.leftover if row.good == good)


def stores_of(job: Job, goods: Goods) -> Stores:
    """What a job says is there.

    Raises
    ------
    InputError
        If it names a good that there is not.
    """
    kinds: tuple[tuple[str, Sequence[OnHandRecord | LeftoverRecord]], ...] = (
        ("on_hand", job.on_hand), ("leftover", job.leftover),
    )  # fmt: skip
    for kind, rows in kinds:
        for number, row in enumerate(rows, start=1):
            goods.named(row.good, where=f"{kind} {number}")
    return Stores(job.on_hand, job.leftover)


def cut_lists(
    parts: Sequence[Part], *, job: Job, goods: Goods, brake_in: float
) -> tuple[tuple[CutList, ...], tuple[str, ...]]:
    """A plan for each good that is cut, and what could not be planned, in words.

    Parameters
    ----------
    brake_in : float
        The longest piece that the brake takes. [in]

    Raises
    ------
    InputError
        If what is on hand names a good that there is not.
    """
    stores, site = stores_of(job, goods), site_of(job)
    found: list[CutList] = []
    troubles: list[str] = []
    for group in _groups(parts):
        try:
            found.append(_planned(group, job, stores, replace(site, brake_in=brake_in), goods))
        except (InputError, NoSolution) as error:
            troubles.append(f"{group[0].good.name}: {error}")
    return tuple(found), tuple(troubles)


def _groups(parts: Sequence[Part]) -> Iterator[tuple[Part, ...]]:
    """Parts that are cut from one kind of stock; of rolls, those of one entry."""
    rows: dict[str, list[Part]] = {}
    for part in parts:
        if part.good.form is not Form.EACH:
            is_roll = part.good.form is Form.ROLL
            rows.setdefault(part.entry if is_roll else part.good.id, []).append(part)
    yield from (tuple(group) for group in rows.values())


def _planned(
    group: tuple[Part, ...], job: Job, stores: Stores, site: Site, goods: Goods
) -> CutList:
    good = group[0].good
    match good.form:
        case Form.BAR:
            return _with_shapes(_bar_list(good, group, job, stores, site))
        case Form.COIL:
            return _coil_list(good, group, stores, site)
        case Form.SHEET:
            return _with_shapes(_sheet_list(good, group, job, stores, site))
        case _:
            return _with_shapes(_roll_list(good, group, stores, goods))


def _with_shapes(cut: CutList) -> CutList:
    """A cut list with the shapes of its pieces."""
    if isinstance(cut.plan, RollPlan):
        return replace(cut, shapes=roll_shapes(cut.plan, [row.part for row in cut.spliced]))
    return replace(cut, shapes=bar_and_sheet_shapes(cut.spliced))


def alike_bars(cut: CutList, bars: Sequence[CutBar]) -> tuple[CutBar, ...]:
    """Bars cut alike as one, their pieces by title: what the saw needs to know."""
    found: dict[tuple[object, ...], CutBar] = {}
    for bar in bars:
        names = tuple(cut.name_of(name) for name in bar.piece_ids)
        key = bar.stock_id, bar.lengths_in, names
        old = found.get(key)
        times = bar.times + (old.times if old is not None else 0)
        found[key] = replace(bar, times=times, piece_ids=names)
    return tuple(found.values())


def _titles(spliced_parts: Sequence[Spliced]) -> dict[str, str]:
    return {name: row.part.title for row in spliced_parts for name, _ in row.named()}


def _rules(good: Good, job: Job) -> CutRules:
    if good.cut is CutBy.SHEAR:
        return CutRules(0.0, Way.SHEAR, keep_in=job.shop.keep)
    return CutRules(job.shop.kerf, Way.SAW, job.shop.end_trim, job.shop.keep)


def _bar_list(good: Good, group: tuple[Part, ...], job: Job, stores: Stores, site: Site) -> CutList:
    stock = [
        BarStock(f"new {tape(length)}", length, round(good.usd * length / IN_PER_FT, 2))
        for length in good.lengths_in
    ]
    stock += [
        BarStock(f"{HAND} {tape(row.length or good.lengths_in[0])}",
                 row.length or good.lengths_in[0], 0.0, row.count)
        for row in stores.hand(good.id)
    ]  # fmt: skip
    stock += [
        BarStock(f"{LEFT} {number}, {tape(row.length)}", row.length, 0.0, row.count)
        for number, row in enumerate(stores.left(good.id), start=1)
    ]
    rules = _rules(good, job)
    longest = max(s.length_in for s in stock) - 2 * job.shop.end_trim
    least_usd = None
    if is_coursed(group):
        coursed = staggered(group, stock=stock, rules=rules, site=site)
        rows, least_usd = coursed.rows, coursed.least_usd
    else:
        rows = tuple(spliced(part, longest_in=longest, site=site) for part in group)
    pieces = tuple(
        BarPiece(name, length, row.part.count) for row in rows for name, length in row.named()
    )
    plan = plan_bars(pieces, stock=tuple(stock), rules=rules)
    return CutList(good, plan, rows, _titles(rows), least_usd=least_usd)


def _coil_list(good: Good, group: tuple[Part, ...], stores: Stores, site: Site) -> CutList:
    coils = [Coil("new coil", good.length_in, good.usd)]
    coils += [
        Coil(f"{HAND} {tape(row.length or good.length_in)}", row.length or good.length_in, 0.0,
             row.count)
        for row in stores.hand(good.id)
    ]  # fmt: skip
    coils += [
        Coil(f"{LEFT} {number}, {tape(row.length)}", row.length, 0.0, row.count)
        for number, row in enumerate(stores.left(good.id), start=1)
    ]
    longest = min(site.brake_in, good.length_in)
    rows = tuple(spliced(part, longest_in=longest, site=site) for part in group)
    strips = tuple(
        Strip(name, row.part.width_in, length, row.part.count)
        for row in rows
        for name, length in row.named()
    )
    rules = CoilRules(good.width_in, min(site.brake_in, good.length_in), good.end_lap_in)
    plan = plan_coil(strips, coils=tuple(coils), rules=rules)
    return CutList(good, plan, rows, _titles(rows))


def _sheet_list(
    good: Good, group: tuple[Part, ...], job: Job, stores: Stores, site: Site
) -> CutList:
    stock = [SheetStock("new sheet", good.width_in, good.length_in, good.usd)]
    stock += [
        SheetStock(HAND, good.width_in, row.length or good.length_in, 0.0, row.count)
        for row in stores.hand(good.id)
    ]
    stock += [
        SheetStock(f"{LEFT} {number}", row.width or good.width_in, row.length, 0.0, row.count)
        for number, row in enumerate(stores.left(good.id), start=1)
    ]
    rows = tuple(spliced(part, longest_in=good.length_in, site=site) for part in group)
    pieces = tuple(
        SheetPiece(name, row.part.width_in, length, row.part.count, may_turn=good.turns)
        for row in rows
        for name, length in row.named()
    )
    plan = plan_sheets(pieces, stock=tuple(stock), rules=_rules(good, job))
    return CutList(good, plan, rows, _titles(rows))


def _roll_list(good: Good, group: tuple[Part, ...], stores: Stores, goods: Goods) -> CutList:
    """What is there if one roll of it is enough, else the cheapest kind that is sold."""
    covered = tuple(
        Covered(
            part.id,
            max(part.length_in, _LEAST_COVER_IN),
            max(part.width_in, _LEAST_COVER_IN),
            outline=part.outline,
        )
        for part in group
    )
    kinds = [g for g in goods.good.values() if group[0].entry in g.makes] or [good]
    if good.course_lap_in == 0:
        kinds = [g for g in kinds if g.width_in >= good.width_in]
    rules = RollRules(good.course_lap_in, good.end_lap_in)
    titles = {part.id: part.title for part in group}
    rows = tuple(Spliced(part, (part.length_in,), None, None) for part in group)
    for kind in kinds:
        lengths = [r.length or kind.length_in for r in stores.hand(kind.id)]
        lengths += [r.length for r in stores.left(kind.id)]
        for length in sorted(lengths):
            plan = plan_rolls(
                covered, rolls=(Roll(kind.id, kind.width_in, length, 0.0),), rules=rules
            )
            if plan.rolls == 1:
                return CutList(kind, plan, rows, titles, from_hand=True)
    rolls = tuple(Roll(g.id, g.width_in, g.length_in, g.usd) for g in kinds)
    plan = plan_rolls(covered, rolls=rolls, rules=rules)
    return CutList(goods.good[plan.roll.id], plan, rows, titles)
