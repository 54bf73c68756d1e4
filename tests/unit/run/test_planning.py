"""The plan of a job: its tasks, what they wait for, ticks, and records that do not hold."""

from __future__ import annotations

import datetime

import pytest

from weatherlap.errors import InputError, JobError
from weatherlap.job.reading import read_job
from weatherlap.order.hours import invented_hours, read_hours
from weatherlap.order.tasks import Kind
from weatherlap.run.planning import plan_job
from weatherlap.run.plantables import plan_table, rates_text
from weatherlap.run.sofar import so_far
from weatherlap.run.tasks import tasks_of

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
id = "stud"
what = "stud"
on = [{ face = "wall", rect = [40, 0, 42, 96] }]

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
what = "fibre-cement-siding"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[change]]
do = "replace"
piece = "barrier"
"""
WORK = """
[work]
start = 2026-04-13
built = 1964
drying_days = 3
"""
WET = """
[[reading]]
face = "wall"
at = [20, 20]
percent = 27
piece = "sheathing"
"""
OUT = '\n[[change]]\ndo = "replace"\npiece = "stud"\n'


def job(more: str = WORK):
    """The wall with more records."""
    return read_job(WALL + more)


def named(more: str = WORK):
    """Its tasks by id."""
    return {t.id: t for t in tasks_of(job(more), invented_hours()).tasks}


def waits(task):
    """The tasks that a task waits for, with the hours by the clock."""
    return {a.task: a.wait_h for a in task.after}


def test_what_covers_comes_off_first_and_goes_back_last():
    """Siding before barrier off; barrier before siding on; clean-up at the end."""
    tasks = named()
    assert "off-wall-siding" in waits(tasks["off-wall-barrier"])
    assert waits(tasks["on-wall-siding"]) == {"on-wall-barrier": 0.0}
    assert list(tasks)[-1] == "clean-up"
    assert tasks["on-wall-barrier"].changes == (1,)


def test_dust_falls_and_old_paint_have_their_cautions():
    """Fibre cement makes silica dust, eight feet is a fall, painted cladding of 1964 is lead."""
    tasks = named()
    assert {"P-002", "P-004"} <= set(tasks["off-wall-siding"].cautions)
    assert tasks["lead"].cautions == ("P-003",)
    assert tasks["lead"].skills == ("lead-safe",)
    lead = tasks_of(job(), invented_hours()).lead
    assert lead.area_ft2 == pytest.approx(64.0)
    assert lead.applies
    later = job(WORK.replace("1964", "1979"))
    assert not tasks_of(later, invented_hours()).lead.applies
    tested = job(WORK + 'lead = "free of lead"\n')
    assert not tasks_of(tested, invented_hours()).lead.applies


def test_wet_wood_that_stays_is_metered_before_it_is_covered():
    """Three days of drying after it is bare, then the meter, then the barrier."""
    tasks = named(WORK + WET)
    assert waits(tasks["dry-sheathing"]) == {"off-wall-barrier": 72.0}
    assert "dry-sheathing" in waits(tasks["on-wall-barrier"])


def test_a_member_comes_out_after_it_is_held():
    """Posts, covers off, jacks, out, in, then the load is let down."""
    tasks = named(WORK + OUT)
    assert "jack-up" in waits(tasks["out-wall"])
    assert waits(tasks["jack-up"]) == {"hold-up": 0.0, "off-wall-sheathing": 0.0}
    assert waits(tasks["let-down"]) == {"in-wall": 0.0}
    assert tasks["out-wall"].kind is Kind.STRUCTURE
    assert "P-008" in tasks["hold-up"].cautions


def test_permits_goods_and_visits_are_waited_for():
    """Each with its days; one that was granted or ordered sets a first day instead."""
    tasks = named(
        WORK
        + """
[[permit]]
id = "permit"
text = "building permit"
days = 10
[[delivery]]
id = "wrap"
text = "a roll"
days = 2
pieces = ["barrier"]
[[inspection]]
id = "visit"
text = "the barrier"
after = ["on-wall-barrier"]
before = ["on-wall-siding"]
"""
    )
    assert waits(tasks["off-wall-siding"])["permit"] == 240.0
    assert waits(tasks["on-wall-barrier"])["wrap"] == 48.0
    assert waits(tasks["visit"]) == {"on-wall-barrier": 24.0}
    assert "visit" in waits(tasks["on-wall-siding"])
    done = named(
        WORK
        + """
