"""A plan that goes on: what is done stays, the rest is placed anew, slips are said."""

from __future__ import annotations

import datetime

import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.order.hours import invented_hours
from weatherlap.papers.planned import planned_for
from weatherlap.papers.plansheets import bind
from weatherlap.papers.slipparts import slip_words
from weatherlap.run.goingon import go_on
from weatherlap.run.planning import plan_job
from weatherlap.run.plantables import plan_table
from weatherlap.run.sofar import so_far

WALL = """[job]
title = "Side wall"
date = 2026-03-20

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96

[[piece]]
id = "sheathing"
what = "osb"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "barrier"
what = "housewrap"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "siding"
what = "vinyl-siding"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[change]]
do = "replace"
piece = "barrier"

[[reading]]
face = "wall"
at = [20, 20]
percent = 27
piece = "sheathing"

[work]
start = 2026-04-13
built = 1990
drying_days = 2

[[person]]
id = "ada"
name = "Ada Pellam"

[[person]]
id = "wren"
name = "Wren Odell"
"""
DAY = datetime.date


def tick(task: str, day: str, hours: float, person: str = "ada", *, finished: bool = True) -> str:
    """A tick."""
    return (
        f'\n[[done]]\ntask = "{task}"\nday = {day}\nhours = {hours}\nperson = "{person}"\n'
        f"finished = {'true' if finished else 'false'}\n"
    )


def gone_on(*ticks: str, today: DAY | None = None, start: DAY | None = None):
    """The plan of the wall from its ticks on."""
    job = read_job(WALL + "".join(ticks))
    was = plan_job(job, invented_hours(), starts=1)
    return go_on(was, so_far(was.listed), today=today, start=start, starts=1)


def row(planned, name: str):
    """A task in its place."""
    return next(r for r in planned.plan.rows if r.task.id == name)


def test_what_is_done_is_not_planned_again():
    """Two finished tasks are gone; nothing that is left begins before today."""
    planned = gone_on(tick("protect", "2026-04-13", 2), tick("staging", "2026-04-13", 3),
                      today=DAY(2026, 4, 15))  # fmt: skip
    names = {r.task.id for r in planned.plan.rows}
    assert not {"protect", "staging"} & names
    assert planned.plan.first_day == DAY(2026, 4, 15)
    assert planned.gone.finished == {"protect", "staging"}
    assert {n for r in planned.plan.rows for a in r.task.after for n in [a.task]} <= names


def test_what_is_begun_has_the_rest_of_its_hours():
    """1.5 h planned: 0.5 h spent leave 1 h; 5 h spent and not done leave a quarter."""
    half = gone_on(tick("protect", "2026-04-13", 0.5, finished=False))
    assert row(half, "protect").task.hours.likely == pytest.approx(1.0)
    long = gone_on(tick("protect", "2026-04-13", 5, finished=False))
    assert row(long, "protect").task.hours.likely == pytest.approx(1.5 / 4)


def test_hours_of_today_are_not_spent_twice():
    """Ada has worked 7.5 of 8 h on the day the plan goes on; nobody named falls to Wren."""
    planned = gone_on(tick("protect", "2026-04-13", 6), tick("staging", "2026-04-13", 1.5))
    free = {h.id: h.free_h for h in planned.plan.hands}
    assert free == {"ada": 7.5, "wren": 0.0}
    for placed in planned.plan.rows:
        assert "ada" not in placed.hands or placed.start_h >= 7.5
    text = tick("protect", "2026-04-13", 6) + tick("staging", "2026-04-13", 3).replace(
        'person = "ada"\n', ""
    )
    assert {h.id: h.free_h for h in gone_on(text).plan.hands} == {"ada": 6.0, "wren": 3.0}


def test_a_wait_runs_from_the_day_it_really_began():
    """Bare on Thursday, two days to dry: the meter on Monday, not before."""
    ticks = [
        tick(name, "2026-04-16", 1)
        for name in ("protect", "staging", "off-wall-siding", "off-wall-barrier")
    ]
    planned = gone_on(*ticks, today=DAY(2026, 4, 17))
    meter = row(planned, "dry-sheathing")
    assert planned.plan.days.date_at(meter.start_h) == DAY(2026, 4, 20)
    assert planned.gone.open_since == DAY(2026, 4, 16)
    assert planned.span.first == DAY(2026, 4, 17)
    assert planned.span.last == planned.plan.days.date_at(
        row(planned, "on-wall-siding").end_h, ending=True
    )
    assert planned.starts == ()


def test_what_slipped_is_said_in_working_days():
    """A tick on Wednesday for Monday's task is two later; what should be over is overdue."""
    planned = gone_on(tick("protect", "2026-04-15", 2), today=DAY(2026, 4, 16))
    slip = next(s for s in planned.gone.slips if s.task.id == "protect")
    assert (slip.was, slip.now, slip.days_later) == (DAY(2026, 4, 13), DAY(2026, 4, 15), 2)
    assert "staging" in {t.id for t in planned.gone.overdue}
    was, now = planned.gone.was.last_day, planned.plan.last_day
    weekdays = [d for d in range((now - was).days) if (was + datetime.timedelta(d)).weekday() < 5]
    assert planned.gone.days_later == len(weekdays) > 0
    words = " ".join(slip_words(planned.gone))
    assert f"{len(weekdays)} working days later" in words
    table = plan_table(planned)
    assert table["gone_on"]["working_days_later"] == len(weekdays)


def test_work_on_a_day_off_counts():
    """A tick on a Saturday lies between Friday and Monday."""
    planned = gone_on(tick("protect", "2026-04-18", 2))
    assert planned.gone.from_day == DAY(2026, 4, 18)
    assert planned.plan.first_day == DAY(2026, 4, 20)
    assert all(h.free_h == 0.0 for h in planned.plan.hands)


def test_a_tick_out_of_turn_is_asked_about():
    """The barrier is off and the siding over it is not: one of the two is wrong."""
    planned = gone_on(tick("off-wall-barrier", "2026-04-13", 1))
    assert any("off-wall-siding" in note for note in planned.gone.notes)


def test_going_on_before_the_last_tick_is_refused():
    """Work that was done on Wednesday cannot be planned from Tuesday on."""
    with pytest.raises(InputError, match="2026-04-14 lies before 2026-04-15"):
        gone_on(tick("protect", "2026-04-15", 2), start=DAY(2026, 4, 14))


def test_when_all_is_done_nothing_is_planned():
    """Every task ticked: the last day is said, and the papers are still made."""
    names = [t.id for t in plan_job(read_job(WALL), invented_hours(), starts=1).listed.tasks]
    text = WALL + "".join(tick(name, "2026-04-20", 0.5) for name in names)
    made = bind(read_job(text), own={}, on_the_way=lambda _: None)
    assert made.table["tasks"] == []
    assert "All 9 tasks are done, the last on Mon, Apr 20" in made.leaves[0].lead[0]


def test_ticks_change_nothing_of_what_was_promised():
    """Price and scope go by the plan as it was made."""
    text = WALL + tick("protect", "2026-04-15", 9)
    ticked, bare = planned_for(read_job(text), {}), planned_for(read_job(WALL), {})
    assert ticked.plan.rows == bare.plan.rows
    assert ticked.finish == bare.finish
