"""The build-up of the price: for the firm's eyes only, never among what the client gets."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from weatherlap.job.model import Job
from weatherlap.money.amounts import about_usd, usd_text
from weatherlap.money.chance import Outcome
from weatherlap.money.costbook import ProfitIs
from weatherlap.money.damage import ASSUMPTIONS
from weatherlap.money.price import CostKind, margin_of_markup, markup_of_margin
from weatherlap.papers.binder import Bound
from weatherlap.papers.firmhead import firm_of
from weatherlap.papers.leaf import Box, Column, Firm, Grid, Items, Leaf, Part, Words
from weatherlap.papers.promised import scope_for
from weatherlap.run.pricing import Pricing
from weatherlap.run.scope import Scope
from weatherlap.run.scopetables import price_table

NAME = "price-build-up-firm-only"
NEEDLESS_USD = 0.5


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The build-up of the price.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be priced.
    """
    on_the_way("Building up the price")
    scope = scope_for(job, own)
    return Bound((price_leaf(scope, firm_of(own)),), price_table(scope))


def price_leaf(scope: Scope, firm: Firm | None) -> Leaf:
    """The build-up: what is missing first, then the sum, the chances, and every line."""
    pricing = scope.pricing
    return Leaf(
        name=NAME,
        kind="Price build-up: for the firm only",
        job_title=pricing.job.job.title,
        about=pricing.job.job,
        lead=_lead(pricing),
        parts=tuple(_parts(scope)),
        sources=("E-001", "E-002", "E-003", "E-004", "E-005", "E-007", "E-008"),
        firm=firm,
        for_firm=True,
    )


def _lead(pricing: Pricing) -> tuple[str, ...]:
    built, whole = pricing.built, pricing.with_hidden
    book = "your own cost book" if pricing.is_own_book else "an invented cost book"
    return (
        f"The client pays {usd_text(built.price_cents)}. The work costs "
        f"{about_usd(built.likely_usd)} if all goes as is most likely, by {book} "
        f"({pricing.book.name}).",
        f"With what may be hidden it costs no more than {about_usd(whole.p50)} in half of all "
        f"cases and no more than {about_usd(whole.p80)} in four of five.",
    )


def _parts(scope: Scope) -> Iterator[Part]:
    pricing = scope.pricing
    if scope.missing:
        yield Part("Missing before anything is printed", (Box("Has no line yet", scope.missing),))
    yield Part("From cost to price", (_sum_grid(pricing),), note=_profit_note(pricing))
    yield Part("Chances of the cost", (_chance_grid(pricing),), note=_chance_note(pricing))
    yield Part("Hidden damage", tuple(_hidden_blocks(pricing)))
    yield Part("Every line", (_line_grid(pricing),), new_page=True)


def _sum_grid(pricing: Pricing) -> Grid:
    built = pricing.built
    rows = [(kind.value.capitalize(), built.of_kind(kind)) for kind in CostKind]
    rows = [row for row in rows if row[1]]
    rows += [
        ("Cost, most likely", built.likely_usd),
        ("Contingency for what is seen", built.contingency_usd),
        ("Overhead", built.overhead_usd),
        ("Profit", built.profit_usd),
        ("Tax", built.tax_usd),
        ("Allowances at their unit prices", built.allowances_usd),
        ("Rounding", built.rounding_usd),
        ("The client's price", built.price_cents / 100.0),
    ]
    lines = tuple((name, f"{usd:,.2f}") for name, usd in rows)
    return Grid((Column("", share=3.0), Column("US$", numeric=True)), lines)


def _profit_note(pricing: Pricing) -> str:
    top = pricing.book.on_top
    carry = (
        "no contingency" if top.carry is None else f"carried to the {100 * top.carry:g} % chance"
    )
    if top.profit_is is ProfitIs.MARKUP:
        margin = 100 * margin_of_markup(top.profit)
        profit = (
            f"{100 * top.profit:g} % markup (of cost), which is {margin:.1f} % margin (of price)"
        )
    else:
        markup = 100 * markup_of_margin(top.profit)
        profit = (
            f"{100 * top.profit:g} % margin (of price), which is {markup:.1f} % markup (of cost)"
        )
    return (
        f"Contingency: {carry}; overhead {100 * top.overhead:g} % of cost and contingency; then "
        f"profit, {profit}; then tax, {100 * top.tax:g} % on the {top.tax_on.value}."
    )


