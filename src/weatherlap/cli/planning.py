"""The command of the plan: who does what when, and how it goes."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path
from typing import Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile, OwnTables
from weatherlap.cli.drying import with_weather
from weatherlap.cli.files import read_job_file
from weatherlap.cli.tables import own_tables
from weatherlap.papers.paper import Paper


def add_to(app: typer.Typer) -> None:
    """Give the program the command of the plan."""
    app.command()(plan)


def plan(
    job_file: JobFile,
    start: Annotated[
        datetime | None,
        typer.Option(
            formats=["%Y-%m-%d"],
            metavar="DAY",
            help="First day, in place of the job's own; with ticks, the day to go on",
            show_default=False,
        ),
    ] = None,
    who: Annotated[
        str | None,
        typer.Option(metavar="PERSON", help="Only this person's days", show_default=False),
    ] = None,
    ticks: Annotated[
        bool, typer.Option("--ticks", help="What was done so far: hours planned and spent")
    ] = False,
    effort: Annotated[
        float, typer.Option(min=0.05, max=600, help="How long to search, about so many seconds")
    ] = 5.0,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Write papers and calendars into this folder"),
    ] = None,
    own: OwnTables = None,
    paper: Annotated[Paper, typer.Option(help="Size of the sheets")] = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Place every task in the crew's days, and say what the weather makes of it.

    The earliest finish first, then the least time that the corner stands open; both proven, or
    how far from it. With crew, skills, order, drying, curing, goods, permits, inspections and
    days off. What is ticked ([[done]]) is kept, and the rest is planned from today on, with what
    slipped. Your own hours are the table rates.toml of your own folder.
    """
    from weatherlap.cli.planprints import Asked, print_plan

    asked = Asked(start.date() if start else None, who, ticks, effort)
    job = read_job_file(job_file)
    tables = with_weather(own_tables(own), job, job_file)
    print_plan(job, asked, out=out, own=tables, paper=paper, as_json=as_json)
