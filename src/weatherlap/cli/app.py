"""The commands: each reads a job, asks one question and prints the answer."""

from __future__ import annotations

import copy
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated

import typer
from typer.models import CommandInfo

from weatherlap import __version__
from weatherlap.cli import bending, drying, ordering, planning, promising, shopping, shoring
from weatherlap.cli.arguments import As, AsJson, JobFile, OwnTables
from weatherlap.cli.files import read_job_file, say_problems
from weatherlap.cli.tables import own_tables
from weatherlap.errors import WeatherlapError
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State

app = typer.Typer(
    name="weatherlap",
    help=(
        "Make a rotting corner of a house right for good: find how the water got in, hold it up, "
        "rebuild it so that it drains and dries, and put it in writing.\n\n"
        "You describe the corner in a job file: its faces (a wall, a roof, the underside of a "
        "beam) and the pieces that lie on them, in the order in which they were laid. "
        "Weatherlap follows the rain over the corner and tells where it gets in, why, how much, "
        "and what it wets. What else the job holds, changes, framing, metal, crew, terms, it "
        "works out from the same corner.\n\n"
        "Three steps to begin with:\n\n"
        "  weatherlap details                         the ready corners\n\n"
        "  weatherlap new roof-side-wall -o job.toml  a job file from one\n\n"
        "  weatherlap packet job.toml -o papers       its sheets and drawings\n\n"
        "Local code and licensed practice decide what is built."
    ),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
)


DataFolder = Annotated[
    Path | None,
    typer.Option(
        "--data", help="The folder with the jobs; by default one in your home", show_default=False
    ),
]
DatabaseUrl = Annotated[
    str, typer.Option("--database", help="Another database, as postgresql://...", metavar="URL")
]


def _say_version(wanted: bool) -> None:
    if wanted:
        print(f"weatherlap {__version__}")
        raise typer.Exit


@app.callback()
def _weatherlap(
    version: Annotated[
        bool,
        typer.Option(
            "--version", callback=_say_version, is_eager=True, help="Print the version and stop"
        ),
    ] = False,
) -> None:
    del version


