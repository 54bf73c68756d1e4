"""Price, scope, change orders and close-out on the terminal."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside, write_packet
from weatherlap.cli.leaflines import print_leaf
from weatherlap.cli.progress import OnTheWay
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.papers import closepapers, pricepapers, scopepapers
from weatherlap.papers.binder import Bound
from weatherlap.papers.changeorderpapers import change_order_leaves
from weatherlap.papers.firmhead import firm_of
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.promised import scope_for
from weatherlap.run.changeorder import orders_of
from weatherlap.run.scopetables import orders_table

Own = Mapping[str, str]


def print_price(
    job: Job, own: Own, *, out: Path | None, write_book: Path | None, paper: Paper, as_json: bool
) -> None:
    """The build-up of the price."""
    from weatherlap.money.costbook import invented_text

    if write_book is not None and write_book.exists():
        raise InputError(f"--write-book {write_book.name}", "there is such a file", "a new one")
    made = _bound(lambda way: pricepapers.bind(job, own=own, on_the_way=way))
    if write_book is not None:
        write_beside(write_book, own.get("costs", invented_text()).encode("utf-8"))
    _print(made, out=out, paper=paper, as_json=as_json)


def print_scope(job: Job, own: Own, *, out: Path | None, paper: Paper, as_json: bool) -> None:
    """The scope, the contract sheet and the allowances; what is missing is said before."""
    made = _bound(lambda way: scopepapers.bind(job, own=own, on_the_way=way))
    missing = made.table["missing"]
    if missing and not as_json:
        print("Before this is printed: it has no line yet", file=sys.stderr)
        for text in missing:
            print(f"  - {text}", file=sys.stderr)
    _print(made, out=out, paper=paper, as_json=as_json)


def print_orders(job: Job, own: Own, *, out: Path | None, paper: Paper, as_json: bool) -> None:
    """The change orders."""

    def bind(way: Callable[[str], None]) -> Bound:
        way("Comparing the states")
        scope = scope_for(job, own)
        orders = orders_of(scope)
        leaves = change_order_leaves(scope, firm_of(own))
        return Bound(leaves, orders_table(orders))

    made = _bound(bind)
    if not made.leaves and not as_json:
        say("The job stands as the contract was signed: there is no change order.")
    _print(made, out=out, paper=paper, as_json=as_json)


def print_close(job: Job, own: Own, *, out: Path | None, paper: Paper, as_json: bool) -> None:
    """The close-out book."""
    made = _bound(lambda way: closepapers.bind(job, own=own, on_the_way=way))
    _print(made, out=out, paper=paper, as_json=as_json)


def _bound(bind: Callable[[Callable[[str], None]], Bound]) -> Bound:
    on_the_way = OnTheWay()
    try:
        return bind(on_the_way)
    finally:
        on_the_way.done()


def _print(made: Bound, *, out: Path | None, paper: Paper, as_json: bool) -> None:
    if out is not None:
        files: dict[str, Any] = {f"{x.name}.pdf": leaf_pdf(x, paper=paper) for x in made.leaves}
        write_packet(out, files | dict(made.files))
    if as_json:
        print_json(dict(made.table))
        return
    for number, leaf in enumerate(made.leaves):
        if number:
            print()
        print_leaf(leaf)
    if out is not None:
        print()
        say(f"Wrote {len(made.leaves) + len(made.files)} files to {out}.")
