"""The command of holding it up: shore."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile
from weatherlap.papers.paper import Paper

OutFile = Annotated[
    Path | None,
    typer.Option("--out", "-o", help="Write sheet and appendix into this folder",
                 show_default=False),
]  # fmt: skip


def add_to(app: typer.Typer) -> None:
    """Give the program the command of holding it up."""
    app.command()(shore)


def shore(
    job_file: JobFile,
    sums: Annotated[
        bool, typer.Option("--sums", help="Print the calculation appendix too")
    ] = False,
    out: OutFile = None,
    paper: Annotated[Paper, typer.Option(help="Size of the sheets")] = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Say what holds the corner up, and how it is held while members are out.

    What load sits where; where temporary posts go, on what, with what jack and lift; whether
    each member, bearing, nail and tie is good at each stage, with the numbers; lengths to cut.
    A calculation to be checked: local code and licensed practice decide.
    """
    from weatherlap.cli.holdingup import print_shore

    print_shore(job_file, sums=sums, out=out, paper=paper, as_json=as_json)
