"""The command of the shop: what is bought, cut and bent."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile, OwnTables
from weatherlap.cli.files import read_job_file
from weatherlap.cli.tables import own_tables
from weatherlap.errors import InputError
from weatherlap.papers.paper import Paper

if TYPE_CHECKING:
    from weatherlap.papers.binder import Bound


def add_to(app: typer.Typer) -> None:
    """Give the program the command of the shop."""
    app.command()(shop)


def shop(
    job_file: JobFile,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Write papers, XLSX, CSV and DXF into this folder"),
    ] = None,
    own: OwnTables = None,
    paper: Annotated[Paper, typer.Option(help="Size of the sheets")] = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Say what is bought, in which order it is cut, and what is bent.

    Every new piece of the repaired corner, with what holds it: the buy list by counter, the cut
    lists with their proof, the joints with their gaps, the shop sheets of bent metal.
    """
    from weatherlap.cli.files import print_json
    from weatherlap.cli.leaflines import print_leaf
    from weatherlap.cli.progress import OnTheWay
    from weatherlap.papers.shoppapers import bind
    from weatherlap.takeoff.newpieces import buys

    job, tables = read_job_file(job_file), own_tables(own)
    if not buys(job):
        raise InputError(
            "job",
            "it holds no change that brings anything new",
            "a [[change]] that replaces, adds or extends, or an [[also]]",
        )
    on_the_way = OnTheWay()
    try:
        made = bind(job, own=tables, on_the_way=on_the_way)
        if out is not None:
            _write(made, out, paper)
    finally:
        on_the_way.done()
    if as_json:
        print_json(dict(made.table))
        return
    for number, leaf in enumerate(made.leaves):
        if number:
            print()
        print_leaf(leaf)
    if out is not None:
        print(f"\nWrote {len(made.leaves)} papers and {len(made.files)} other files.")


def _write(made: Bound, out: Path, paper: Paper) -> None:
    """All papers and files into a folder, or none."""
    from weatherlap.cli.files import write_packet
    from weatherlap.papers.leafpdf import leaf_pdf

    files = {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in made.leaves}
    table = json.dumps(made.table, ensure_ascii=False, indent=1) + "\n"
    write_packet(out, {**files, **made.files, "shop.json": table.encode("utf-8")})
