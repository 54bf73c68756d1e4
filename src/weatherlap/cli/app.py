"""The commands: each reads a job, asks one question and prints the answer."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

from weatherlap.cli.files import read_job_file, say_problems
from weatherlap.errors import WeatherlapError

app = typer.Typer(
    name="weatherlap",
    help=(
        "Find how the water got into a corner of a house, and put it right.\n\n"
        "You describe the corner in a job file: its faces (a wall, a roof, the underside of a "
        "beam) and the pieces that lie on them, in the order in which they were laid. "
        "Weatherlap follows the rain over it and tells you where it gets in, and why.\n\n"
        "Start with:  weatherlap details   then   weatherlap new DETAIL > my-job.toml   then   "
        "weatherlap packet my-job.toml -o papers"
    ),
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
)

JobFile = Annotated[Path, typer.Argument(help="The job file (.toml)", show_default=False)]
AsJson = Annotated[bool, typer.Option("--json", help="Print the answer as JSON for machines")]


@app.command()
def check(job_file: JobFile, as_json: AsJson = False) -> None:
    """Check a job file and tell everything that is wrong with it."""
    from weatherlap.cli.answers import print_check

    print_check(read_job_file(job_file), job_file, as_json=as_json)


@app.command()
def trace(job_file: JobFile, as_json: AsJson = False) -> None:
    """Follow the rain over the corner and print where it gets in."""
    from weatherlap.cli.answers import print_trace

    print_trace(read_job_file(job_file), as_json=as_json)


def main() -> None:
    """Run the command line; problems are printed plainly and set the exit code."""
    try:
        app(standalone_mode=True)
    except WeatherlapError as error:
        say_problems(error, as_json="--json" in sys.argv)
        sys.exit(error.exit_code)
    except BrokenPipeError:
        sys.exit(0)
