"""Story pole and labels, written as PDF."""

from __future__ import annotations

import re
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.papers.findings import stamp_of
from weatherlap.papers.labels import label_sheets
from weatherlap.papers.paper import Paper
from weatherlap.papers.pole import long_pole, tiled_pole
from weatherlap.run.labelwords import labels
from weatherlap.run.ordering import order_job
from weatherlap.run.polemarks import Along, Pole, story_pole
from weatherlap.run.states import State
from weatherlap.units import UnitError, parse_length, tape

_JOB_PAGE = re.compile(r"https?://[^\s/?#]+/job/[^\s/?#]+/?")


def asked_pole(job: Job, *, face: str | None, along: str, at: str | None, state: State) -> Pole:
    """The pole that the words of the command line ask for.

    Raises
    ------
    InputError
        If a word cannot be read, or there is no such place.
    """
    if along not in tuple(Along):
        raise InputError("--along", f"found {along[:20]!r}", "up or right")
    try:
        at_in = None if at is None else parse_length(at)
    except UnitError as error:
        raise InputError("--at", error.found, error.want) from None
    return story_pole(job, face=face, along=Along(along), at_in=at_in, state=state)


def write_pole(
    job: Job, pole: Pole, out: Path, *, paper: Paper, is_long: bool, as_json: bool
) -> None:
    """Write a story pole and say what it is."""
    stamp = stamp_of(job.job.date)
    pdf = long_pole(pole, stamp=stamp) if is_long else tiled_pole(pole, paper=paper, stamp=stamp)
    write_beside(out, pdf)
    if as_json:
        rows = [{"at_in": m.at_in, "text": m.text, "number": m.number} for m in pole.marks]
        table = {"file": str(out), "face": pole.face, "held": pole.held}
        print_json({**table, "length_in": pole.length_in, "marks": rows})
        return
    what = f"{pole.face}, {pole.held}, {len(pole.marks)} marks on {tape(pole.length_in)}"
    say(f"Wrote {out}: {what}. Print it at 100 % and measure the bar: it must be 6 in.")


def write_labels(job: Job, out: Path, *, link: str | None, paper: Paper, as_json: bool) -> None:
    """Write the labels of the pieces that go back, and say how many.

    Raises
    ------
    InputError
        If the link is no address of a job's page.
    """
    if link is not None and not _JOB_PAGE.fullmatch(link):
        raise InputError(
            "--link",
            f"found {link[:60]!r}",
            "the address of the job's page, such as https://192.168.1.20:8740/job/12",
            "Copy it from the browser.",
        )
    rows = labels(order_job(job), link=link or "")
    write_beside(out, label_sheets(rows, paper=paper, stamp=stamp_of(job.job.date)))
    if as_json:
        told = [{"number": r.number, "title": r.title, "text": r.carried} for r in rows]
        print_json({"file": str(out), "labels": told})
        return
    say(f"Wrote {out}: {len(rows)} label{'s' if len(rows) != 1 else ''}.")
