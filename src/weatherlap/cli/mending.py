"""The mend on the terminal, or as JSON."""

from __future__ import annotations

import time
from collections.abc import Iterable
from pathlib import Path

from weatherlap.cli.answers import say, say_row
from weatherlap.cli.files import print_json, read_job_file, write_beside
from weatherlap.cli.progress import OnTheWay
from weatherlap.cli.tables import table_text
from weatherlap.errors import InputError, JobError
from weatherlap.job.changes import Change
from weatherlap.job.editing import AddItem, Remove, edit
from weatherlap.job.reading import read_job, tables_of
from weatherlap.job.writing import plain_row
from weatherlap.run.mending import mend_job
from weatherlap.run.ordertables import mend_table
from weatherlap.run.places import capital
from weatherlap.water.mend import MendAnswer
from weatherlap.water.mendcosts import invented_costs, read_costs


def print_mend(
    job_file: Path,
    *,
    costs: Path | None,
    seconds: float,
    out: Path | None,
    over: bool,
    as_json: bool,
) -> None:
    """Search a mend, print it and, if wanted, write the job with it."""
    job = read_job_file(job_file)
    table = invented_costs() if costs is None else read_costs(table_text(costs, "costs"))
    if out is not None and out.exists() and not over:
        raise InputError(f"{out}", "there is a file", "a new file", "Add --over to replace it.")
    on_the_way = OnTheWay()
    begun = time.monotonic()

    def go_on(tried: int, bound: float) -> bool:
        on_the_way(f"Searching: {tried} traces, nothing below {bound:,.0f} USD")
        return time.monotonic() - begun < seconds

    try:
        answer = mend_job(job, table, go_on=go_on)
    finally:
        on_the_way.done()
    if out is not None and answer.best is not None:
        text = with_changes(job_file.read_text("utf-8"), answer.best.changes)
        write_beside(out, text.encode("utf-8"))
    if as_json:
        print_json(mend_table(job.job.title, answer))
        return
    _print(job.job.title, answer, own=costs is not None)
    if out is not None and answer.best is not None:
        print()
        held = f", in place of its {len(job.change)} changes" if job.change else ""
        say(f"Wrote {out}: the job with this mend{held}.")


def with_changes(text: str, changes: Iterable[Change]) -> str:
    """A job file's text with a mend in place of the changes that it holds.

    Raises
    ------
    InputError
        If other tables of the job name what its own changes add, so that they cannot go.
    """
    held = len(tables_of(text).get("change", ()))
    gone = [Remove(("change", number)) for number in reversed(range(held))]
    new = edit(text, [*gone, *(AddItem("change", plain_row(change)) for change in changes)])
    try:
        read_job(new)
    except JobError as error:
        raise InputError(
            "mend",
            f"the mend cannot stand in place of the {held} changes of the job, for "
            f"{error.problems[0].where}: {error.problems[0].found}",
            "a job whose other tables do not hang on its changes",
            "Nothing was written. Take those changes and what names them out of a copy first.",
        ) from None
    return new


def _print(title: str, answer: MendAnswer, *, own: bool) -> None:
    say(f"{title}: the cheapest mend")
    print()
    if answer.best is None:
        say(_none_words(answer))
    elif not answer.best.remedies and answer.left_open:
        say("None of the changes weighed is needed or helps; what stays open stands below.")
    elif not answer.best.remedies:
        say("Nothing has to be done: the rain runs off and the lap rules that can be mended hold.")
    else:
        whose = "your table" if own else "an invented table: put in your own"
        say(f"{answer.best.cost_usd:,.0f} USD by {whose}. {_proof(answer)}")
        for need in answer.needs:
            say_row(f"{capital(need.text)}.")
            say(f"Without it: {need.without}", indent="    ", hang="    ")
    _print_list("What stays wrong after the changes that come nearest:", answer.stuck)
    _print_runners_up(answer)
    _print_list("No change here can cure:", answer.left_open)
    _print_list("Rules that are still not kept:", answer.rules_left)


def _none_words(answer: MendAnswer) -> str:
    return (
        "No set of single changes was found that makes the corner drain; "
        f"{answer.tried} were traced. There is none below {answer.bound_usd:,.0f} USD."
    )


def _proof(answer: MendAnswer) -> str:
    if answer.proven:
        return f"Proven the least of all sets of the changes weighed, after {answer.tried} traces."
    return f"Not proven the least; none costs less than {answer.bound_usd:,.0f} USD."


def _print_runners_up(answer: MendAnswer) -> None:
    for mended in answer.runners_up:
        print()
        texts = "; ".join(r.text for r in mended.remedies)
        say(f"Or, for {mended.cost_usd:,.0f} USD: {texts}.")


def _print_list(head: str, rows: tuple[str, ...]) -> None:
    if rows:
        print()
        say(head)
        for text in rows:
            say_row(text)
