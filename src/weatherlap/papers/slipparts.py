"""What of a plan is done and what slipped, as its papers say it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from weatherlap.drawings.barchart import Bar, Fill
from weatherlap.order.goingon import GoneOn, Slip
from weatherlap.papers.leaf import Block, Box, Column, Grid, Part
from weatherlap.papers.planwords import day_words, initials, tasks_words
from weatherlap.run.planning import Planned

_COLUMNS = (
    Column("Task", share=4.0),
    Column("Planned for", share=1.2),
    Column("Done, or now for", share=1.7),
    Column("Days later", numeric=True),
)


def slip_words(gone: GoneOn) -> Iterator[str]:
    """How far the work is, and what became of its end."""
    count, over = len(gone.was.rows), len(gone.finished)
    old = day_words(gone.was.last_day)
    if over == count:
        last = datetime.date.fromisoformat(max(r.last_day for r in gone.done))
        yield (
            f"All {tasks_words(count)} are done, the last on {day_words(last)}; the plan was to "
            f"end on {old}."
        )
        return
    later = gone.days_later
    if later == 0:
        end = f"it still ends on {old}"
    else:
        days = "1 working day" if abs(later) == 1 else f"{abs(later)} working days"
        end = f"it was to end on {old} and now ends {days} {'later' if later > 0 else 'earlier'}"
    is_done = "is done" if over == 1 else "are done"
    yield (
        f"{over} of {tasks_words(count)} {is_done}. The plan goes on from "
        f"{day_words(gone.from_day)}: {end}."
    )


def slip_parts(planned: Planned) -> Iterator[Part]:
    """What slipped, where the plan goes on from what was done."""
    gone = planned.gone
    if gone is None:
        return
    late = {t.id for t in gone.overdue}
    rows = [s for s in gone.slips if s.finished or s.task.id in late]
    blocks: list[Block] = []
    if gone.notes:
        blocks.append(Box("Look at the ticks", gone.notes))
    if rows:
        note = (
            "In working days; less than 0 is earlier. Where others were planned stands with tasks."
        )
        blocks.append(Grid(_COLUMNS, tuple(_row(s) for s in rows), note))
    if blocks:
        yield Part("What slipped", tuple(blocks))


def _row(slip: Slip) -> tuple[str, ...]:
    now = day_words(slip.now)
    return (
        slip.task.text,
        day_words(slip.was),
        f"{'done' if slip.finished else 'now for'} {now}",
        f"{slip.days_later:+d}",
    )


def bars_done(planned: Planned) -> Iterator[Bar]:
    """A bar for each day on which a task was worked at, those of a finished task ticked."""
    gone = planned.gone
    if gone is None:
        return
    days = gone.was.days
    morning = datetime.timedelta(hours=days.begins_h)
    for row in gone.done:
        ticks = [d for d in planned.job.done if d.task == row.task.id]
        begins = min(datetime.date.fromisoformat(t.day) for t in ticks)
        ends = max(datetime.date.fromisoformat(t.day) for t in ticks)
        spent = sum(t.spent_h for t in ticks if t.day == ends.isoformat()) / row.task.crew
        first = datetime.datetime.combine(begins, datetime.time()) + morning
        last = datetime.datetime.combine(ends, datetime.time()) + morning
        yield Bar(
            label=row.task.text if row.finished else f"{row.task.text} (begun)",
            begins=first,
            ends=last + datetime.timedelta(hours=min(spent, days.hours)),
            fill=Fill.GREY,
            who=", ".join(
                dict.fromkeys(initials(planned.hand(t.person).name) for t in ticks if t.person)
            ),
            done=row.finished,
        )
