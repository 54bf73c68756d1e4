"""The papers of a plan: the schedule with its bar chart, and a day plan for each of the crew."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterator, Mapping, Sequence

from weatherlap.drawings.barchart import Bar, Fill, bar_chart
from weatherlap.job.model import Job
from weatherlap.order.finishing import OpenSpan
from weatherlap.order.hours import CrewHours
from weatherlap.order.schedule import Bounded, Placed
from weatherlap.order.tasks import Kind
from weatherlap.papers.binder import Bound
from weatherlap.papers.calendarfile import plan_calendar
from weatherlap.papers.cautions import OPENING_UP, Caution
from weatherlap.papers.dayplans import day_leaf
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.planned import gone_on_for
from weatherlap.papers.planwords import day_words, hours_words, initials, percent, tasks_words
from weatherlap.papers.slipparts import bars_done, slip_parts, slip_words
from weatherlap.run.planning import Planned
from weatherlap.run.plantables import plan_table, rates_text
from weatherlap.run.sofar import SoFar

MOST_BARS = 40
_FILL = {
    Kind.TAKE_DOWN: Fill.EMPTY,
    Kind.SHORING: Fill.FULL,
    Kind.STRUCTURE: Fill.FULL,
    Kind.PUT_BACK: Fill.LINES,
    Kind.PATCHING: Fill.LINES,
}
_LESS = "with this finish leaves it open for less"
_KEYS = ("O-006", "O-007", "O-008")


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers of a job's plan."""
    planned, done = gone_on_for(job, own, tell=on_the_way)
    return bound_plan(planned, done, own_rates="rates" in own)


def bound_plan(planned: Planned, done: SoFar | None, *, own_rates: bool) -> Bound:
    """Leaves, table and files of a plan."""
    leaves = [plan_leaf(planned, done, own_rates=own_rates)]
    leaves += [day_leaf(planned, h) for h in planned.plan.hands if _works(planned, h.id)]
    files = {"plan.ics": plan_calendar(planned)}
    files |= {
        f"day-plan-{h.id}.ics": plan_calendar(planned, hand=h.id)
        for h in planned.plan.hands
        if _works(planned, h.id)
    }
    for drawn in leaves[0].drawings():
        files[f"{drawn.name}.svg"] = drawn.svg.encode("utf-8")
    return Bound(tuple(leaves), plan_table(planned, done), files)


def _works(planned: Planned, hand: str) -> bool:
    return any(hand in row.hands for row in planned.plan.rows)


def plan_leaf(planned: Planned, done: SoFar | None, *, own_rates: bool) -> Leaf:
    """The schedule: when it ends, how long the corner stands open, the bars, every task."""
    long = len(planned.plan.rows) > 12
    parts = [
        *slip_parts(planned),
        *([Part("Weather", tuple(_weather(planned)))] if planned.plan.rows else []),
        Part("Taken for this plan", (Items(_taken(planned, own_rates=own_rates)),)),
    ]
    if planned.plan.rows:
        parts.append(Part("Bar chart", tuple(_charts(planned)), new_page=long))
        parts.append(Part("Tasks", (_task_grid(planned),), new_page=long))
    if done is not None:
        parts.append(Part("So far", tuple(so_far_blocks(done, planned.listed.table))))
    return Leaf(
        name="plan",
        kind="Schedule",
        job_title=planned.job.job.title,
        about=planned.job.job,
        lead=tuple(_lead(planned)),
        parts=tuple(parts),
        cautions=cautions_of(planned.plan.rows),
        sources=_KEYS if done is None else (*_KEYS, "O-009"),
        for_firm=True,
    )


def cautions_of(rows: Sequence[Placed]) -> tuple[Caution, ...]:
    """The cautions that the tasks call for, in the usual order."""
    keys = {key for row in rows for key in row.task.cautions}
    return tuple(c for c in OPENING_UP if c.source in keys)


