"""The commands of price and promises: price, scope, sign, change-order, photo, close."""

from __future__ import annotations

import datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile, OwnTables
from weatherlap.cli.drying import with_weather
from weatherlap.cli.files import read_job_file
from weatherlap.cli.tables import own_tables
from weatherlap.papers.paper import Paper

if TYPE_CHECKING:
    from weatherlap.job.model import Job

OutFolder = Annotated[
    Path | None,
    typer.Option("--out", "-o", help="Write the papers to this folder too", show_default=False),
]
SheetSize = Annotated[Paper, typer.Option(help="Size of the sheets")]
Day = Annotated[
    str, typer.Option("--on", help="The day, as YYYY-MM-DD; left out, today", show_default=False)
]


class AnswerIs(StrEnum):
    """What the client said."""

    SIGNED = "signed"
    DECLINED = "declined"
    OFFERED = "offered"


def add_to(app: typer.Typer) -> None:
    """Give the program the commands of price and promises."""
    for command in (price, scope, sign, photo, close):
        app.command()(command)
    app.command("change-order")(change_order)


def _job_and_tables(job_file: Path, own: Path | None) -> tuple[Job, dict[str, str]]:
    """A job, and the firm's tables with the weather file that the job names."""
    job = read_job_file(job_file)
    return job, with_weather(own_tables(own), job, job_file)


def price(
    job_file: JobFile,
    own: OwnTables = None,
    out: OutFolder = None,
    write_book: Annotated[
        Path | None,
        typer.Option("--write-book", help="Write the cost book that was used to this file"),
    ] = None,
    paper: SheetSize = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Build the price up, for the firm's eyes only.

    From hours and goods through the cost book to the client's price, with the chances of the
    cost, what may be hidden and what one more look is worth. Never give this to the client.
    """
    from weatherlap.cli.promises import print_price

    job, tables = _job_and_tables(job_file, own)
    print_price(job, tables, out=out, write_book=write_book, paper=paper, as_json=as_json)


def scope(
    job_file: JobFile,
    own: OwnTables = None,
    out: OutFolder = None,
    paper: SheetSize = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Say what is done, in order, and what else the client signs.

    Lists first what has no line yet: a change, a finding, a member, an inspection.
    """
    from weatherlap.cli.promises import print_scope

    job, tables = _job_and_tables(job_file, own)
    print_scope(job, tables, out=out, paper=paper, as_json=as_json)


def sign(
    job_file: JobFile,
    by: Annotated[str, typer.Option(help="Who signed or declined", show_default=False)],
    on: Day = "",
    answer: Annotated[AnswerIs, typer.Option(help="What the client said")] = AnswerIs.SIGNED,
    why: Annotated[str, typer.Option(help="The finding behind it, in words")] = "",
    consequence: Annotated[str, typer.Option(help="What follows where it was declined")] = "",
    shown_by: Annotated[
        list[str] | None, typer.Option("--photo", help="A photo that shows it; may be repeated")
    ] = None,
    own: OwnTables = None,
    as_json: AsJson = False,
) -> None:
    """Keep the job as it stands: the contract first, then each change order.

    Scope, price and days are written into the job file with a seal over them, and a copy of the
    file is kept beside it. What was signed is not overwritten: a state that was changed later
    is refused.
    """
    from weatherlap.cli.signing import Signing, keep_state

    asked = Signing(
        by=by, day=on or datetime.date.today().isoformat(), answer=answer.value, why=why,
        consequence=consequence, photos=tuple(shown_by or ()),
    )  # fmt: skip
    _, tables = _job_and_tables(job_file, own)
    keep_state(job_file, tables, asked, as_json=as_json)


def change_order(
    job_file: JobFile,
    own: OwnTables = None,
    out: OutFolder = None,
    paper: SheetSize = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """List the change orders, each the difference of two states.

    In scope, price and days; also the one that the job stands at now and nobody signed. Declined
    ones stay on record.
    """
    from weatherlap.cli.promises import print_orders

    job, tables = _job_and_tables(job_file, own)
    print_orders(job, tables, out=out, paper=paper, as_json=as_json)


def photo(
    job_file: JobFile,
    pictures: Annotated[list[Path], typer.Argument(help="Pictures (JPEG, PNG)")],
    face: Annotated[str, typer.Option(help="The face that they show")] = "",
    step: Annotated[str, typer.Option(help="The step that they show, by its id")] = "",
    text: Annotated[str, typer.Option(help="What they show")] = "",
    as_json: AsJson = False,
) -> None:
    """Write photos into the job: when, toward where, and the hash of each.

    Time and direction are those that the camera wrote. The pictures stay where they are.
    """
    from weatherlap.cli.signing import keep_photos

    keep_photos(job_file, pictures, face=face, step=step, text=text, as_json=as_json)


def close(
    job_file: JobFile,
    own: OwnTables = None,
    out: OutFolder = None,
    paper: SheetSize = Paper.LETTER,
    as_json: AsJson = False,
) -> None:
    """Close the job out: found, why, done, and what to look at after a storm.

    With --out, the close-out book and a calendar of days to remember. Photos that lie beside the
    job file, or in a folder photos beside it, are set into the book.
    """
    from weatherlap.cli.pictures import with_pictures
    from weatherlap.cli.promises import print_close

    job, tables = _job_and_tables(job_file, own)
    tables = with_pictures(tables, job, job_file)
    print_close(job, tables, out=out, paper=paper, as_json=as_json)
