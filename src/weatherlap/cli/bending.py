"""The command for the brake: shop sheets of bent metal."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile, OwnTables
from weatherlap.cli.files import read_job_file
from weatherlap.cli.tables import own_tables
from weatherlap.papers.paper import Paper


def add_to(app: typer.Typer) -> None:
    """Give the program the commands of the brake."""
    app.command()(bend)


def bend(
    job_file: JobFile,
    piece: Annotated[
        str | None,
        typer.Argument(help="One piece or profile; else a list of all", show_default=False),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Write sheets, DXF and drawings into this folder"),
    ] = None,
    own: OwnTables = None,
    paper: Annotated[Paper, typer.Option(help="Size of the sheets")] = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Lay out bent metal: strip, marks, bend order, flat pattern.

    Sections come from the repaired corner and from the job's profiles. Each bend order is one
    that your brake can make, with the least handling; where there is none, what blocks it and
    what to change. Your brake is the table brake.toml of your own folder.
    """
    from weatherlap.cli.bendprints import print_bends

    print_bends(
        read_job_file(job_file), piece, out=out, own=own_tables(own), paper=paper, as_json=as_json
    )
