"""The command of drying, and the weather file that it reads."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from weatherlap.cli.arguments import AsJson, JobFile
from weatherlap.cli.files import read_job_file
from weatherlap.errors import InputError

if TYPE_CHECKING:
    from weatherlap.job.model import Job

LARGEST_BYTES = 20_000_000
WEATHER = "weather"
"""The name of the weather file's text among the firm's tables."""


def add_to(app: typer.Typer) -> None:
    """Give the program the command of drying."""
    app.command()(dry)


def dry(
    job_file: JobFile,
    capacity: Annotated[
        bool, typer.Option("--capacity", help="Look for the most leakage that each spot can lose")
    ] = False,
    band: Annotated[
        bool,
        typer.Option("--band", help="Run each spot over the ranges of its materials (64 draws)"),
    ] = False,
    as_json: AsJson = False,
) -> None:
    """Say how long opened wood needs to dry, and whether the repair stays dry.

    Needs a [climate] and [[dry]] spots in the job. What stands open: days until it may be closed
    in, with fan and heater. Each spot through a year, as found with the leakage of the trace and
    as repaired: moisture, mould, rot, and which change did it.
    """
    from weatherlap.cli.dryinglines import print_drying

    job = read_job_file(job_file)
    weather = with_weather({}, job, job_file).get(WEATHER)
    print_drying(job, weather=weather, capacity=capacity, band=band, as_json=as_json)


def with_weather(own: Mapping[str, str], job: Job, job_file: Path) -> dict[str, str]:
    """The firm's tables with the text of the weather file that a job names beside itself.

    Raises
    ------
    InputError
        If the file cannot be read or is no text.
    """
    name = job.climate.weather_file if job.climate is not None else None
    if name is None:
        return dict(own)
    where = "climate: weather_file"
    try:
        with (job_file.parent / name).open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        why = (error.strerror or "it cannot be opened").lower()
        do = "The path is taken from the folder of the job file."
        raise InputError(where, f"{name}: {why}", "a weather file that can be read", do) from None
    if len(data) > LARGEST_BYTES:
        raise InputError(where, f"{name} is larger than 20 MB", "a year of hours")
    try:
        return {**own, WEATHER: data.decode("utf-8")}
    except UnicodeDecodeError:
        raise InputError(where, f"{name} is no text", "a CSV file in UTF-8") from None
