"""Change orders as papers: each one, and the sheet that adds them up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from weatherlap.money.amounts import usd_text
from weatherlap.money.changeorders import Answer, ChangeOrder, Ledger
from weatherlap.papers.leaf import Box, Column, Firm, Grid, Items, Leaf, Part, Words
from weatherlap.run.changeorder import Orders, orders_of

if TYPE_CHECKING:
    from weatherlap.run.scope import Scope

SIGN_HERE = "________________________"


def change_order_leaves(scope: Scope, firm: Firm | None) -> tuple[Leaf, ...]:
    """Every change order of a job with a signed contract, then the sum of them; else none."""
    if not scope.job.state:
        return ()
    orders = orders_of(scope)
    rows = list(orders.ledger.orders)
    if orders.open_now is not None:
        rows.append(orders.open_now)
    if not rows:
        return ()
    leaves = [_order_leaf(scope, firm, row, orders) for row in rows]
    return (*leaves, _ledger_leaf(scope, firm, orders.ledger))


def _order_leaf(scope: Scope, firm: Firm | None, row: ChangeOrder, orders: Orders) -> Leaf:
    return Leaf(
        name=f"change-order-{row.number}",
        kind=f"Change order {row.number}",
        job_title=scope.job.job.title,
        about=scope.job.job,
        lead=(order_words(row),),
        parts=tuple(_order_parts(row, orders.ledger)),
        sources=("E-013",),
        firm=firm,
    )


def order_words(row: ChangeOrder) -> str:
    """What a change order does to price and days, in a sentence."""
    said = {
        Answer.SIGNED: f"signed by {row.by} on {row.day}",
        Answer.DECLINED: f"declined by {row.by} on {row.day}",
        Answer.OFFERED: "not signed",
    }[row.answer]
    return (
        f"Change order {row.number}: price {signed_usd(row.price_change_cents)}, days "
        f"{row.days_change:+d}; {said}."
    )


def days_words(days: int) -> str:
    """A number of days."""
    return f"{days} day{'s' if days != 1 else ''}"


def signed_usd(cents: int) -> str:
    """Dollars with their sign."""
    return f"+{usd_text(cents)}" if cents >= 0 else usd_text(cents)


def _order_parts(row: ChangeOrder, book: Ledger) -> Iterator[Part]:
    if row.why:
        yield Part("Why", (Words(row.why),))
    if row.added:
        yield Part("Comes in", (Items(tuple(x.text for x in row.added)),))
    if row.dropped:
        yield Part("Goes out", (Items(tuple(x.text for x in row.dropped)),))
    if row.photos:
        yield Part("Photos that show it", (Items(row.photos),))
    if row.answer is Answer.DECLINED:
        box = Box("Declined: what follows", (row.consequence,))
        yield Part("On record", (box,))
        return
    before = book.price_cents - (row.price_change_cents if row.answer is Answer.SIGNED else 0)
    if row.answer is Answer.OFFERED or row is book.orders[-1]:
        rows = (
            ("Before this change order", usd_text(before)),
            ("This change order", signed_usd(row.price_change_cents)),
            ("With it", usd_text(before + row.price_change_cents)),
        )
        yield Part("Price", (Grid((Column("", share=3.0), Column("", numeric=True)), rows),))
    if row.answer is Answer.OFFERED:
        signs = (
            ("For the firm", SIGN_HERE, "____________"),
            ("The client", SIGN_HERE, "____________"),
        )
        grid = Grid((Column(""), Column("Name", share=2.0), Column("Day")), signs)
        yield Part("Signed before the work is done", (grid,))


def _ledger_leaf(scope: Scope, firm: Firm | None, book: Ledger) -> Leaf:
    rows = [("Contract", book.contract.day, "signed", usd_text(book.contract.price_cents), "")]
    for row in book.orders:
        counts = row.answer is Answer.SIGNED
        usd = signed_usd(row.price_change_cents)
        days = f"{row.days_change:+d}"
        rows.append(
            (
                f"Change order {row.number}",
                row.day,
                row.answer.value,
                usd if counts else f"({usd})",
                days,
            )
        )
    rows.append(("The whole", "", "", usd_text(book.price_cents), days_words(book.days)))
    columns = (
        Column("", share=2.0), Column("Day"), Column("Answer"), Column("Price", numeric=True),
        Column("Days", numeric=True),
    )  # fmt: skip
    grid = Grid(columns, tuple(rows), "What stands in brackets is not signed and does not count.")
    declined = tuple(
        f"Change order {r.number}, declined by {r.by} on {r.day}: {r.consequence}"
        for r in book.declined
    )
    parts = [Part("Contract and change orders", (grid,))]
    if declined:
        parts.append(Part("Declined, on record", (Items(declined),)))
    lead = (
        f"The price stands at {usd_text(book.price_cents)} in {days_words(book.days)} of work: the "
        f"contract and {len(book.signed)} signed change "
        f"order{'s' if len(book.signed) != 1 else ''}.",
    )
    return Leaf(
        name="change-orders",
        kind="Change orders",
        job_title=scope.job.job.title,
        about=scope.job.job,
        lead=lead,
        parts=tuple(parts),
        sources=("E-013",),
        firm=firm,
    )
