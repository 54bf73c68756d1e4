"""Answers are kept by all that they hang on: what is changed in a job never gives an old answer."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from threading import Event
from types import SimpleNamespace
from typing import Any

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.job.records import Record
from weatherlap.papers import dryingpapers, planned
from weatherlap.run.alike import Question
from weatherlap.run.once import once
from weatherlap.run.shopping import shop_job
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.worked import in_state, traced, work_out

TEXT = """
[job]
title = "Kept"

[site]
rain_design = "4 in/h"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "8 ft"
height = "8 ft"

[[piece]]
id = "upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]

[[change]]
do = "turn"
piece = "upper"
over = "lower"
"""
TURN = TEXT[TEXT.index("[[change]]") :]


@pytest.fixture
def job() -> Job:
    """Two sheets, laid the wrong way round, with the change that turns them."""
    return read_job(TEXT)


def test_what_was_asked_is_not_worked_out_again():
    """The last answers are kept, the one that was asked longest ago is forgotten first."""
    done = []

    @once(2)
    def double(number: int) -> int:
        done.append(number)
        return 2 * number

    assert [double(n) for n in (1, 2, 1, 3, 1, 2)] == [2, 4, 2, 6, 2, 4]
    assert done == [1, 2, 3, 2]


def test_an_error_is_not_kept():
    """What went wrong once is tried again."""
    tries = []

    @once(2)
    def third(number: int) -> int:
        tries.append(number)
        if len(tries) < 3:
            raise ValueError(number)
        return number

    for _ in range(2):
        with pytest.raises(ValueError, match="7"):
            third(7)
    assert third(7) == 7
    assert len(tries) == 3


def test_two_threads_work_a_question_out_once():
    """Who asks while the answer is worked out waits for it; another question goes on beside it."""
    begun, go_on, done = Event(), Event(), []

    @once(4)
    def slow(number: int) -> int:
        done.append(number)
        if number == 1:
            begun.set()
            assert go_on.wait(20)
        return number

    with ThreadPoolExecutor(2) as pool:
        first = pool.submit(slow, 1)
        assert begun.wait(20)
        second = pool.submit(slow, 1)
        assert slow(2) == 2
        go_on.set()
        assert (first.result(20), second.result(20)) == (1, 1)
    assert done == [1, 2]


@pytest.mark.filterwarnings("ignore:Pydantic serializer warnings")
@pytest.mark.parametrize("name", list(Job.model_fields))
def test_a_question_holds_every_table_of_a_job(job: Job, name: str):
    """Whichever table of a job is another one, the question is another one."""
    other = job.model_copy(update={name: "another"})
    assert Question.of(other) != Question.of(job)


def test_no_record_keeps_anything_out_of_its_text():
    """A key that were left out of a record's text could change without the question changing."""
    kinds = [Record]
    for kind in kinds:
        kinds += kind.__subclasses__()
        left_out = [n for n, f in kind.model_fields.items() if f.exclude or f.exclude_if]
        assert left_out == [], kind
    assert len(kinds) > 60


def test_a_question_holds_the_firm_s_tables_and_the_file(job: Job):
    """Another table, or the same job on other lines of its file, is another question."""
    assert Question.of(job) == Question.of(read_job(TEXT))
    assert Question.of(job, {"rates": "a = 1"}) != Question.of(job)
    assert Question.of(job, {"rates": "a = 1"}) != Question.of(job, {"rates": "a = 2"})
    assert Question.of(read_job("# a line more\n" + TEXT)) != Question.of(job)


def test_a_corner_hangs_on_nothing_but_faces_and_pieces(job: Job):
    """A trace is kept by site, faces and pieces: nothing else of the job is read for it."""
    only: Any = SimpleNamespace(face=job.face, piece=job.piece)
    assert build_corner(only).pieces == work_out(job).corner.pieces


