"""The commands of putting right: compare, mend, order, nights."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from weatherlap.cli.arguments import As, AsJson, JobFile
from weatherlap.cli.files import read_job_file
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State

HoursFile = Annotated[
    Path | None,
    typer.Option("--hours", help="Your own table of hours (.toml)", show_default=False),
]

OutFile = Annotated[Path, typer.Option("--out", "-o", help="The PDF to write", show_default=False)]
JobPage = Annotated[
    str | None,
    typer.Option("--link", help="Address of the job's page in the web app", show_default=False),
]
SheetSize = Annotated[Paper, typer.Option(help="Size of the sheets")]


def add_to(app: typer.Typer) -> None:
    """Give the program the commands of putting right."""
    for command in (compare, mend, order, nights, runs, pole, labels):
        app.command()(command)


def compare(job_file: JobFile, as_json: AsJson = False) -> None:
    """Say what each change did to each finding.

    The corner as found against the corner as repaired, and as repaired without each change in
    turn. What stays open is said plainly.
    """
    from weatherlap.cli.puttingright import print_compare

    print_compare(read_job_file(job_file), as_json=as_json)


def mend(
    job_file: JobFile,
    costs: Annotated[
        Path | None,
        typer.Option("--costs", help="Your own table of costs (.toml)", show_default=False),
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=0.1, max=3600, help="Stop searching after this long")
    ] = 30.0,
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Write the job with this mend to this file"),
    ] = None,
    over: Annotated[bool, typer.Option("--over", help="Write over a file that is there")] = False,
    as_json: AsJson = False,
) -> None:
    """Search for the cheapest changes after which the corner drains.

    Starts from the corner as found, whatever changes the job holds. The trace is the judge;
    pieces that the client keeps are left alone. Says whether the answer is proven least, and
    what happens without each change.
    """
    from weatherlap.cli.mending import print_mend

    print_mend(job_file, costs=costs, seconds=seconds, out=out, over=over, as_json=as_json)


def order(job_file: JobFile, as_json: AsJson = False) -> None:
    """List what comes off, in which order, and the order back.

    The least that has to come off for the job's changes, what becomes of each piece, and what
    is easily laid in the wrong order.
    """
    from weatherlap.cli.puttingright import print_order

    print_order(read_job_file(job_file), as_json=as_json)


def nights(
    job_file: JobFile,
    hours: HoursFile = None,
    night_mm: Annotated[
        float | None,
        typer.Option(
            "--night-mm",
            help="Rain of a usual rainy night in mm; else the year's rain over its wet days",
            show_default=False,
        ),
    ] = None,
    crew: Annotated[
        float | None, typer.Option(min=0.1, help="How many work on it", show_default=False)
    ] = None,
    day: Annotated[
        float | None, typer.Option(min=0.1, help="Hours of work a day", show_default=False)
    ] = None,
    as_json: AsJson = False,
) -> None:
    """Say what gets wet if it rains on each evening, and where a cover goes.

    Cuts take-down and put-back into the crew's days and follows the rain over what stands
    open. Covers are followed too, to see whether they hold.
    """
    from weatherlap.cli.puttingright import asked_hours, print_nights

    job = read_job_file(job_file)
    table = asked_hours(hours, crew=crew, day=day)
    print_nights(job, table, own=hours is not None, night_mm=night_mm, as_json=as_json)


def runs(job_file: JobFile, as_json: AsJson = False) -> None:
    """Lay runs of like pieces out between their taped marks.

    Where each piece begins and ends, how far its lap is drawn out or closed to land on the marks,
    and whether it keeps enough in its channels not to fall out in wind.
    """
    from weatherlap.cli.laying import print_runs

    print_runs(read_job_file(job_file), as_json=as_json)


def pole(
    job_file: JobFile,
    out: OutFile,
    face: Annotated[
        str | None,
        typer.Option(help="The face; else the one with the most pieces", show_default=False),
    ] = None,
    along: Annotated[str, typer.Option(help="up or right: which way it is held")] = "up",
    at: Annotated[
        str | None,
        typer.Option(
            help="How far from the face's left end, or its foot, as your tape reads it; else "
            "where it passes most pieces",
            show_default=False,
        ),
    ] = None,
    is_long: Annotated[
        bool, typer.Option("--long", help="One long page instead of sheets")
    ] = False,
    paper: SheetSize = Paper.LETTER,
    state: As = State.FOUND,
    as_json: AsJson = False,
) -> None:
    """Write a story pole at full scale.

    Every edge, fold, joint and taped mark that a line across a face passes, each with its
    number. On sheets to be joined at the crosses, or as one long page; a bar of 6 in tells
    whether the print is true.
    """
    from weatherlap.cli.printing import asked_pole, write_pole

    job = read_job_file(job_file)
    asked = asked_pole(job, face=face, along=along, at=at, state=state)
    write_pole(job, asked, out, paper=paper, is_long=is_long, as_json=as_json)


def labels(
    job_file: JobFile,
    out: OutFile,
    link: JobPage = None,
    paper: SheetSize = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Write labels for the pieces that come off and go back.

    Number, name, face, where it goes, the step in which it goes back, an arrow up, and a code that
    carries the same words or, with --link, opens the piece in the web app.
    """
    from weatherlap.cli.printing import write_labels

    write_labels(read_job_file(job_file), out, link=link, paper=paper, as_json=as_json)
