"""Prints what holds a corner up."""

from __future__ import annotations

from pathlib import Path

import typer

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, read_job_file, write_packet
from weatherlap.cli.leaflines import print_leaf
from weatherlap.cli.progress import OnTheWay
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.papers.binder import Bound
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.shoringpapers import bind
from weatherlap.run.holdingup import has_framing


def print_shore(
    job_file: Path, *, sums: bool, out: Path | None, paper: Paper, as_json: bool
) -> None:
    """Work the framing of a job out and print it, or write its papers.

    Ends with the exit code of bad input where the framing cannot be worked out.
    """
    made = _worked(read_job_file(job_file), out, paper)
    if as_json:
        print_json(dict(made.table))
    else:
        _print_leaves(made, out, sums=sums)
    if not made.table["ok"]:
        raise typer.Exit(InputError.exit_code)


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
            pdfs = {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in made.leaves}
            write_packet(out, pdfs | dict(made.files))
    finally:
        on_the_way.done()
    return made
