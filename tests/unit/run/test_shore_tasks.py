"""Holding up in the plan: the stages that were worked out, and what waits for which."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from weatherlap.job.reading import read_job
from weatherlap.order.hours import invented_hours
from weatherlap.order.tasks import Kind
from weatherlap.run.planning import plan_job
from weatherlap.run.shoretasks import shore_of
from weatherlap.run.tasks import tasks_of

DEMO = (Path(__file__).parents[3] / "demo" / "porch-corner.toml").read_text("utf-8")


def listed_of(text=DEMO):
    """The tasks of a job."""
    return tasks_of(read_job(text), invented_hours())


@pytest.fixture(scope="module")
def tasks():
    """Those of the porch, by their ids."""
    return {t.id: t for t in listed_of().tasks}


def before(tasks, name):
    """Everything that must have ended before a task, near or far."""
    rows = [a.task for a in tasks[name].after]
    return set(rows).union(*(before(tasks, row) for row in rows))


def test_each_stage_of_the_shore_has_its_task(tasks):
    """Posts and braces set, ties loosened, jacked, out, in, shimmed, jacks off, in this order."""
    order = ["hold-up", "brace", "loosen", "jack-up", "out-front", "out-wall", "in-wall",
             "in-front", "shim", "let-down"]  # fmt: skip
    for first, then in pairwise(order):
        assert first in before(tasks, then)
    for name in order:
        assert tasks[name].kind in (Kind.SHORING, Kind.STRUCTURE)
        assert tasks[name].crew == 2
        assert "P-008" in tasks[name].cautions


def test_the_hours_follow_from_what_was_worked_out(tasks):
    """Two posts, six braces, nine joints, one round of an eighth, one joint shimmed."""
    plan = shore_of(read_job(DEMO)).plan
    assert plan is not None
    table = invented_hours().work
    counts = {"hold-up": len(plan.posts), "brace": sum(b.count for b in plan.braces),
              "loosen": 9, "jack-up": 2, "shim": 1}  # fmt: skip
    for name, count in counts.items():
        rate = table[tasks[name].rate.removeprefix("work.")]
        assert tasks[name].hours.likely == pytest.approx(count * rate.hours.likely)
    assert "stage 3" in tasks["jack-up"].text


def test_a_post_stands_on_its_base_and_is_covered_once_it_carries(tasks):
    """The base before the post, nothing over post or beam before the jacks are off."""
    assert "on-wall-flashing" in before(tasks, "in-wall")
    assert "anchor" in before(tasks, "in-wall")
    assert "let-down" in before(tasks, "on-wall-trim-and-metal")
    assert "let-down" in before(tasks, "on-front-trim-and-metal")


def test_the_lift_is_left_until_the_members_come_out():
    """Between the end of the lift and the first cut lies no night."""
    planned = plan_job(read_job(DEMO), invented_hours(), starts=1, effort=1.0)
    at = {r.task.id: r for r in planned.plan.rows}
    assert at["out-front"].start_h == pytest.approx(at["jack-up"].end_h)
    assert at["jack-up"].start_h == pytest.approx(at["loosen"].end_h)


def test_a_member_that_no_piece_shows_has_its_tasks():
    """A far post that the survey has replaced: out, and in, though the corner does not draw it."""
    text = DEMO.replace('id = "post-far"\n', 'id = "post-far"\nreplaced = true\n', 1)
    tasks = {t.id: t for t in listed_of(text).tasks}
    assert "jack-up" in before(tasks, "out-member-post-far")
    assert "out-member-post-far" in before(tasks, "in-member-post-far")
    assert "in-member-post-far" in before(tasks, "let-down")


def test_a_shore_that_cannot_be_worked_out_is_said():
    """Without a line for posts, or with nothing that holds, the plan goes on and says so."""
    head, _, _ = DEMO.partition("[[shore.line]]")
    rest = DEMO[DEMO.index("[climate]") :]
    listed = listed_of(head + rest)
    assert any("Nobody said where temporary posts may stand" in n for n in listed.notes)
    assert {"hold-up", "jack-up", "let-down"} <= {t.id for t in listed.tasks}
    weak = listed_of(DEMO.replace('jack = "12000 lb"', 'jack = "200 lb"'))
    assert any("Holding up is not worked out" in n for n in weak.notes)
