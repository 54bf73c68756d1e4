"""The price of a job: its tasks and goods through the cost book, hidden damage, allowances."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import AllowanceRecord
from weatherlap.money.amounts import Three
from weatherlap.money.chance import Outcome, Uncertain, run_chance, together
from weatherlap.money.costbook import CostBook, invented_costbook, read_costbook
from weatherlap.money.price import (
    BuildUp,
    CostKind,
    CostLine,
    build_up,
    rounded_up,
    with_overhead_and_profit,
)
from weatherlap.money.promises import Allowance
from weatherlap.order.tasks import Kind, Task
from weatherlap.run.hiddenwork import HiddenWork, hidden_work, mend_role, unit_cost_usd
from weatherlap.run.planning import Planned
from weatherlap.run.rates import rates_of
from weatherlap.run.shopping import Shop, shop_job
from weatherlap.run.tasks import TaskList, tasks_of
from weatherlap.run.worked import Worked, work_out

SECTIONS = {
    Kind.PERMIT: "Permits and inspections",
    Kind.INSPECTION: "Permits and inspections",
    Kind.PROTECTION: "Protection and access",
    Kind.TAKE_DOWN: "Taking down",
    Kind.SHORING: "Structure, with holding up",
    Kind.STRUCTURE: "Structure, with holding up",
    Kind.ORDER: "Putting back",
    Kind.SHOP: "Putting back",
    Kind.DRYING: "Putting back",
    Kind.PUT_BACK: "Putting back",
    Kind.PATCHING: "Inside",
    Kind.DISPOSAL: "Disposal and clean-up",
    Kind.CLEAN_UP: "Disposal and clean-up",
    Kind.OTHER: "Other work",
}
_RANK = tuple(dict.fromkeys(SECTIONS.values()))
HIDDEN_GROUP = "hidden"


@dataclass(frozen=True)
class Pricing:
    """A job priced: visible lines, hidden damage, allowances, and the chances of the sum. [USD]

    ``visible`` are the runs over what is seen, ``with_hidden`` those over all of it.
    """

    job: Job
    found: Worked
    tasks: TaskList
    shop: Shop
    book: CostBook
    hidden: HiddenWork
    allowances: tuple[Allowance, ...]
    built: BuildUp
    visible: Outcome
    with_hidden: Outcome
    is_own_book: bool
    planned: Planned | None = None

    @property
    def days(self) -> int:
        """Working days: as the terms say, as planned, or hours over the crew's day. [days]"""
        if self.job.terms is not None and self.job.terms.days is not None:
            return self.job.terms.days
        if self.planned is not None:
            plan = self.planned.plan
            return sum(plan.first_day <= day <= plan.last_day for day in plan.days.days)
        hours = math.fsum(t.hours.likely for t in self.tasks.tasks if not t.outside_crew)
        return max(1, math.ceil(hours / self.tasks.table.day))


def book_of(own: Mapping[str, str]) -> CostBook:
    """The firm's cost book, or the invented one that comes with the program."""
    return read_costbook(own["costs"]) if "costs" in own else invented_costbook()


def price_job(
    job: Job,
    *,
    own: Mapping[str, str] | None = None,
    found: Worked | None = None,
    planned: Planned | None = None,
) -> Pricing:
    """Price a job from its changes.

    Parameters
    ----------
    found : Worked or None
        The job worked out as found, where that is at hand.
    planned : Planned or None
        The job's plan, where it has one: its tasks and days count.

    Raises
    ------
    InputError
        If the job holds no change, or a table of the firm cannot be read.
    NoSolution
        If nothing can be the first to come off, or to go back.
    """
    own = own or {}
    book = book_of(own)
    found = work_out(job) if found is None else found
    tasks = tasks_of(job, rates_of(own)) if planned is None else planned.listed
    shop = shop_job(job, own=own)
    hidden = hidden_work(found, book)
    lines = tuple(cost_lines(tasks, shop, book))
    visible = _chances(lines, hidden, book, with_hidden=False)
    whole = _chances(lines, hidden, book, with_hidden=True)
    allowances = tuple(_allowance(row, found, book) for row in job.allowance)
    likely = math.fsum(line.usd.likely for line in lines)
    built = build_up(
        lines,
        book.on_top,
        contingency_usd=_contingency(visible, likely, book),
        allowances_usd=math.fsum(a.in_price_usd for a in allowances),
    )
    return Pricing(
        job, found, tasks, shop, book, hidden, allowances, built, visible, whole, "costs" in own,
        planned,
    )  # fmt: skip


def _contingency(visible: Outcome, likely: float, book: CostBook) -> float:
    """What is carried so that the visible work stays within it at the chance asked for. [USD]"""
    carry = book.on_top.carry
    return 0.0 if carry is None else max(visible.at(carry) - likely, 0.0)