@pytest.mark.parametrize(
    ("old", "new"),
    [
        pytest.param("4 in/h", "5 in/h", id="rain"),
        pytest.param("tilt = 90", "tilt = 60", id="face"),
        pytest.param("0, 96, 52]", "0, 96, 51]", id="piece"),
        pytest.param('id = "upper"\nsheet = "resists"', 'id = "upper"\nsheet = "open"', id="sheet"),
    ],
)
def test_another_rain_face_or_piece_is_traced_anew(job: Job, old: str, new: str):
    """What the water meets is changed: the trace is not the kept one, and says something else."""
    other = read_job(TEXT.replace(old, new))
    assert traced(read_job(TEXT)) is traced(job)
    assert traced(other) is not traced(job)
    assert trace_table(work_out(other)) != trace_table(work_out(job))


def test_other_changes_give_another_repaired_corner(job: Job):
    """The repaired job is kept by all its changes, not by the corner as found."""
    assert work_out(in_state(job, State.REPAIRED)).trace.clean
    away = TURN.replace('"turn"', '"take-away"').replace('over = "lower"\n', "")
    other = read_job(TEXT.replace(TURN, away))
    assert [p.id for p in in_state(other, State.REPAIRED).piece] == ["lower"]
    assert [p.id for p in in_state(job, State.REPAIRED).piece] == ["upper", "lower"]


def test_a_shop_is_kept_by_job_and_tables(job: Job):
    """Another rack in the job, or another table of the firm: the shop is worked out anew."""
    first, other = shop_job(job), shop_job(read_job(TEXT + '[shop]\nrack_length = "10 ft"\n'))
    assert shop_job(read_job(TEXT)) is first
    assert (first.job.shop.rack_length, other.job.shop.rack_length) != (120.0, 120.0)
    assert other.job.shop.rack_length == 120.0
    assert shop_job(job, own={"notes": "mine"}) is not first


def test_a_plan_goes_by_job_hours_and_weather(job: Job, monkeypatch: pytest.MonkeyPatch):
    """Other words in the job or other hours of the firm give another plan; photos do not."""
    made: list[Job] = []

    def plan(job: Job, *_: object, **__: object) -> int:
        made.append(job)
        return len(made)

    monkeypatch.setattr(planned, "plan_job", plan)
    monkeypatch.setattr(planned, "rates_of", lambda own: own)
    about = job.job.model_copy(update={"title": "Only here: a plan that is counted"})
    job = job.model_copy(update={"job": about})
    own = {"rates": "one"}
    numbers = [
        planned.planned_for(job, own),
        planned.planned_for(job.model_copy(update={"photo": ("taken",)}), own),
        planned.planned_for(job, {"rates": "one", "costs": "of no plan"}),
        planned.planned_for(job, {"rates": "two"}),
        planned.planned_for(job, {"rates": "one", "weather": "hours"}),
        planned.planned_for(job.model_copy(update={"change": ()}), own),
    ]
    assert numbers == [1, 1, 1, 2, 3, 4]


def test_drying_goes_by_job_and_weather(job: Job, monkeypatch: pytest.MonkeyPatch):
    """Other weather or another job is dried anew; the firm's other tables change nothing."""
    dried: list[str | None] = []

    def dry(_: Job, *, weather: str | None, **__: object) -> int:
        dried.append(weather)
        return len(dried)

    monkeypatch.setattr(dryingpapers, "drying_of", dry)
    about = job.job.model_copy(update={"title": "Only here: a drying that is counted"})
    job = job.model_copy(update={"job": about})

    def ask(job: Job, **own: str) -> Any:
        asked = dryingpapers._Asked.of(job, own, lambda *_: None)
        return dryingpapers._worked_out(asked)

    numbers = [ask(job), ask(job, rates="mine"), ask(job, weather="wet"), ask(job, weather="dry")]
    assert numbers == [1, 1, 2, 3]
    assert dried == [None, "wet", "dry"]
    assert ask(job.model_copy(update={"change": ()})) == 4
