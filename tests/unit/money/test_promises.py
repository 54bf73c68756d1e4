"""Payments, allowances, certificates, warranty days, and the firm's words."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.money.promises import (
    Allowance,
    Certificate,
    DepositLimit,
    Payment,
    certificate_warnings,
    payments_due,
    years_on,
)
from weatherlap.money.words import invented_words, read_words

D = datetime.date
NO_LIMIT = DepositLimit()
THREE = (Payment("sign", 0.1, is_deposit=True), Payment("beam in", 0.5), Payment("done", 0.4))


@given(st.integers(min_value=1, max_value=10**9))
def test_payments_add_up(cents):
    """Payments make up the price to the cent."""
    assert sum(d.cents for d in payments_due(THREE, cents, limit=NO_LIMIT)) == cents


@pytest.mark.parametrize(
    ("payments", "limit", "match"),
    [
        pytest.param((Payment("x", 0.6),), NO_LIMIT, "60 % of the price", id="not-whole"),
        pytest.param(THREE, DepositLimit(share=0.05), "limit in", id="over-the-share"),
        pytest.param(THREE, DepositLimit(0.5, 100.0), r"\$100.00 at most", id="over-the-sum"),
        pytest.param(THREE[::-1], NO_LIMIT, "a deposit only first", id="deposit-last"),
        pytest.param(
            (Payment("x", 1.0, is_deposit=True),), NO_LIMIT, "end of the work", id="ahead"
        ),
    ],
)
def test_payments_that_may_not_be_are_refused(payments, limit, match):
    """Payments that do not fit the price or the limits are refused with the reason."""
    with pytest.raises(InputError, match=match):
        payments_due(payments, 500_000, limit=limit)


def test_the_lesser_limit_counts():
    """Of a part and a sum the lesser is the limit; at the limit it is allowed."""
    limit = DepositLimit(share=0.1, usd=1000.0)
    assert limit.cents(500_000) == 50_000
    assert limit.cents(5_000_000) == 100_000
    assert payments_due(THREE, 500_000, limit=limit)[0].cents == 50_000


def test_an_allowance_settles_both_ways():
    """What came over is added, what was spared is given back, at the unit price."""
    more = Allowance("a", "sheathing", "sq ft", 4, 11.0, actual=10)
    less = Allowance("a", "sheathing", "sq ft", 4, 11.0, actual=1)
    assert (more.settled_usd, less.settled_usd, more.in_price_usd) == (66.0, -33.0, 44.0)
    assert Allowance("a", "x", "ft", 4, 11.0).settled_usd is None


@pytest.mark.parametrize(
    ("begins", "expires", "match"),
    [
        pytest.param(None, D(2026, 1, 1), "expired on", id="over"),
        pytest.param(None, D(2026, 2, 20), "before the work begins", id="before-start"),
        pytest.param(None, D(2026, 3, 5), "before the work ends", id="before-end"),
        pytest.param(D(2026, 3, 4), D(2027, 1, 1), "after the work does", id="begins-late"),
    ],
)
def test_certificates_are_held_against_the_work(begins, expires, match):
    """A certificate that does not cover all days of the work is named with its day."""
    row = Certificate("Liability", "I", "7", "", begins, expires)
    said = certificate_warnings(
        [row], start=D(2026, 3, 1), finish=D(2026, 3, 10), today=D(2026, 2, 1)
    )
    assert len(said) == 1
    assert match in said[0]


def test_a_good_certificate_says_nothing():
    """One that covers all days and has its number is passed over."""
    row = Certificate("Liability", "I", "7", "", D(2026, 1, 1), D(2027, 1, 1))
    days = {"start": D(2026, 3, 1), "finish": D(2026, 3, 10), "today": D(2026, 2, 1)}
    assert certificate_warnings([row], **days) == ()


@pytest.mark.parametrize(
    ("day", "years", "then"),
    [
        pytest.param(D(2025, 11, 14), 5, D(2030, 11, 14), id="plain"),
        pytest.param(D(2024, 2, 29), 1, D(2025, 3, 1), id="leap-day"),
        pytest.param(D(2025, 8, 31), 0.5, D(2026, 3, 1), id="short-month"),
        pytest.param(D(2025, 11, 14), 1.5, D(2027, 5, 14), id="half-years"),
    ],
)
def test_warranty_days(day, years, then):
    """Years and parts of years lead to a day that exists, never earlier than promised."""
    assert years_on(day, years) == then


def test_own_words_replace_and_are_filled():
    """A firm's text stands in place of the shipped one, with names filled in, nothing else."""
    words = read_words('delay = "Rain moves {days} days for {client}."')
    assert words.said("delay", {"days": "4", "client": "{firm}"}) == "Rain moves 4 days for {firm}."
    assert words.texts["law"] == invented_words().texts["law"]


@pytest.mark.parametrize(
    ("text", "match"),
    [
        pytest.param('hiden = "x"', "Did you mean 'hidden'", id="name"),
        pytest.param('delay = "{margin} is ours"', "cannot be filled in", id="field"),
        pytest.param("delay = 3", "a text", id="number"),
        pytest.param("delay = ", "words", id="no-toml"),
    ],
)
def test_wrong_words_are_refused(text, match):
    """A text of no known name, or with a brace that means nothing, is refused."""
    with pytest.raises(InputError, match=match):
        read_words(text)