[[permit]]
id = "permit"
text = "building permit"
granted = 2026-04-20
[[delivery]]
id = "wrap"
text = "a roll"
days = 30
ordered = 2026-04-01
pieces = ["barrier"]
"""
    )
    assert "permit" not in done
    assert done["off-wall-siding"].not_before == "2026-04-20"
    assert done["on-wall-barrier"].not_before == "2026-05-01"


def test_a_visit_before_what_it_must_follow_is_a_circle():
    """Circular orders are refused with their names."""
    with pytest.raises(InputError, match="wait for one another in a circle"):
        named(WORK + '\n[[inspection]]\nid = "v"\ntext = "x"\nafter = ["clean-up-after"]\n'
              'before = ["off-wall-siding"]\n[[task]]\nid = "clean-up-after"\ntext = "y"\n'
              'hours = 1\nafter = ["on-wall-siding"]\n')  # fmt: skip


def test_a_task_that_there_is_not_is_near_one_that_is():
    """The message names what is near."""
    with pytest.raises(InputError, match=r"'off-wall-sidin'.*Near it: off-wall-siding"):
        named(WORK + '\n[[task]]\nid = "t"\ntext = "x"\nhours = 1\nafter = ["off-wall-sidin"]\n')


@pytest.mark.parametrize(
    ("more", "words"),
    [
        pytest.param(
            '[[task]]\nid = "t"\ntext = "x"\nhours = -2\n', "found -2; expected .* at least 0",
            id="negative-hours",
        ),
        pytest.param(
            '[[task]]\nid = "t"\ntext = "x"\nhours = 2\nlow = 3\n', "low <= hours <= high",
            id="low-above",
        ),
        pytest.param(
            '[[task]]\nid = "t"\ntext = "x"\n', "neither `hours` nor `rate`", id="no-hours"
        ),
        pytest.param('[work]\nbegins = "25:00"\n', "a time of day, as 7:30", id="no-hour"),
        pytest.param("[work]\nwet_days = [1, 2]\n", "12, January first", id="two-months"),
        pytest.param(
            "[work]\nstart = 2026-03-01\n", "before the visit on 2026-03-20", id="start-in-the-past"
        ),
        pytest.param(
            '[[done]]\ntask = "protect"\nday = 2026-03-01\nhours = 2\n',
            "before the visit on 2026-03-20", id="done-in-the-past",
        ),
        pytest.param(
            '[[done]]\ntask = "protect"\nday = 2026-04-13\nbegins = "9:00"\nends = "8:00"\n',
            "ends at 08:00, begun at 09:00", id="ends-first",
        ),
        pytest.param(
            '[[done]]\ntask = "protect"\nday = 2026-04-13\nhours = 1\nperson = "nobody"\n',
            "nobody", id="no-such-person",
        ),
        pytest.param(
            '[[person]]\nid = "a"\n[[person]]\nid = "a"\n', "used again", id="twice-the-same",
        ),
    ],
)  # fmt: skip
def test_records_that_do_not_hold_are_refused(more: str, words: str):
    """Each with its place in the file, what is wrong and what would be right."""
    with pytest.raises(JobError, match=words):
        read_job(WALL + more)


def test_nobody_with_a_skill_is_refused():
    """A crew that cannot do barriers cannot do this job."""
    crew = '\n[[person]]\nid = "a"\nskills = ["siding", "lead-safe"]\n'
    with pytest.raises(InputError, match="nobody can do barrier"):
        plan_job(job(WORK + crew), invented_hours())


def test_a_start_before_today_is_refused():
    """A first day that is asked for must not be past."""
    with pytest.raises(InputError, match="2026-04-01 lies before today"):
        plan_job(
            job(), invented_hours(),
            today=datetime.date(2026, 4, 2), start=datetime.date(2026, 4, 1),
        )  # fmt: skip


def test_a_plan_is_a_table_that_says_when():
    """From the first to the last day, proven, with chances that sum to one."""
    table = plan_table(plan_job(job(WORK + WET), invented_hours(), starts=2))
    assert table["first_day"] == "2026-04-13"
    assert table["finish"]["proven"]
    assert sum(table["finish_chances"]["by_day"].values()) == pytest.approx(1.0, abs=1e-3)
    assert [r["start"] for r in table["starts"]] == ["2026-04-13", "2026-04-14"]
    assert all(t["hands"] for t in table["tasks"])


def test_ticks_teach_the_table_of_hours():
    """1.5 h planned and 3 h spent: the row goes up by (16 + 3) / (16 + 1.5)."""
    ticks = """
