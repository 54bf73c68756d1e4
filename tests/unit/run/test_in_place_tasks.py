"""Changes that are made on a piece which stays on have a task of their own."""

from __future__ import annotations

import re

import pytest

from weatherlap.job.reading import read_job
from weatherlap.money.price import CostKind
from weatherlap.order.hours import invented_hours
from weatherlap.papers.promised import scope_for
from weatherlap.run.inplacetasks import with_in_place
from weatherlap.run.ordering import order_job
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import scope_of
from weatherlap.run.tasks import tasks_of


@pytest.fixture(scope="module")
def porch(request):
    """The porch."""
    return read_job((request.config.rootpath / "demo/porch-corner.toml").read_text("utf-8"))


@pytest.fixture(scope="module")
def page(request):
    """The job on the page of prices."""
    text = (request.config.rootpath / "docs/price.md").read_text("utf-8")
    return re.search(r"^```toml\n# sill.toml\n(.*?)^```", text, re.M | re.S)[1]


def test_every_change_of_the_porch_has_a_task(porch):
    """No change is left without a task, made in place or with what comes off."""
    listed = tasks_of(porch, invented_hours())
    done = {n for t in listed.tasks for n in t.changes}
    about = {name for t in listed.tasks for name in t.pieces}
    for number, change in enumerate(porch.change, start=1):
        assert number in done or change.subject in about


def test_a_change_in_place_waits_for_what_lies_over_the_piece(porch):
    """It comes after the covers are off and before they go back; it has hours of a trade."""
    ordered = order_job(porch)
    bare = [t for t in tasks_of(porch, invented_hours()).tasks if not t.id.startswith("change-")]
    stripped = [t for t in bare if t.id.startswith(("off-", "on-"))]
    made = [t for t in with_in_place(stripped, ordered, invented_hours()) if t not in stripped]
    own = [t for t in made if t.id.startswith("change-")]
    assert own
    for task in own:
        assert task.hours.likely > 0 and task.skills == (task.trade,)
        assert len(task.changes) == 1 and task.pieces == (
            porch.change[task.changes[0] - 1].subject,
        )


def test_a_task_of_the_users_own_takes_its_place(porch):
    """Where the user wrote down a task about the piece no other is made."""
    listed = tasks_of(porch, invented_hours())
    (task,) = [t for t in listed.tasks if t.id.startswith("change-")][:1]
    record = porch.task[0].model_copy(
        update={"id": "by-hand", "pieces": task.pieces, "after": (), "before": ()}
    )
    mine = tasks_of(porch.model_copy(update={"task": (*porch.task, record)}), invented_hours())
    assert task.id not in {t.id for t in mine.tasks}


def test_the_completeness_check_of_every_demo_is_empty(request):
    """Each demo has a line for every change, finding, member, caution, inspection and term."""
    for name in ("porch-corner", "deck-ledger", "window-sill"):
        text = (request.config.rootpath / f"demo/{name}.toml").read_text("utf-8")
        assert scope_for(read_job(text), {}).missing == ()


def test_a_step_says_what_is_changed_on_the_way_back(page):
    """A lap that is turned stands beside the step that lays the piece."""
    scope = scope_of(price_job(read_job(page)))
    assert any("lay the upper sheet over the lower sheet" in s.note for s in scope.steps)


def test_goods_of_a_member_stand_under_structure(porch):
    """Lumber of beam and post is priced with the structure, not with the cladding."""
    goods = [x for x in price_job(porch).built.lines if x.kind is CostKind.GOODS]
    assert {x.section for x in goods if "2x10" in x.text or "Post 6x6" in x.text} == {
        "Structure, with holding up"
    }
