"""Schedules: waits, hands, days off, the two aims, and what is refused."""

from __future__ import annotations

import datetime
from dataclasses import replace
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import InputError, NoSolution
from weatherlap.order.finishing import best_start, finish_of, open_span, starts_to_choose
from weatherlap.order.hands import Hand
from weatherlap.order.schedule import Plan, schedule
from weatherlap.order.tasks import After, Hours, Kind, Task, Wait, check_tasks, without_implied
from weatherlap.order.weather import RainDays, days_until_dry_run_days, stationary_dry_share
from weatherlap.order.workdays import WorkDays, work_days

MONDAY = datetime.date(2026, 3, 2)
WEEK = range(5)
TWO = (Hand("a", "Ada Pellam"), Hand("b", "Wren Odell"))
NEVER_WET = RainDays((0.0,) * 12)


def days(count: int = 20) -> WorkDays:
    """Working days from a Monday on."""
    return work_days(MONDAY, count, week=WEEK)


def task(name: str, hours: float, *after: str | After, **more: object) -> Task:
    """A task of so many hours."""
    waits = tuple(a if isinstance(a, After) else After(a) for a in after)
    plain = Task(name, name, Kind.OTHER, "labour", Hours(hours, hours, hours), after=waits)
    return replace(plain, **more)


def at(plan: Plan, name: str) -> tuple[float, float]:
    """When a task begins and ends, in working hours."""
    row = next(r for r in plan.rows if r.task.id == name)
    return row.start_h, row.end_h


def test_work_is_shared_by_two():
    """Four tasks of four hours take two hands one day; nobody is at two tasks at once."""
    plan = schedule([task(n, 4) for n in "pqrs"], TWO, days())
    assert plan.finish.value == 8.0
    assert plan.finish.proven
    for hand in "ab":
        rows = sorted((r.start_h, r.end_h) for r in plan.rows if hand in r.hands)
        assert all(x[1] <= y[0] for x, y in pairwise(rows))


def test_a_wait_runs_by_the_clock():
    """Two days of drying that begin on a Friday are over on Monday morning."""
    wet = [task("bare", 36), task("close", 1, After("bare", 48.0, Wait.DRYING))]
    plan = schedule(wet, TWO[:1], days())
    assert plan.days.moment(at(plan, "bare")[1], ending=True).date() == datetime.date(2026, 3, 6)
    assert plan.days.moment(at(plan, "close")[0]) == datetime.datetime(2026, 3, 9, 7, 30)


def test_a_short_wait_runs_overnight():
    """Twelve hours of curing from four in the afternoon are over by the morning."""
    rows = [task("pour", 8), task("load", 1, After("pour", 12.0, Wait.CURING))]
    plan = schedule(rows, TWO, days())
    assert plan.days.moment(at(plan, "load")[0]) == datetime.datetime(2026, 3, 3, 7, 30)


def test_the_rest_is_kept():
    """A day of eight hours from half past seven with half an hour of rest ends at four."""
    calendar = days()
    assert calendar.moment(8.0, ending=True) == datetime.datetime(2026, 3, 2, 16, 0)
    assert calendar.moment(4.0) == datetime.datetime(2026, 3, 2, 12, 0)
    assert calendar.moment(4.0, ending=True) == datetime.datetime(2026, 3, 2, 11, 30)


def test_the_corner_is_opened_no_earlier_than_needed():
    """With the same finish, the piece comes off as late as the wait before the close allows."""
    rows = [
        task("off", 1, opens="wall"),
        task("on", 1, "off", After("permit", 96.0, Wait.PERMIT), closes="wall"),
        task("permit", 1),
    ]
    plan = schedule(rows, TWO, days())
    assert at(plan, "on")[0] == pytest.approx(at(plan, "off")[1])
    assert plan.open.value == 2.0
    assert plan.open.proven


def test_skills_and_days_off_are_kept():
    """Only who has the skill does it, and not on a day off."""
    hands = [
        Hand("a", "Ada", frozenset({"framing"}), frozenset({MONDAY})),
        Hand("b", "Wren", frozenset({"paint"})),
    ]
    rows = [task("frame", 2, skills=("framing",)), task("paint", 2, skills=("paint",))]
    plan = schedule(rows, hands, days())
    assert at(plan, "frame")[0] == 8.0
    assert at(plan, "paint")[0] == 0.0
    assert {r.task.id: r.hands for r in plan.rows} == {"frame": ("a",), "paint": ("b",)}


