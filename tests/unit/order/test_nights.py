"""Days and nights: the cut into days, what stands there, what gets wet, and the covers."""

from __future__ import annotations

import pytest
from ordercases import piece, wall_job

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import build_corner
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.order.days import (
    Move,
    Step,
    changes_of_trade,
    evenings,
    part_by_part,
    standing,
    straight_steps,
)
from weatherlap.order.hours import CrewHours, invented_hours, read_hours
from weatherlap.order.nights import Watch, least_exposed, night_share
from weatherlap.order.putback import put_back
from weatherlap.order.takedown import take_down
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace


def sided_wall(*, patches: tuple[str, ...] = ("left",)) -> Job:
    """A wall whose siding is opened over one or two patches of sheathing to be replaced."""
    at = {"left": (0, 30), "right": (60, 90)}
    rows = []
    for name in patches:
        u0, u1 = at[name]
        rows += [
            piece(f"sheathing-{name}", (u0, 0, u1, 40), sheet="absorbs"),
            piece(f"barrier-{name}", (u0, 0, u1, 40), sheet="resists"),
            piece(f"siding-{name}", (u0, 0, u1, 40), passes=0),
        ]
    changes = [{"do": "replace", "piece": f"sheathing-{name}"} for name in patches]
    return wall_job(rows, changes)


def steps_of(job: Job, table: CrewHours) -> tuple[Step, ...]:
    """The usual row of steps."""
    found, after = build_corner(job), build_corner(as_repaired(job))
    down = take_down(found, after, job.change)
    return straight_steps(found, after, (down, put_back(found, after, down)), table)


def slow(job: Job, day_hours: float) -> tuple[tuple[Step, ...], CrewHours]:
    """Steps of an hour each, and a crew with a day of so many hours."""
    table = invented_hours()
    table = CrewHours(day_hours, 1, table.wet_days_a_year, table.of)
    rows = [Step(s.move, s.piece, s.title, s.trade, 1.0) for s in steps_of(job, table)]
    return tuple(rows), table


def test_days_hold_no_more_work_than_the_crew_has() -> None:
    """Steps are cut into days in their order, none over the crew's hours, none lost."""
    job = sided_wall()
    steps, table = slow(job, 4)
    rows = evenings(job, as_repaired(job), steps, table)
    assert [s for e in rows for s in e.steps] == list(steps)
    assert [e.hours for e in rows] == [4, 2]


def test_a_step_longer_than_a_day_has_its_own() -> None:
    """A long step is not lost and not put with others."""
    job = sided_wall()
    steps, table = slow(job, 0.5)
    assert [len(e.steps) for e in evenings(job, as_repaired(job), steps, table)] == [1] * 6


def test_the_evening_shows_what_is_off_and_what_is_on() -> None:
    """Half-way through what came off is gone; at the end it is the repaired job."""
    job = sided_wall()
    repaired = as_repaired(job)
    steps, table = slow(job, 3)
    first, last = evenings(job, repaired, steps, table)
    assert [p.id for p in first.pieces] == []
    assert first.moved(Move.OFF) == ("siding-left", "barrier-left", "sheathing-left")
    assert last.pieces == repaired.piece


def test_a_piece_that_waits_stands_as_found() -> None:
    """While one part is closed already, the other still stands as it was, taken away or not."""
    rows = [piece("a", (0, 0, 9, 9)), piece("b", (20, 0, 29, 9)), piece("c", (40, 0, 49, 9))]
    changes = [
        {"do": "replace", "piece": "a", "title": "new a"},
        {"do": "take-away", "piece": "b"},
        {"do": "replace", "piece": "c", "title": "new c"},
    ]
    job = wall_job(rows, changes)
    there = standing(job, as_repaired(job), off={"a"}, on={"a"}, ever_off={"a", "b", "c"})
    assert [(p.id, p.title) for p in there] == [("a", "new a"), ("b", ""), ("c", "")]


def night_of(day_hours: float) -> tuple[Watch, list[float]]:
    """Water in of each night of the sided wall, with the watch."""
    job = sided_wall()
    steps, table = slow(job, day_hours)
    rain = site_rain(job.site)
    watch = Watch(job, rain, share=night_share(rain, table, None))
    return watch, [watch.wet_l(e.pieces) for e in evenings(job, as_repaired(job), steps, table)]


def test_open_sheathing_gets_wet_and_by_how_much() -> None:
    """With siding and barrier off the sheathing takes all the rain on it, year over wet days."""
    job = sided_wall()
    rain = site_rain(job.site)
    bare = job.model_copy(update={"piece": job.piece[:1], "change": ()})
    result = trace(build_corner(bare), rain)
    on_it = 30 * 40 * rain.year_l_per_in2(180, 90)
    soaks = sum(r.per_year_l for r in result.ends if r.end.value == "soak")
    assert soaks == pytest.approx(on_it, rel=1e-9)
    _, wet = night_of(2)
    # Evening 1: the sheathing stands bare, and the cavity beside it is open as it was found.
    closed = Watch(job, rain, share=1 / 120).wet_l(job.piece)
    assert wet[0] - closed == pytest.approx(on_it / 120, rel=1e-6)


