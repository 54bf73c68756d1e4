"""Runs laid out, on the terminal or as JSON."""

from __future__ import annotations

from weatherlap.cli.answers import say, say_row
from weatherlap.cli.files import print_json
from weatherlap.job.model import Job
from weatherlap.run.layouts import LaidOut, across_words, layouts, layouts_table, stretch_words
from weatherlap.units import tape


def print_runs(job: Job, *, as_json: bool) -> None:
    """Print where each piece of each run goes."""
    rows = layouts(job)
    if as_json:
        print_json({"job": job.job.title, "runs": layouts_table(rows)})
        return
    for number, row in enumerate(rows):
        if number:
            print()
        _print_run(row)


def _print_run(row: LaidOut) -> None:
    run = row.layout.run
    way = "up from its foot" if run.along == "up" else "right from its left end"
    say(f"The {row.title}, by tape from {tape(run.start)} on the face {run.face!r}, {way}")
    for place, title in zip(row.layout.places, row.pieces, strict=True):
        ends = f"{tape(place.start_in)} to {tape(place.end_in)}"
        text = f"{place.number:>3}. {title}: {ends}, lap {stretch_words(place)}"
        cut, bite, need = across_words(place)
        if place.cut_in is not None:
            text += f"; {cut} long, bites {bite} at the least, needs {need}"
        say(text, hang="     ")
    for warning in row.layout.warnings:
        say_row(warning)