def test_two_hands_of_different_skills_share_a_task():
    """A task for two takes one from each group where no group has two."""
    hands = [Hand("a", "", frozenset({"x", "y"})), Hand("b", "", frozenset({"x"}))]
    plan = schedule([task("t", 4, crew=2, skills=("x",))], hands, days())
    assert plan.rows[0].hands == ("a", "b")
    assert plan.finish.value == 2.0


def test_not_before_a_day():
    """What cannot begin before a day begins on it."""
    plan = schedule([task("t", 1, not_before="2026-03-04")], TWO, days())
    assert at(plan, "t")[0] == 16.0


def test_the_same_job_gives_the_same_plan():
    """Twice the same, hands and hours."""
    rows = [task(n, 1.5 + k, crew=1 + k % 2) for k, n in enumerate("pqrstu")]
    assert schedule(rows, TWO, days()).rows == schedule(rows, TWO, days()).rows


def test_a_circle_is_refused():
    """Tasks in a circle are named in their order."""
    rows = [task("p", 1, "q"), task("q", 1, "r"), task("r", 1, "p")]
    with pytest.raises(InputError, match=r"in a circle: (p|q|r) waits for") as caught:
        check_tasks(rows)
    assert "Take one of these waits out" in str(caught.value)


def test_unknown_and_repeated_tasks_are_refused():
    """A wait for nothing, and an id that stands twice."""
    with pytest.raises(InputError, match="waits for 'nothing', which there is not"):
        check_tasks([task("p", 1, "nothing")])
    with pytest.raises(InputError, match="id is used again"):
        check_tasks([task("p", 1), task("p", 2)])


def test_nobody_with_the_skill():
    """It is said which task wants what, and how many can."""
    rows = [task("weld", 1, skills=("welding",))]
    with pytest.raises(InputError, match="task weld: nobody can do welding"):
        schedule(rows, [Hand("a", "", frozenset({"paint"}))], days())
    with pytest.raises(InputError, match="2 can do any skill; expected 3"):
        schedule([task("lift", 3, crew=3)], TWO, days())
    with pytest.raises(InputError, match="there is nobody"):
        schedule([task("lift", 3)], [], days())


def test_negative_hours_are_refused():
    """Hours below nought, or out of order."""
    with pytest.raises(InputError, match="found -1, 2, 3"):
        Hours(-1, 2, 3)
    with pytest.raises(InputError, match="found 1, 3, 2"):
        Hours(1, 3, 2)


def test_too_few_days():
    """Work that does not fit into the days is refused, naming what is left over."""
    with pytest.raises(NoSolution, match="No plan fits into the 1 working days"):
        schedule([task("long", 9)], TWO[:1], days(1))


def test_implied_waits_are_left_out():
    """A wait that follows from others goes; one with more of the clock stays."""
    rows = [task("p", 1), task("q", 1, "p"), task("r", 1, "p", "q", After("p", 5.0))]
    assert [a.task for a in without_implied(rows)[2].after] == ["p", "q"]
    plain = without_implied([*rows[:2], task("r", 1, "p", "q")])
    assert [a.task for a in plain[2].after] == ["q"]


def test_without_rain_and_spread_the_plan_holds():
    """All runs end on the day of the plan; the span is that of the plan."""
    rows = [task("off", 4, opens="w", needs_dry=True), task("on", 9, "off", closes="w")]
    plan = schedule(rows, TWO[:1], days())
    finish = finish_of(plan, NEVER_WET, days(60), runs=50)
    assert finish.p50 == finish.p80 == plan.last_day == datetime.date(2026, 3, 3)
    span = open_span(plan, NEVER_WET)
    assert span is not None
    assert (span.days, span.dry_chance, span.wet_days) == (2, 1.0, 0.0)


def test_rain_holds_up_what_needs_dry_weather():
    """One dry day of work with half the days wet, none of them linked: done on day k with 2^-k."""
    half = RainDays(tuple(n / 2 for n in (31, 28.25, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)), 0.0)
    plan = schedule([task("t", 8, needs_dry=True)], TWO[:1], days())
    finish = finish_of(plan, half, days(60), runs=20000)
    assert finish.chance_by(MONDAY) == pytest.approx(0.5, abs=0.012)
    assert finish.chance_by(datetime.date(2026, 3, 4)) == pytest.approx(0.875, abs=0.01)
    inside = schedule([task("t", 8)], TWO[:1], days())
    assert finish_of(inside, half, days(60), runs=20).p80 == MONDAY