def cost_lines(tasks: TaskList, shop: Shop, book: CostBook) -> Iterator[CostLine]:
    """Every line of the visible cost, heading by heading."""
    rows = [*_labour(tasks, book), *_goods(tasks, shop, book), *_besides(tasks, shop, book)]
    yield from sorted(rows, key=lambda line: _RANK.index(line.section))


def _labour(tasks: TaskList, book: CostBook) -> Iterator[CostLine]:
    for task in tasks.tasks:
        hour = book.hour_usd(task.trade)
        h = task.hours
        if h.high > 0 and not task.outside_crew:
            usd = Three(h.low, h.likely, h.high).times(hour)
            yield CostLine(task.text, SECTIONS[task.kind], CostKind.LABOUR, usd, task.id)


def _goods(tasks: TaskList, shop: Shop, book: CostBook) -> Iterator[CostLine]:
    laid = _laid(tasks)
    total = 0.0
    for row in (r for r in shop.rows if not r.stand_by):
        names = [n for name in row.pieces for n in (name, name.partition(" (")[0])]
        task = next((laid[name] for name in names if name in laid), None)
        section = SECTIONS[task.kind] if task is not None else "Putting back"
        total += row.total_usd
        usd = book.goods_spread.times(row.total_usd)
        text = f"{row.count} of {row.name}"
        name = task.id if task is not None else ""
        yield CostLine(text, section, CostKind.GOODS, usd, name)
    if total and book.small_things:
        usd = book.goods_spread.times(total * book.small_things)
        yield CostLine("small things that no list names", "Putting back", CostKind.GOODS, usd)


def _laid(tasks: TaskList) -> dict[str, Task]:
    """The task that lays each piece, by its id and its title; goods may add the grade to it."""
    titles = {p.id: p.title for p in tasks.ordered.repaired.pieces}
    names: dict[str, Task] = {}
    for task in (t for t in tasks.tasks if _lays(t)):
        for name in (*task.pieces, *task.members):
            names[name] = names[titles.get(name, name)] = task
    return names


def _lays(task: Task) -> bool:
    return task.kind in (Kind.PUT_BACK, Kind.PATCHING) or task.id.startswith("in-")


def _besides(tasks: TaskList, shop: Shop, book: CostBook) -> Iterator[CostLine]:
    """Equipment, disposal and fees."""
    kinds = {t.kind for t in tasks.tasks}
    for name, row in book.equipment.items():
        if name in tuple(Kind) and Kind(name) in kinds:
            yield CostLine(row.text, SECTIONS[Kind(name)], CostKind.EQUIPMENT, row.usd)
    if Kind.DISPOSAL in kinds:
        yield CostLine(
            "tipping, by the weight of what is new",
            SECTIONS[Kind.DISPOSAL],
            CostKind.DISPOSAL,
            _tipping(shop, book),
        )
    for kind, fee in ((Kind.PERMIT, book.permit_fee), (Kind.INSPECTION, book.inspection_fee)):
        for task in (t for t in tasks.tasks if t.kind is kind and fee.high > 0):
            yield CostLine(f"fee: {task.text}", SECTIONS[kind], CostKind.FEES, fee, task.id)


def _tipping(shop: Shop, book: CostBook) -> Three:
    weight = math.fsum(row.total_lb for row in shop.rows if not row.stand_by)
    by_weight, least = book.disposal_per_lb.times(weight), book.disposal_least
    return Three(
        max(by_weight.low, least.low),
        max(by_weight.likely, least.likely),
        max(by_weight.high, least.high),
    )


def _chances(
    lines: tuple[CostLine, ...], hidden: HiddenWork, book: CostBook, *, with_hidden: bool
) -> Outcome:
    rows = [Uncertain(line.text, line.usd) for line in lines]
    if with_hidden:
        rows += list(_hidden_lines(hidden, book))
    across = min(book.together_visible, book.together_hidden)
    matrix = together(rows, within=max(book.together_hidden, across), across=across)
    return run_chance(rows, matrix)


def _hidden_lines(hidden: HiddenWork, book: CostBook) -> Iterator[Uncertain]:
    for row in hidden.rows:
        usd = row.extent.times(unit_cost_usd(row, book))
        yield Uncertain(row.covered.title, usd, chance=row.chance, group=HIDDEN_GROUP)


def _allowance(record: AllowanceRecord, found: Worked, book: CostBook) -> Allowance:
    """An allowance with its unit price: the job's own, else what the cost book makes of it."""
    piece = found.corner.piece_named.get(record.piece or "")
    usd, reason = record.unit_price, "as the job says"
    if usd is None:
        role = "other" if piece is None else mend_role(piece)
        mend = book.mend_of(role)
        cost = mend.hours.likely * book.hour_usd("framing") + mend.goods_usd.likely
        usd = rounded_up(with_overhead_and_profit(cost, book.on_top), 0.5) / 100.0
        reason = f"from the cost book, mend.{role}"
    return Allowance(
        record.id, record.text, record.unit, record.included, usd, record.actual, reason
    )
