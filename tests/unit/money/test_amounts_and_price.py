"""Amounts and the build-up of the price."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three, in_cents, shared_out, sure, usd_text
from weatherlap.money.costbook import OnTop, ProfitIs, TaxOn, invented_text, read_costbook
from weatherlap.money.price import CostKind, CostLine, build_up, by_section, rounded_up

PLAIN = OnTop(None, 0.0, 0.25, ProfitIs.MARKUP, 0.0, TaxOn.PRICE, 0.01)


def line(usd, section="Work", kind=CostKind.LABOUR):
    """A line of cost that is known."""
    return CostLine("something", section, kind, sure(usd))


@given(
    st.integers(min_value=0, max_value=10**9),
    st.lists(st.floats(min_value=0, max_value=1e6), min_size=1, max_size=40),
)
def test_shares_add_up_to_the_cent(total, weights):
    """However the weights fall, the shares add up to the whole and none is below nothing."""
    if sum(weights) <= 0:
        weights = [*weights, 1.0]
    shares = shared_out(total, weights)
    assert sum(shares) == total
    assert min(shares) >= 0


def test_amounts_out_of_order_are_refused():
    """A low figure above the likely one is refused with both named."""
    with pytest.raises(InputError, match="found 3, 2, 4"):
        Three(3, 2, 4)


def test_dollars_are_written_with_cents():
    """Cents print as dollars, those below nothing with a sign; half a cent goes up."""
    assert usd_text(123456) == "$1,234.56"
    assert usd_text(-5) == "-$0.05"
    assert in_cents(0.125) == 13


def test_price_goes_up_in_the_stated_order():
    """Cost, contingency, overhead, profit, tax, each on what came before."""
    top = OnTop(None, 0.1, 0.2, ProfitIs.MARKUP, 0.05, TaxOn.PRICE, 0.01)
    built = build_up([line(1000)], top, contingency_usd=100, allowances_usd=48)
    assert built.overhead_usd == pytest.approx(110)
    assert built.profit_usd == pytest.approx(242)
    assert built.price_cents == 157500


def test_tax_on_goods_is_a_cost():
    """Tax that the firm pays on goods carries overhead and profit like any other cost."""
    top = OnTop(None, 0.0, 0.25, ProfitIs.MARKUP, 0.1, TaxOn.GOODS, 0.01)
    built = build_up([line(100), line(100, kind=CostKind.GOODS)], top)
    assert built.tax_usd == pytest.approx(10)
    assert built.price_cents == 26250


def test_sections_add_up_and_tell_nothing_more():
    """The headings add up to the price; what is on top is spread, not shown."""
    built = build_up([line(100, "A"), line(200, "B"), line(0.01, "C")], PLAIN, allowances_usd=50.0)
    rows = by_section(built)
    assert [name for name, _ in rows] == ["A", "B", "C", "Allowances"]
    assert sum(cents for _, cents in rows) == built.price_cents
    assert dict(rows)["Allowances"] == 5000


@pytest.mark.parametrize(
    ("usd", "step", "cents"),
    [
        pytest.param(100.0, 5.0, 10000, id="on-the-step"),
        pytest.param(100.01, 5.0, 10500, id="over"),
        pytest.param(0.1 + 0.2, 0.1, 30, id="binary-hair"),
    ],
)
def test_price_is_rounded_up(usd, step, cents):
    """A price over a step goes to the next one; a hair of arithmetic does not."""
    assert rounded_up(usd, step) == cents


def test_a_price_of_nothing_is_refused():
    """Without a line there is no price."""
    with pytest.raises(InputError, match="nothing to be paid for"):
        build_up([], PLAIN)


def test_the_books_margin_is_a_part_of_the_price():
    """A margin of 20 % leaves a fifth of the price as profit, not a fifth of the cost."""
    top = OnTop(None, 0.0, 0.2, ProfitIs.MARGIN, 0.0, TaxOn.PRICE, 0.01)
    built = build_up([line(80)], top)
    assert built.price_cents == 10000
    assert built.profit_usd == pytest.approx(20)


@pytest.mark.parametrize(
    ("old", "new", "match"),
    [
        pytest.param('profit_is = "markup"', 'profit_is = "both"', "part of cost", id="neither"),
        pytest.param("profit = 0.2", "profit = -1", "from 0 to 3", id="negative"),
        pytest.param("framing = 34.0", 'framing = "much"', "a number", id="text"),
        pytest.param("other = 30.0", "others = 30.0", "a row for all the rest", id="no-other"),
        pytest.param(
            "least = [75.0, 95.0, 140.0]", "least = [95.0, 75.0]", "three numbers", id="two"
        ),
        pytest.param(
            "permit = [60.0, 110.0, 250.0]",
            "permit = [250.0, 1.0, 2.0]",
            "low one first",
            id="turned",
        ),
        pytest.param("[look]", "[look", "cost book", id="no-toml"),
    ],
)
def test_a_wrong_cost_book_says_where(old, new, match):
    """Every mistake in a cost book is named with its place and what would be right."""
    text = invented_text()
    assert old in text
    with pytest.raises(InputError, match=match):
        read_costbook(text.replace(old, new))


def test_the_shipped_cost_book_says_that_it_is_invented():
    """The book that comes with the program carries the word in its name."""
    assert "invented" in read_costbook(invented_text()).name
