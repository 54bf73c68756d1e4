"""Prints what holds a corner up."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import typer

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, read_job_file, shown_place, write_packet
from weatherlap.cli.leaflines import print_leaf
from weatherlap.cli.progress import OnTheWay
from weatherlap.errors import InputError, JobError
from weatherlap.job.model import Job
from weatherlap.job.naming import lines_named
from weatherlap.job.reading import tables_of
from weatherlap.papers.binder import Bound
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.shoringpapers import bind
from weatherlap.papers.shoringtrouble import trouble_of_file
from weatherlap.run.holdingup import has_framing


def print_shore(
    job_file: Path, *, sums: bool, out: Path | None, paper: Paper, as_json: bool
) -> None:
    """Work the framing of a job out and print it, or write its papers.

    Ends with the exit code of bad input where the framing cannot be worked out.
    """
    try:
        job = read_job_file(job_file)
    except JobError as error:
        _draw_mistakes(job_file, error, out, paper)
        raise
    made = _worked(job, out, paper)
    named = _lines_of(job_file, made.table)
    if as_json:
        places = [{"file": f, "line": n, "where": words} for f, n, words in named]
        print_json({**made.table, "places": places})
    else:
        _print_leaves(made, out, sums=sums)
        for file, line, words in named:
            say(f"{file}:{line}: {words}")
    if not made.table["ok"]:
        raise typer.Exit(InputError.exit_code)


def _draw_mistakes(job_file: Path, error: JobError, out: Path | None, paper: Paper) -> None:
    """Where a folder is given, a sheet of the members that have mistakes, in heavy line."""
    if out is None or not any(p.line for p in error.problems):
        return
    try:
        data = tables_of(job_file.read_text("utf-8-sig"))
    except (JobError, ValueError):
        return
    made = trouble_of_file(data, str(error))
    if made is not None:
        _write(made, out, paper)
        print(f"The members are drawn in {out / 'shoring.pdf'}.", file=sys.stderr)


def _write(made: Bound, out: Path, paper: Paper) -> None:
    """The papers as PDF, with their drawings, into a folder."""
    pdfs = {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in made.leaves}
    write_packet(out, pdfs | dict(made.files))


def _lines_of(job_file: Path, table: Mapping[str, Any]) -> list[tuple[str, int, str]]:
    """Where in the file stand the members that fall, or what cannot be worked out names."""
    said = " ".join(repr(name) for name in table.get("falls", ()))
    if not table["ok"]:
        said = " ".join(table["problems"])
    if not said:
        return []
    text = job_file.read_text("utf-8-sig")
    file = shown_place(job_file)
    return [(file, line, words) for line, words in lines_named(text, tables_of(text), said)]


def _print_leaves(made: Bound, out: Path | None, *, sums: bool) -> None:
    for leaf in made.leaves if sums else made.leaves[:1]:
        print_leaf(leaf)
        print()
    if out is not None:
        say(f"Wrote {', '.join(str(out / f'{leaf.name}.pdf') for leaf in made.leaves)}.")


def _worked(job: Job, out: Path | None, paper: Paper) -> Bound:
    """The papers, written where a folder is given.

    Raises
    ------
    InputError
        The job holds no framing.
    """
    if not has_framing(job):
        raise InputError(
            "job", "it holds no framing", "at least one [[member]]",
            "Measure the beam, posts and rafters, and write them into the job file.",
        )  # fmt: skip
    on_the_way = OnTheWay()
    try:
        made = bind(job, own={}, on_the_way=on_the_way)
        if out is not None:
            on_the_way("Typesetting")
            _write(made, out, paper)
    finally:
        on_the_way.done()
    return made