def _lead(planned: Planned) -> Iterator[str]:
    plan, finish, span = planned.plan, planned.finish, planned.span
    if planned.gone is not None:
        yield from slip_words(planned.gone)
    if not plan.rows:
        return
    hours = sum(r.task.hours.likely for r in plan.rows)
    left = "" if planned.gone is None else " left"
    yield (
        f"From {day_words(plan.first_day)} to {day_words(plan.last_day)} if nothing gets in the "
        f"way: {tasks_words(len(plan.rows))}{left}, {hours_words(hours)} of work. "
        f"{_proof(plan.finish, 'ends earlier')}"
    )
    yield (
        f"With rain and with hours as they may turn out, half of {finish.runs} runs ended by "
        f"{day_words(finish.p50)} and four in five by {day_words(finish.p80)}."
    )
    if span is not None:
        yield f"{_open_words(planned, span)} {_proof(plan.open, _LESS)}"
    yield planned.listed.lead.text


def _open_words(planned: Planned, span: OpenSpan) -> str:
    days = "1 day" if span.days == 1 else f"{span.days} days"
    since = planned.gone.open_since if planned.gone is not None else None
    last = day_words(span.last)
    begin = f"The corner stands open from {day_words(span.first)} to {last}, {days}"
    if since is not None:
        begin = f"The corner stands open since {day_words(since)} and until {last}, {days} more"
    return (
        f"{begin}: the chance that all of it stays dry is {percent(span.dry_chance)}, and "
        f"{span.wet_days:.1f} wet days are usual."
    )


def _proof(row: Bounded, better: str) -> str:
    if row.proven:
        return f"Proven: no plan with this crew {better}."
    return (
        f"Not proven: a plan that {better} may exist, by {percent(row.gap)} at most; the search "
        "was stopped."
    )