@app.command()
def details(
    detail: Annotated[
        str | None,
        typer.Argument(help="One of them, to see its sizes and variants", show_default=False),
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the ready corners to begin a job from.

    Each has a right way to be built and the ways in which it is usually found wrong.
    """
    from weatherlap.cli.readydetails import print_details

    print_details(detail, as_json=as_json)


@app.command()
def new(
    detail: Annotated[
        str, typer.Argument(help="Which ready corner; see: weatherlap details", show_default=False)
    ],
    sizes: Annotated[
        list[str] | None,
        typer.Option(
            "--set",
            metavar="NAME=LENGTH",
            help='A size as your tape reads it, such as --set width="8\' 4\\""; may be repeated',
        ),
    ] = None,
    variant: Annotated[
        str, typer.Option(help="How it is built: right, or one of the ways it is found wrong")
    ] = "right",
    out: Annotated[
        Path | None,
        typer.Option("--out", "-o", help="Write it to this file instead of the screen"),
    ] = None,
    over: Annotated[bool, typer.Option("--over", help="Write over a file that is there")] = False,
    as_json: AsJson = False,
) -> None:
    """Write a commented job file from a ready corner.

    Then change it by hand until it is what you found: turn laps round, take pieces away, seal
    edges. Every line says what it is.
    """
    from weatherlap.cli.readydetails import print_new

    print_new(detail, sizes=sizes or [], variant=variant, out=out, over=over, as_json=as_json)


@app.command()
def check(job_file: JobFile, as_json: AsJson = False) -> None:
    """Say everything that is wrong with a job file.

    Each line names the file, the line, the key, what was found and what would be right.
    """
    from weatherlap.cli.answers import print_check

    print_check(read_job_file(job_file), job_file, as_json=as_json)


@app.command()
def trace(job_file: JobFile, state: As = State.FOUND, as_json: AsJson = False) -> None:
    """Follow the rain and print where it gets in.

    The worst place comes first. Below stand the lap rules that are not kept, and what was
    taken because the job does not say.
    """
    from weatherlap.cli.answers import print_trace

    print_trace(read_job_file(job_file), state=state, as_json=as_json)


@app.command("open-next")
def open_next(job_file: JobFile, as_json: AsJson = False) -> None:
    """Tell where to open or meter next.

    And what wet or dry would mean there. Weighs the job's suspects with their odds, or the
    findings at even odds if it names none, against the readings and the damage that it holds.
    """
    from weatherlap.cli.opening import print_open_next

    print_open_next(read_job_file(job_file), as_json=as_json)


ordering.add_to(app)
bending.add_to(app)
shoring.add_to(app)
shopping.add_to(app)
promising.add_to(app)
drying.add_to(app)
planning.add_to(app)


@app.command()
def packet(
    job_file: JobFile,
    out: Annotated[
        Path, typer.Option("--out", "-o", help="The folder to write to", show_default=False)
    ],
    paper: Annotated[Paper, typer.Option(help="Size of the sheets")] = Paper.LETTER,
    state: As = State.FOUND,
    own: OwnTables = None,
    as_json: AsJson = False,
) -> None:
    """Write the papers of every part that the job holds into a folder.

    The sheets are PDF, the drawings are SVG, the figures behind them JSON. All of it is
    written, or nothing; other files in the folder stay.
    """
    from weatherlap.cli.packet import write_findings
    from weatherlap.cli.pictures import with_pictures

    job = read_job_file(job_file)
    tables = drying.with_weather(own_tables(own), job, job_file)
    tables = with_pictures(tables, job, job_file)
    write_findings(job, out, state=state, paper=paper, own=tables, as_json=as_json)


@app.command()
def schema() -> None:
    """Print the JSON Schema of the job file.

    With it an editor checks the file while you write.
    """
    from weatherlap.cli.files import print_json
    from weatherlap.job.schema import job_schema

    print_json(job_schema())


@app.command()
def serve(
    data: DataFolder = None,
    port: Annotated[
        int, typer.Option(min=0, max=65535, help="The port; 0 takes a free one")
    ] = 8740,
    share: Annotated[
        bool, typer.Option("--share", help="Let phones on this network in, after pairing")
    ] = False,
    https: Annotated[
        bool, typer.Option("--https", help="With --share: encipher the network, reopen offline")
    ] = False,
    database: DatabaseUrl = "",
) -> None:
    """Work on jobs in a browser, on this machine or on phones of the crew.

    Answers to this machine only, unless it is shared. Everything stays on this machine.
    """
    from weatherlap.cli.serving import run_server

    run_server(data, port=port, share=share, https=https, url=database)


@app.command()
def backup(
    out: Annotated[Path, typer.Option("--out", "-o", help="The file to write", show_default=False)],
    data: DataFolder = None,
    database: DatabaseUrl = "",
    over: Annotated[bool, typer.Option("--over", help="Write over a file that is there")] = False,
    as_json: AsJson = False,
) -> None:
    """Write all jobs of the web app, with every revision and photo, into one file."""
    from weatherlap.cli.serving import write_backup

    write_backup(out, data, url=database, over=over, as_json=as_json)


@app.command()
def restore(
    backup_file: Annotated[Path, typer.Argument(help="The backup (.zip)", show_default=False)],
    data: DataFolder = None,
    database: DatabaseUrl = "",
    as_json: AsJson = False,
) -> None:
    """Fill an empty store of the web app from a backup: all of it, or nothing."""
    from weatherlap.cli.serving import read_backup

    read_backup(backup_file, data, url=database, as_json=as_json)


def app_for(words: Sequence[str]) -> typer.Typer:
    """The program with the command that the words begin with, or with all of them.

    To put all commands up takes longer than many of them take to answer.
    """
    asked = [c for c in app.registered_commands if words and _name_of(c) == words[0]]
    if not asked:
        return app
    small = copy.copy(app)
    small.registered_commands = asked
    return small


def _name_of(command: CommandInfo) -> str:
    assert command.callback is not None
    return command.name or command.callback.__name__.replace("_", "-")


def main() -> None:
    """Run the command line; problems are printed plainly and set the exit code."""
    code = _run()
    try:
        sys.stdout.flush()
    except OSError as error:
        _to_nowhere()
        if not isinstance(error, BrokenPipeError):
            code = _say_stopped(error.strerror or "the answer cannot be written")
    sys.exit(code)


def _run() -> int:
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    try:
        app_for(sys.argv[1:])(prog_name="weatherlap")
    except SystemExit as done:
        return done.code if isinstance(done.code, int) else 0
    except WeatherlapError as error:
        say_problems(error, as_json="--json" in sys.argv)
        return error.exit_code
    except BrokenPipeError:
        _to_nowhere()
    except OSError as error:
        _to_nowhere()
        return _say_stopped(error.strerror or str(error))
    except MemoryError:
        return _say_stopped("there is not enough memory for this job")
    except Exception as error:
        import traceback

        place = traceback.extract_tb(error.__traceback__)[-1]
        spot = f"{Path(place.filename).name}:{place.lineno}"
        return _say_stopped(f"a fault of the program: {type(error).__name__} at {spot}: {error}")
    return 0


def _say_stopped(why: str) -> int:
    print(f"weatherlap stopped: {why[:1].lower()}{why[1:]}", file=sys.stderr)
    return 1


def _to_nowhere() -> None:
    """Nothing more can be printed: keep the interpreter from trying again at its end."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
