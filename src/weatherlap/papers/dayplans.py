"""A day plan: what one person does on each day, with whom, and what to watch."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from weatherlap.order.hands import Hand
from weatherlap.order.schedule import Placed
from weatherlap.papers.calendarfile import Span, parts_by_day
from weatherlap.papers.cautions import OPENING_UP
from weatherlap.papers.leaf import Box, Column, Grid, Leaf, Part
from weatherlap.papers.planwords import day_words
from weatherlap.run.planning import Planned

_COLUMNS = (
    Column("From", share=0.6),
    Column("To", share=0.6),
    Column("Task", share=4.6),
    Column("With", share=1.3),
    Column("Watch", share=1.7),
    Column("Hours", share=0.7),
)


def day_leaf(planned: Planned, hand: Hand) -> Leaf:
    """The days of one person."""
    days: dict[datetime.date, list[tuple[Span, Placed]]] = {}
    for row in planned.plan.rows:
        if hand.id in row.hands:
            for span in parts_by_day(row, planned.plan.days):
                days.setdefault(span[0].date(), []).append((span, row))
    keys = {k for rows in days.values() for _, r in rows for k in r.task.cautions}
    return Leaf(
        name=f"day-plan-{hand.id}",
        kind="Day plan",
        job_title=planned.job.job.title,
        about=planned.job.job,
        lead=(f"{hand.name}: {len(days)} days from {day_words(min(days))} on.",),
        parts=tuple(
            Part(day_words(day), tuple(_day(planned, hand, rows)))
            for day, rows in sorted(days.items())
        ),
        cautions=tuple(c for c in OPENING_UP if c.source in keys),
        for_firm=True,
    )


def _day(planned: Planned, hand: Hand, rows: list[tuple[Span, Placed]]) -> Iterator[Grid | Box]:
    yield Grid(_COLUMNS, tuple(_row(planned, hand, s, r) for s, r in rows))
    span, day = planned.span, rows[0][0][0].date()
    if span is not None and span.first <= day < span.last:
        yield Box("Tonight the corner stands open", ("Hang the covers before you go.",))


def _row(planned: Planned, hand: Hand, span: Span, row: Placed) -> tuple[str, ...]:
    heads = {c.source: c.head for c in OPENING_UP}
    watch = [heads[k].lower() for k in row.task.cautions if k in heads]
    if row.task.needs_dry:
        watch.append("dry weather")
    return (
        f"{span[0]:%H:%M}",
        f"{span[1]:%H:%M}",
        row.task.text,
        ", ".join(planned.hand(h).name for h in row.hands if h != hand.id),
        ", ".join(watch),
        "",
    )