def _chance_grid(pricing: Pricing) -> Grid:
    def row(name: str, o: Outcome) -> tuple[str, ...]:
        return (
            name, about_usd(o.mean), about_usd(o.spread), f"{about_usd(o.p50)} ± {o.p50_give:.0f}",
            f"{about_usd(o.p80)} ± {o.p80_give:.0f}",
        )  # fmt: skip

    heads = ("", "Mean", "Spread", "P50", "P80")
    columns = tuple(Column(h, numeric=bool(h), share=1.0 if h else 2.0) for h in heads)
    rows = (row("What is seen", pricing.visible), row("With what is hidden", pricing.with_hidden))
    return Grid(columns, rows)


def _chance_note(pricing: Pricing) -> str:
    book, runs = pricing.book, pricing.visible.runs
    across = min(book.together_visible, book.together_hidden)
    return (
        f"{runs:,} runs, seed {pricing.visible.seed}; each line a triangle, tied together by "
        f"normal variates that go {100 * across:g} % together, hidden ones among themselves "
        f"{100 * book.together_hidden:g} %. P80: not exceeded in 80 of 100 runs."
    )


def _hidden_blocks(pricing: Pricing) -> Iterator[Words | Grid | Items]:
    hidden = pricing.hidden
    how = "as the job says" if hidden.years_known else "an assumption: [terms] hidden_years"
    yield Words(f"Water taken to have come in for {hidden.years:g} years, {how}.")
    if hidden.in_price:
        yield Words(f"Wet, but replaced and in the price: {', '.join(hidden.in_price)}.")
    if not hidden.rows:
        yield Words("The trace wets no wood that stays.")
        return
    yield _feared(pricing)
    yield Items(tuple(_reasoned(pricing)))
    yield Items(ASSUMPTIONS)


def _feared(pricing: Pricing) -> Grid:
    rows = tuple(
        (
            h.covered.title,
            f"{h.covered.litres_a_year:.1f}",
            f"{100 * h.before[2]:.0f} %",
            f"{100 * h.chance:.0f} %",
            f"{h.extent.low:.1f} / {h.extent.likely:.1f} / {h.extent.high:.1f} {h.covered.unit}",
            f"{about_usd(w.saved_usd)} for {about_usd(w.stakes.look_usd)}",
        )
        for h, w in zip(pricing.hidden.rows, pricing.hidden.worth, strict=True)
    )
    columns = (
        Column("Piece", share=2.0), Column("L a year", numeric=True),
        Column("By water", numeric=True), Column("After signs", numeric=True),
        Column("If rotten, how much", share=2.0), Column("A look saves", share=1.6),
    )  # fmt: skip
    return Grid(columns, rows)


def _reasoned(pricing: Pricing) -> Iterator[str]:
    """Each chance step by step, and whether one more hole pays."""
    for hidden, worth in zip(pricing.hidden.rows, pricing.hidden.worth, strict=True):
        steps = [f"{100 * hidden.before[2]:.0f} % by the water alone"]
        steps += [f"{100 * s.rotten_after:.0f} % after {s.text}" for s in hidden.steps]
        pays = worth.worth_usd > NEEDLESS_USD
        look = "a look pays: open it and push an awl in" if pays else "one more look does not pay"
        yield f"{hidden.covered.title}: {', '.join(steps)}. Without a look: {worth.blind}; {look}."


def _line_grid(pricing: Pricing) -> Grid:
    rows = tuple(
        (x.section, x.text, f"{x.usd.low:,.0f}", f"{x.usd.likely:,.0f}", f"{x.usd.high:,.0f}")
        for x in pricing.built.lines
    )
    columns = (
        Column("Heading", share=1.6), Column("What", share=4.0), Column("Low", numeric=True),
        Column("Likely", numeric=True), Column("High", numeric=True),
    )  # fmt: skip
    return Grid(columns, rows)