def test_hours_spread_the_finish():
    """One task of a triangle 6, 8, 12 h: done on the first day in half the runs (closed form)."""
    rows = [replace(task("t", 8), hours=Hours(6, 8, 12))]
    finish = finish_of(schedule(rows, TWO[:1], days()), NEVER_WET, days(60), runs=40000)
    assert finish.chance_by(MONDAY) == pytest.approx((8 - 6) / (12 - 6), abs=0.01)


def test_a_start_that_keeps_the_weekend_out_is_drier():
    """Two days open: not over a weekend."""
    rows = [task("off", 8, opens="w"), task("on", 8, "off", closes="w")]
    plan = schedule(rows, TWO[:1], days())
    choices = starts_to_choose(plan, RainDays(), days(60), most=5)
    assert [c.span.days for c in choices if c.span] == [2, 2, 2, 2, 4]
    best = best_start(choices)
    assert best is not None
    assert best.start == MONDAY


@pytest.mark.parametrize(
    ("call", "words"),
    [
        pytest.param(lambda: RainDays((1.0,) * 11), "11 figures", id="eleven-months"),
        pytest.param(lambda: RainDays((40.0,) * 12), "days of the month", id="forty-days"),
        pytest.param(lambda: RainDays(persistence=1.0), "from 0 to below 1", id="for-ever"),
        pytest.param(lambda: stationary_dry_share(1.0, 0.0), "neither state", id="stuck"),
        pytest.param(lambda: stationary_dry_share(1.2, 0.0), "from 0 to 1", id="no-chance"),
        pytest.param(lambda: days_until_dry_run_days(0.0, 0.5, 2), "above 0", id="never-dry"),
        pytest.param(lambda: work_days(MONDAY, 5, week=()), "no day of the week", id="no-week"),
        pytest.param(
            lambda: work_days(MONDAY, 5, week=WEEK, begins_h=20.0), "before midnight", id="night"
        ),
    ],
)
def test_what_is_no_weather_or_week_is_refused(call, words):
    """Each says what is wrong."""
    with pytest.raises(InputError, match=words):
        call()


@st.composite
def networks(draw: st.DrawFn) -> list[Task]:
    """Up to nine tasks that wait for earlier ones, some with drying, some for two."""
    rows: list[Task] = []
    for k in range(draw(st.integers(1, 9))):
        before = draw(st.sets(st.integers(0, k - 1), max_size=2)) if k else set()
        waits = [After(f"t{b}", draw(st.sampled_from([0.0, 0.0, 5.0, 24.0, 72.0]))) for b in before]
        rows.append(
            task(
                f"t{k}",
                draw(st.integers(0, 40)) / 4,
                *waits,
                crew=draw(st.integers(1, 2)),
                opens=draw(st.sampled_from(["", "", "w"])),
                closes=draw(st.sampled_from(["", "w"])),
                needs_dry=draw(st.booleans()),
            )
        )
    return rows


@settings(max_examples=25, deadline=None)
@given(networks(), st.booleans())
def test_any_plan_keeps_its_waits_and_hands(rows: list[Task], away: bool):
    """Waits by the clock are over, enough hands are there, nobody is twice at work or away."""
    off = frozenset({MONDAY + datetime.timedelta(1)}) if away else frozenset[datetime.date]()
    hands = (TWO[0], Hand("b", "Wren", frozenset(), off))
    plan = schedule(rows, hands, days(60), effort=0.3)
    by_id = {r.task.id: r for r in plan.rows}
    for row in plan.rows:
        length = row.end_h - row.start_h
        assert length == pytest.approx(-(-row.task.length_h * 4 // 1) / 4)
        assert len(row.hands) == row.task.crew or not length
        for after in row.task.after:
            end = plan.days.clock_h(by_id[after.task].end_h, ending=by_id[after.task].end_h > 0)
            assert plan.days.clock_h(row.start_h) >= end + after.wait_h - 1e-6
    for hand in hands:
        mine = sorted((r.start_h, r.end_h) for r in plan.rows if hand.id in r.hands)
        assert all(x[1] <= y[0] for x, y in pairwise(mine))
        assert not any(
            plan.days.date_at(h) in hand.off for s, e in mine for h in (s, e - 0.1) if e > s
        )
    assert plan.finish.bound <= plan.finish.value
    assert plan.open.bound <= plan.open.value