def _charts(planned: Planned) -> Iterator[Block]:
    plan = planned.plan
    bars = [*bars_done(planned), *_bars(planned)]
    days = plan.days
    closes = days.begins_h + days.hours + days.rest_h
    first = min(b.begins.date() for b in bars)
    last = max(b.ends.date() for b in bars)
    worked = {*days.days, *(planned.gone.was.days.days if planned.gone is not None else ())}
    every = [first + datetime.timedelta(n) for n in range((last - first).days + 1)]
    span = planned.span
    count = -(-len(bars) // MOST_BARS)
    size = -(-len(bars) // max(count, 1))
    for number in range(count):
        yield Drawn(
            name="plan-bars" if number == 0 else f"plan-bars-{number + 1}",
            title="" if count == 1 else f"Sheet {number + 1} of {count}",
            svg=bar_chart(
                bars[number * size : (number + 1) * size],
                title=f"{planned.job.job.title}: bar chart",
                name=f"plan-bars-{number + 1}",
                day_h=(days.begins_h, closes),
                across=(first, last),
                resting=[d for d in every if d not in worked],
                open_days=None if span is None else (span.first, span.last),
            ),
        )


def _bars(planned: Planned) -> Iterator[Bar]:
    days = planned.plan.days
    ends = {r.task.id: r.end_h for r in planned.plan.rows}
    for row in planned.plan.rows:
        task = row.task
        waits = [ends[a.task] for a in task.after if a.wait_h > 0]
        begins = days.moment(row.start_h)
        yield Bar(
            label=task.text,
            begins=begins,
            ends=max(days.moment(row.end_h, ending=True), begins),
            fill=_FILL.get(task.kind, Fill.GREY),
            who=", ".join(initials(planned.hand(h).name) for h in row.hands),
            waits_from=days.moment(max(waits), ending=True) if waits else None,
        )


def _task_grid(planned: Planned) -> Grid:
    days = planned.plan.days
    gone = planned.gone
    number = {r.task.id: k for k, r in enumerate(planned.plan.rows, start=1)}
    rows = []
    for row in planned.plan.rows:
        begins = days.moment(row.start_h)
        waits = sorted(number[a.task] for a in row.task.after)
        rows.append(
            (
                str(number[row.task.id]),
                row.task.text,
                f"{begins:%a} {begins:%b} {begins.day} {begins:%H:%M}",
                *(() if gone is None else (day_words(gone.was_on(row.task.id)),)),
                ", ".join(initials(planned.hand(h).name) for h in row.hands),
                f"{row.task.hours.likely:.1f}",
                ", ".join(map(str, waits)),
                row.task.id,
            )
        )
    columns = (
        Column("No.", numeric=True, share=0.4),
        Column("Task", share=3.5),
        Column("Begins", share=2.0),
        *(() if gone is None else (Column("Was", share=1.5),)),
        Column("Who", share=0.7),
        Column("Hours", numeric=True, share=0.5),
        Column("After", share=0.9),
        Column("Id", share=2.1),
    )
    note = (
        "Hours are those of one person, most likely. The id is what a tick in the job file names."
    )
    return Grid(columns, tuple(rows), note)


def _weather(planned: Planned) -> Iterator[Block]:
    best, span = planned.best, planned.span
    if planned.gone is not None and not planned.starts:
        words = "Nothing that keeps the rain out is open, and nothing will be."
        if span is not None:
            words = "The corner is opened already: the covers hang every night until it is closed."
        yield Words(words)
        return
    if best is None or best.span is None or span is None:
        yield Words("Nothing that keeps the rain out comes off in this plan.")
        return
    gain = best.span.dry_chance - span.dry_chance
    if best.start == planned.plan.first_day or gain < 0.005:
        yield Words("No start in the next weeks leaves the corner open on drier days.")
    else:
        yield Words(
            f"The driest start in the next weeks is {day_words(best.start)}: open for "
            f"{best.span.days} days, {percent(best.span.dry_chance)} that all stay dry; four in "
            f"five by {day_words(best.finish.p80)}.",
            strong=True,
        )
    rows = tuple(
        (
            day_words(c.start),
            "" if c.span is None else str(c.span.days),
            "" if c.span is None else percent(c.span.dry_chance),
            day_words(c.finish.p50),
            day_words(c.finish.p80),
        )
        for c in planned.starts
    )
    yield Grid(
        (
            Column("Start"),
            Column("Days open", numeric=True),
            Column("All dry", numeric=True),
            Column("Half end by"),
            Column("Four in five end by"),
        ),
        rows,
        "The usual weather of the months, no forecast. Look at the forecast before opening.",
    )


def _taken(planned: Planned, *, own_rates: bool) -> tuple[str, ...]:
    hours = (
        "Hours are those of the firm's own table."
        if own_rates
        else "Hours are invented: give your own as rates.toml."
    )
    return (hours, *planned.listed.notes, *planned.assumed)


def ticks_leaf(job: Job, done: SoFar, table: CrewHours) -> Leaf:
    """What was done so far, alone."""
    return Leaf(
        name="so-far",
        kind="So far",
        job_title=job.job.title,
        about=job.job,
        lead=(),
        parts=(Part("Planned and spent", tuple(so_far_blocks(done, table))),),
        sources=("O-009",),
        for_firm=True,
    )


def so_far_blocks(done: SoFar, table: CrewHours) -> Iterator[Block]:
    """Planned against spent hours, and the rows of the table that they suggest."""
    rows = tuple(
        (
            r.task.text,
            f"{r.planned_h:.1f}",
            f"{r.spent_h:.1f}",
            f"{r.spent_h / r.planned_h:.2f}" if r.finished and r.planned_h else "",
            "yes" if r.finished else "no",
        )
        for r in done.rows
    )
    yield Words(
        f"Finished work was planned at {hours_words(done.planned_h)} and took "
        f"{hours_words(done.spent_h)}; {len(done.left)} tasks are left."
    )
    yield Grid(
        (
            Column("Task", share=4.0),
            Column("Planned h", numeric=True),
            Column("Spent h", numeric=True),
            Column("Spent / planned", numeric=True),
            Column("Finished"),
        ),
        rows,
    )
    text = rates_text(done, table)
    if text:
        lines = tuple(line for line in text.splitlines() if line)
        yield Box("Rows for your rates.toml that these hours suggest", lines)
