"""Scope, completeness, hidden damage and change orders of a job."""

from __future__ import annotations

import datetime
import re

import pytest

from weatherlap.errors import InputError, JobError
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.money.changeorders import Answer
from weatherlap.run.changeorder import orders_of, signed_record, state_now
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import scope_of

TODAY = datetime.date(2025, 9, 10)
SEAL = '\n[[change]]\ndo = "seal"\npiece = "siding-2"\nedge = "top"\n'


@pytest.fixture(scope="module")
def page(request):
    """The job on the page of prices."""
    text = (request.config.rootpath / "docs/price.md").read_text("utf-8")
    return re.search(r"^```toml\n# sill.toml\n(.*?)^```", text, re.M | re.S)[1]


def scoped(text):
    """The scope of a job's text."""
    job = text if isinstance(text, Job) else read_job(text)
    return scope_of(price_job(job), today=TODAY)


@pytest.fixture(scope="module")
def scope(page):
    """The scope of the job on the page."""
    return scoped(page)


def test_every_change_has_a_step(scope):
    """Each change of the job is in a step, and steps are numbered in their order."""
    assert {n for s in scope.steps for n in s.changes} >= {1}
    assert [s.number for s in scope.steps] == list(range(1, len(scope.steps) + 1))


def test_a_finding_is_answered_or_said(scope, page):
    """What the work cures has its answer; without the cure it is listed as left open."""
    assert [f.is_cured for f in scope.findings] == [True]
    other = page.replace(
        'do = "turn"\npiece = "upper"\nover = "lower"', 'do = "reuse"\npiece = "upper"'
    )
    missing = "\n".join(scoped(other).missing)
    assert "Finding A stays open" in missing


def test_a_change_without_a_step_is_listed(page):
    """A change that no task does is named before anything is printed."""
    said = scoped(page + SEAL).missing
    tasks = price_job(read_job(page + SEAL)).tasks.tasks
    done = any(2 in t.changes or "siding-2" in t.pieces for t in tasks)
    assert done or any("Change 2" in text for text in said)


def test_what_runs_out_during_the_work_is_listed(scope):
    """The certificate of the page ends a day before the work does."""
    assert any("before the work ends" in text for text in scope.missing)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        pytest.param("[[payment]]", "[[suspect]]", "", id="none"),
        pytest.param("built = 1994", "hours = 8", "old paint may hold lead", id="year"),
        pytest.param('permits_by = "the firm"', "", "Who pulls the permits", id="permits"),
        pytest.param('not_included = ["Painting."]', "", "not included", id="not-included"),
        pytest.param(
            'piece = "sheathing"\nincluded', "included", "no [[allowance]]", id="allowance"
        ),
    ],
)
def test_what_is_not_said_is_listed(page, old, new, said):
    """Terms that are left out are named."""
    assert old in page
    if not said:
        with pytest.raises(JobError):
            read_job(page.replace(old, new))
        return
    assert any(said in text for text in scoped(page.replace(old, new)).missing)


def test_hidden_damage_follows_the_water(scope):
    """The sheathing that the trace wets is feared, more so after the wet reading."""
    (row,) = scope.pricing.hidden.rows
    assert row.covered.piece == "sheathing"
    assert row.covered.years == 8
    assert 0 < row.chance < 1
    assert row.covered.litres_a_year > 0
    assert scope.pricing.with_hidden.p80 > scope.pricing.visible.p80


def test_an_awl_turns_the_chance(page, scope):
    """A firm awl at the wet place makes the same job less to be feared."""
    pick = '\n[[pick]]\nface = "wall"\nat = [48, 15]\npiece = "sheathing"\nsays = "firm"\n'
    (row,) = price_job(read_job(page + pick)).hidden.rows
    assert row.chance < scope.pricing.hidden.rows[0].chance


def test_payments_over_the_limit_are_refused(page):
    """A deposit over the limit of the terms is refused with both sums."""
    text = page.replace("percent = 10\ndeposit", "percent = 30\ndeposit").replace(
        "percent = 90", "percent = 70"
    )
    with pytest.raises(InputError, match="at most, by the limit"):
        scoped(text)


def with_state(scope, answer=Answer.SIGNED, day="2025-09-03", **more):
    """The job with its present state kept."""
    promise = state_now(scope, day=day, answer=answer, by="Bo Harrow", **more)
    record = signed_record(scope.job, promise, today=TODAY)
    return scope.job.model_copy(update={"state": (*scope.job.state, record)})


def test_sign_change_and_sign_again(scope):
    """The contract, an open difference, then the signed change order: totals follow."""
    job = with_state(scope)
    assert orders_of(scoped(job)).open_now is None
    extra = read_job(
        '[job]\ntitle="x"\n[[face]]\nid="f"\ntilt=90\norigin=[0,0,0]\nwidth=9\nheight=9\n'
        '[[task]]\nid="sill"\ntext="Mend the sill"\nhours=6\n'
    ).task
    changed = scoped(job.model_copy(update={"task": extra}))
    open_now = orders_of(changed).open_now
    assert [x.key for x in open_now.added] == ["task:sill"]
    assert open_now.price_change_cents > 0
    book = orders_of(scoped(with_state(changed, day="2025-09-05", why="soft sill"))).ledger
    assert [o.number for o in book.orders] == [1]
    assert book.price_cents == changed.pricing.built.price_cents


def test_a_declined_one_stays_on_record(scope):
    """A declined change order is kept with its consequence and does not move the price."""
    job = with_state(scope)
    wanted = scoped(job.model_copy(update={"allowance": ()}))
    kept = with_state(
        wanted, Answer.DECLINED, day="2025-09-05", consequence="Rot is paid by the hour."
    )
    book = orders_of(scoped(kept)).ledger
    assert [o.consequence for o in book.declined] == ["Rot is paid by the hour."]
    assert book.price_cents == scope.pricing.built.price_cents


def test_a_signed_state_edited_in_the_file_is_refused(scope):
    """Another price in a kept state is found out by its seal."""
    job = with_state(scope)
    forged = job.state[0].model_copy(update={"price": "10.00"})
    with pytest.raises(InputError, match="it was changed after it was signed"):
        orders_of(scoped(job.model_copy(update={"state": (forged,)})))


def test_the_day_to_cancel_counts_from_signing(scope):
    """Signed on Wednesday 3 September 2025, the last day to cancel is Saturday the 6th."""
    assert scope.cancel_by is None
    assert scoped(with_state(scope)).cancel_by == datetime.date(2025, 9, 6)
