"""Change orders: states that are kept and what differs between them."""

from __future__ import annotations

import datetime
from dataclasses import replace

import pytest

from weatherlap.errors import InputError
from weatherlap.money.changeorders import (
    Answer,
    Promise,
    ScopeLine,
    check_seals,
    kept,
    ledger,
    standing_of,
)

TODAY = datetime.date(2026, 3, 1)


def state(cents, *lines, day="2026-02-01", answer=Answer.SIGNED, days=4, **more):
    """A state before it is kept."""
    scope = tuple(ScopeLine(x, f"Do {x}.") for x in lines)
    return Promise(0, day, answer, "A. Client", cents, days, scope, **more)


@pytest.fixture
def states():
    """A contract, a declined and a signed change order."""
    rows = [kept(state(100_000, "a", "b"), [], today=TODAY)]
    declined = state(
        130_000, "a", "b", "c", day="2026-02-03", answer=Answer.DECLINED,
        consequence="The sill stays soft.",
    )  # fmt: skip
    rows.append(kept(declined, rows, today=TODAY))
    rows.append(kept(state(90_000, "a", "d", day="2026-02-05", days=3), rows, today=TODAY))
    return rows


def test_change_orders_are_the_difference_from_what_is_signed(states):
    """A declined one does not become the ground of the next."""
    book = ledger(states)
    first, second = book.orders
    assert [x.key for x in first.added] == ["c"]
    assert first.price_change_cents == 30_000
    assert [x.key for x in second.added] == ["d"]
    assert [x.key for x in second.dropped] == ["b"]
    assert (second.price_change_cents, second.days_change) == (-10_000, -1)


def test_totals_count_what_is_signed(states):
    """The price stands at the contract with its signed change orders."""
    book = ledger(states)
    assert (book.price_cents, book.days) == (90_000, 3)
    assert book.price_cents == book.contract.price_cents + sum(
        o.price_change_cents for o in book.signed
    )
    assert [o.consequence for o in book.declined] == ["The sill stays soft."]
    assert standing_of(states) is states[2]


@pytest.mark.parametrize(
    "edit",
    [
        pytest.param({"price_cents": 99_000}, id="price"),
        pytest.param({"days": 9}, id="days"),
        pytest.param({"by": "Somebody else"}, id="name"),
        pytest.param({"answer": Answer.DECLINED}, id="answer"),
        pytest.param({"scope": (ScopeLine("a", "Do more."),)}, id="scope"),
        pytest.param({"seal": "0" * 64}, id="seal"),
    ],
)
def test_a_signed_state_edited_later_is_refused(states, edit):
    """Whatever is changed in a kept state, it is refused by number and day."""
    states[0] = replace(states[0], **edit)
    with pytest.raises(InputError, match="state 0: it was changed after"):
        check_seals(states)


def test_a_state_taken_out_is_refused(states):
    """A state that is missing from the middle is noticed."""
    with pytest.raises(InputError, match="it stands where state 1 should"):
        check_seals([states[0], states[2]])


def test_seals_hold_on_to_one_another(states):
    """A state sealed anew does not fit the one after it."""
    forged = kept(state(1, "a"), [], today=TODAY)
    with pytest.raises(InputError, match="state 1: it was changed"):
        check_seals([forged, *states[1:]])


def test_nothing_new_is_not_kept(states):
    """The same scope, price and days again are no change order."""
    same = state(90_000, "a", "d", day="2026-02-06", days=3)
    with pytest.raises(InputError, match="nothing differs"):
        kept(same, states, today=TODAY)


def test_a_declined_one_must_say_what_follows(states):
    """A declined change order without its consequence is refused."""
    bare = state(1, "z", day="2026-02-06", answer=Answer.DECLINED)
    with pytest.raises(InputError, match="nothing of what follows"):
        kept(bare, states, today=TODAY)


def test_days_that_do_not_fit_are_refused(states):
    """A day that lies ahead, or before the state before, is refused."""
    with pytest.raises(InputError, match="day of signing"):
        kept(state(1, "z", day="2026-03-02"), states, today=TODAY)
    early = kept(state(1, "z", day="2026-01-01"), states, today=TODAY)
    with pytest.raises(InputError, match="before that of the state before"):
        check_seals([*states, early])


def test_the_first_state_is_a_signed_contract():
    """An offer alone is no ground for change orders."""
    with pytest.raises(InputError, match="a contract that is signed"):
        kept(state(1, "a", answer=Answer.OFFERED), [], today=TODAY)
    with pytest.raises(InputError, match="there is none"):
        ledger([])
