"""What was put before the client stays on the shelf as it was."""

from __future__ import annotations

import pytest

from weatherlap.errors import InputError
from weatherlap.job.editing import AddItem, Remove, SetValue, edit
from weatherlap.money.changeorders import Answer, Promise, ScopeLine, kept


def signed(price_cents, *, before=(), answer=Answer.SIGNED):
    """A state as it is kept after others."""
    promise = Promise(
        number=len(before),
        day="2025-11-03",
        answer=answer,
        by="A. Client",
        price_cents=price_cents,
        days=3,
        scope=(ScopeLine("a", "Take the corner down."),),
    )
    return kept(promise, before)


def row_of(state):
    """A state as its record in the job file."""
    return {
        "number": state.number,
        "day": state.day,
        "answer": state.answer.value,
        "by": state.by,
        "price": f"{state.price_cents / 100:.2f}",
        "days": state.days,
        "scope": [{"key": line.key, "text": line.text} for line in state.scope],
        "seal": state.seal,
    }


def with_state(text, state):
    """A job that keeps a state."""
    return edit(text, [AddItem("state", row_of(state))])


@pytest.fixture
def agreed(shelf, text):
    """A job with a signed contract: its id, its text."""
    job = shelf.begin(text).id
    text = with_state(text, signed(500_000))
    shelf.save(job, text, base=1, words="signed")
    return job, text


@pytest.mark.parametrize(
    "step",
    [SetValue(("state", 0, "price"), "1.00"), Remove(("state", 0))],
    ids=["changed", "taken out"],
)
def test_a_kept_state_is_not_overwritten(shelf, agreed, step):
    """A job file in which a signed contract is changed or gone is refused, and says why."""
    job, text = agreed
    with pytest.raises(InputError, match=r"the contract: it was signed by A\. Client"):
        shelf.save(job, edit(text, [step]), base=2)
    assert shelf.head(job).text == text


def test_undo_does_not_take_a_signature_back(shelf, agreed):
    """Steps after a signature are undone; the signature itself is not."""
    job, text = agreed
    shelf.save(job, text.replace('"One wall"', '"A wall"'), base=2)
    assert shelf.undo(job).text == text
    with pytest.raises(InputError, match="Change the job and write a new change order down"):
        shelf.undo(job)
    assert shelf.redo(job).text.count("A wall") == 1


def test_a_new_state_must_follow_from_those_before(shelf, agreed):
    """A change order is kept after the contract; one whose seal does not fit is refused."""
    job, text = agreed
    contract = signed(500_000)
    order = signed(520_000, before=(contract,))
    broken = with_state(text, order).replace(order.seal, "0" * 64)
    with pytest.raises(InputError, match="it was changed after it was signed"):
        shelf.save(job, broken, base=2)
    shelf.save(job, with_state(text, order), base=2)
    assert shelf.head(job).text.count("[[state]]") == 2