def test_a_cover_is_a_piece_and_keeps_the_rain_off() -> None:
    """The cover is traced: under it nothing of the bare patch gets wet."""
    rows = [
        piece("sheathing", (0, 0, 96, 96), sheet="absorbs"),
        piece("barrier", (0, 0, 96, 96), sheet="resists"),
        piece("high", (0, 50, 96, 96), passes=0),
        piece("low", (0, 0, 96, 52), passes=0),
    ]
    job = wall_job(rows, [])
    rain = site_rain(job.site)
    table = invented_hours()
    watch = Watch(job, rain, share=night_share(rain, table, None))
    changed = job.model_copy(
        update={"change": wall_job(rows, [{"do": "replace", "piece": "barrier"}]).change}
    )
    steps = steps_of(changed, table)
    day = evenings(changed, as_repaired(changed), steps[:3], table)[0]
    assert {p.id for p in day.pieces} == {"sheathing"}
    night = watch.night(day)
    assert night.wets == ("sheathing",)
    assert night.wet_l > 1
    (cover,) = night.covers
    assert cover.record.on[0].rect == (0, 0, 96, 96)
    assert night.covered_l == pytest.approx(0, abs=1e-9)


def test_a_cover_over_a_hole_laps_six_inches_and_is_taped_to_what_is_tight() -> None:
    """Round a hole in the wall the cover reaches 6 in past it on all sides, and says onto what."""
    rows = [
        piece("sheathing", (0, 0, 96, 96), sheet="absorbs"),
        piece("left", (0, 0, 40, 96), passes=0),
        piece("right", (60, 0, 96, 96), passes=0),
        piece("top", (40, 60, 60, 96), passes=0, title="top board"),
        piece("foot", (40, 0, 60, 20), passes=0),
    ]
    job = wall_job(rows, [])
    rain = site_rain(job.site)
    watch = Watch(job, rain, share=0.01)
    steps: tuple[Step, ...] = (Step(Move.OFF, "none", "none", "siding", 1.0),)
    (day,) = evenings(job, job, steps, invented_hours())
    night = watch.night(day)
    (cover,) = night.covers
    left, low, right, top = cover.record.on[0].rect or (0, 0, 0, 0)
    assert (left, right) == (34, 66)
    assert low <= 14 and 66 <= top <= 96
    assert "top board" in cover.text
    assert night.covered_l < night.wet_l / 100


def test_closing_part_by_part_is_offered_when_it_is_drier_and_free() -> None:
    """Two patches far apart are closed one after the other, if that costs no day and no trade."""
    job = sided_wall(patches=("left", "right"))
    table = invented_hours()
    table = CrewHours(6.0, 1, 120, table.of)
    usual = tuple(Step(s.move, s.piece, s.title, "one", 1.0) for s in steps_of(job, table))
    found, after = build_corner(job), build_corner(as_repaired(job))
    parted = part_by_part(found, after, usual)
    assert [s.piece.split("-")[1] for s in parted] == ["right"] * 6 + ["left"] * 6
    rain = site_rain(job.site)
    watch = Watch(job, rain, share=1 / 120)
    rows = least_exposed(job, as_repaired(job), [usual, parted], table, watch)
    assert [r.steps for r in rows] == [usual, parted]
    assert rows[1].wet_l < rows[0].wet_l
    assert (rows[1].days, rows[1].trade_changes) == (rows[0].days, rows[0].trade_changes)


def test_a_drier_order_that_costs_trade_changes_is_not_offered() -> None:
    """An order with more changes of trade is left aside however dry it is."""
    job = sided_wall(patches=("left", "right"))
    table = CrewHours(6.0, 1, 120, invented_hours().of)
    usual = tuple(Step(s.move, s.piece, s.title, s.trade, 1.0) for s in steps_of(job, table))
    parted = part_by_part(build_corner(job), build_corner(as_repaired(job)), usual)
    assert changes_of_trade(parted) > changes_of_trade(usual)
    watch = Watch(job, site_rain(job.site), share=1 / 120)
    assert len(least_exposed(job, as_repaired(job), [usual, parted], table, watch)) == 1


def test_a_night_is_a_share_of_the_year() -> None:
    """Without a figure the year is spread over the wet days; with one it is that over the year."""
    rain = site_rain(sided_wall().site)
    assert night_share(rain, invented_hours(), None) == 1 / 120
    assert night_share(rain, invented_hours(), 10.0) == 10.0 / rain.rain_year_mm
    with pytest.raises(InputError, match="found 0 mm; expected more than 0 mm"):
        night_share(rain, invented_hours(), 0.0)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param("[", "TOML that can be read", id="no-toml"),
        pytest.param("crew = 2", r"no table \[framing\]", id="no-trade"),
    ],
)
def test_a_bad_table_of_hours_says_what_is_wrong(text: str, says: str) -> None:
    """A table that cannot be read names what it lacks."""
    with pytest.raises(InputError, match=says):
        read_hours(text)