[[done]]
task = "protect"
day = 2026-04-13
hours = 2
finished = false
[[done]]
task = "protect"
day = 2026-04-14
begins = "7:30"
ends = "8:30"
[[done]]
task = "on-wall-siding"
day = 2026-04-14
hours = 1
finished = false
"""
    listed = tasks_of(job(WORK + ticks), invented_hours())
    done = so_far(listed, today=datetime.date(2026, 4, 14))
    assert [(r.task.id, r.spent_h, r.finished) for r in done.rows] == [
        ("protect", 3.0, True), ("on-wall-siding", 1.0, False),
    ]  # fmt: skip
    (lesson,) = done.lessons
    assert lesson.suggested == pytest.approx(19 / 17.5)
    assert done.suggested["work.protection"]["hours"] == [1.086, 1.629, 3.257]
    assert "protect" not in done.left
    assert "hours = [1.086, 1.629, 3.257]  # was [1.0, 1.5, 3.0]" in rates_text(
        done, invented_hours()
    )


def test_ticks_for_nothing_or_for_tomorrow_are_refused():
    """A task that there is not, and a day still to come."""
    tick = '\n[[done]]\ntask = "protekt"\nday = 2026-04-13\nhours = 2\n'
    with pytest.raises(InputError, match="Near it: protect"):
        so_far(tasks_of(job(WORK + tick), invented_hours()))
    later = tick.replace("protekt", "protect")
    with pytest.raises(InputError, match="2026-04-13 is still to come"):
        so_far(tasks_of(job(WORK + later), invented_hours()), today=datetime.date(2026, 4, 1))


def test_the_firms_own_hours_are_taken():
    """A row of the firm's replaces that of the program; a bad one is refused."""
    from importlib.resources import files

    text = (files("weatherlap.order") / "data" / "hours.toml").read_text("utf-8")
    own = read_hours(text.replace("hours = [1.0, 1.5, 3.0]\ntrade = \"labour\"",
                                  "hours = [5.0, 6.0, 7.0]\ntrade = \"labour\"", 1))  # fmt: skip
    assert own.work["protection"].hours.likely == 6.0
    with pytest.raises(InputError, match="three figures"):
        read_hours(text.replace("hours = [1.0, 1.5, 3.0]", "hours = [1.0, 1.5]", 1))
    with pytest.raises(InputError, match="per is 'yard'"):
        read_hours(text.replace('per = "ft"', 'per = "yard"'))
    with pytest.raises(InputError, match="low <= 1 <= high"):
        read_hours(text.replace("low = 0.75", "low = 1.75"))


@pytest.mark.parametrize(
    ("more", "words"),
    [
        pytest.param(
            '[[done]]\ntask = "protekt"\nday = 2026-04-13\nhours = 2\n', 'task = "protekt"',
            id="tick",
        ),
        pytest.param(
            '[[task]]\nid = "t"\ntext = "x"\nhours = 1\nafter = ["nothing-such"]\n',
            'after = ["nothing-such"]', id="wait",
        ),
        pytest.param(
            '[[task]]\nid = "p"\ntext = "x"\nhours = 1\nafter = ["q"]\n'
            '[[task]]\nid = "q"\ntext = "x"\nhours = 1\nafter = ["p"]\n', "[[task]]", id="circle",
        ),
    ],
)  # fmt: skip
def test_a_fault_of_the_plan_names_its_line(more: str, words: str):
    """The line in the file is that of the record that is wrong."""
    text = f"{WALL}{WORK}\n{more}"
    with pytest.raises(JobError) as caught:
        so_far(tasks_of(read_job(text), invented_hours()))
    assert text.splitlines()[caught.value.problems[0].line - 1] == words
