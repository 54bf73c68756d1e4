"""The price: from the lines of cost to one sum, for the firm's eyes, and what the client sees."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three, in_cents, shared_out
from weatherlap.money.costbook import OnTop, ProfitIs, TaxOn


class CostKind(StrEnum):
    """What a line of cost is for."""

    LABOUR = "labour"
    GOODS = "goods"
    EQUIPMENT = "equipment"
    DISPOSAL = "disposal"
    FEES = "fees"
    OTHERS = "others' work"


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line of cost: what for, under which heading the client would find it. [USD]

    ``task`` is the id of the task it belongs to, or "".
    """

    text: str
    section: str
    kind: CostKind
    usd: Three
    task: str = ""


@dataclass(frozen=True, slots=True)
class BuildUp:
    """From cost to price. [USD]

    ``likely_usd`` is the sum of the most likely costs, ``contingency_usd`` what is carried on
    top of it, ``allowances_usd`` the client's allowances at their unit prices, which hold
    overhead and profit already, ``rounding_usd`` what rounding up adds.
    """

    lines: tuple[CostLine, ...]
    likely_usd: float
    contingency_usd: float
    overhead_usd: float
    profit_usd: float
    tax_usd: float
    allowances_usd: float
    rounding_usd: float
    price_cents: int

    def of_kind(self, kind: CostKind) -> float:
        """The most likely cost of one kind. [USD]"""
        return math.fsum(line.usd.likely for line in self.lines if line.kind is kind)

    @property
    def sections(self) -> tuple[str, ...]:
        """The headings, in the order in which they first come."""
        return tuple(dict.fromkeys(line.section for line in self.lines))

    def of_section(self, section: str) -> float:
        """The most likely cost under a heading. [USD]"""
        return math.fsum(line.usd.likely for line in self.lines if line.section == section)


def margin_of_markup(markup: float) -> float:
    """Profit as a part of the price, from profit as a part of the cost. [-]

    Sources
    -------
    E-002 : margin = markup / (1 + markup).
    """
    return markup / (1.0 + markup)


def markup_of_margin(margin: float) -> float:
    """Profit as a part of the cost, from profit as a part of the price. [-]

    Raises
    ------
    InputError
        If the margin is not under 1: no price holds it.

    Sources
    -------
    E-002 : markup = margin / (1 - margin).
    """
    if not 0 <= margin < 1:
        raise InputError("margin", f"found {margin:g}", "from 0 to under 1, a part of the price")
    return margin / (1.0 - margin)


def profit_on(cost_usd: float, on_top: OnTop) -> float:
    """Profit on a cost that holds overhead, whether it is stated as markup or as margin. [USD]"""
    share = on_top.profit
    return cost_usd * (share if on_top.profit_is is ProfitIs.MARKUP else markup_of_margin(share))


def with_overhead_and_profit(cost_usd: float, on_top: OnTop) -> float:
    """What the client pays for a cost, before tax and rounding. [USD]"""
    whole = cost_usd * (1.0 + on_top.overhead)
    return whole + profit_on(whole, on_top)


def build_up(
    lines: Sequence[CostLine],
    on_top: OnTop,
    *,
    contingency_usd: float = 0.0,
    allowances_usd: float = 0.0,
) -> BuildUp:
    """From lines of cost to the client's price.

    Parameters
    ----------
    contingency_usd : float
        What is carried on top of the most likely cost, before overhead and profit. [USD]
    allowances_usd : float
        The client's allowances at unit prices that hold overhead and profit. [USD]

    Raises
    ------
    InputError
        If there is no line, or a sum on top is negative.
    """
    if not lines:
        raise InputError("price", "there is nothing to be paid for", "at least one line of cost")
    if contingency_usd < 0 or allowances_usd < 0:
        found = f"found {min(contingency_usd, allowances_usd):g} dollars"
        raise InputError("price: contingency and allowances", found, "0 or more")
    likely = math.fsum(line.usd.likely for line in lines)
    goods = math.fsum(x.usd.likely for x in lines if x.kind is CostKind.GOODS)
    paid = goods * on_top.tax if on_top.tax_on is TaxOn.GOODS else 0.0
    cost = likely + contingency_usd + paid
    overhead = cost * on_top.overhead
    profit = profit_on(cost + overhead, on_top)
    net = cost + overhead + profit + allowances_usd
    tax = net * on_top.tax if on_top.tax_on is TaxOn.PRICE else paid
    gross = net + (tax if on_top.tax_on is TaxOn.PRICE else 0.0)
    cents = rounded_up(gross, on_top.round_to_usd)
    return BuildUp(
        lines=tuple(lines),
        likely_usd=likely,
        contingency_usd=contingency_usd,
        overhead_usd=overhead,
        profit_usd=profit,
        tax_usd=tax,
        allowances_usd=allowances_usd,
        rounding_usd=cents / 100.0 - gross,
        price_cents=cents,
    )


def rounded_up(usd: float, step_usd: float) -> int:
    """Dollars rounded up to a multiple of a step, in cents; a hair over a multiple stays on it."""
    step = in_cents(step_usd)
    return math.ceil(round(usd * 100.0 / step, 6)) * step


def by_section(built: BuildUp) -> tuple[tuple[str, int], ...]:
    """The price under each heading, in cents; they add up to the price.

    All that comes on top of the cost is spread over the headings by their cost, so that nobody
    can tell it from them; the allowances stand apart.
    """
    weights = [built.of_section(s) for s in built.sections]
    if built.allowances_usd <= 0:
        return tuple(zip(built.sections, shared_out(built.price_cents, weights), strict=True))
    apart = min(in_cents(built.allowances_usd), built.price_cents)
    shares = shared_out(built.price_cents - apart, weights)
    return (*zip(built.sections, shares, strict=True), ("Allowances", apart))
