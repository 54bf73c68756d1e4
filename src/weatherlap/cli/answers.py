"""Answers on the terminal, plain first, or as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator
from pathlib import Path

from weatherlap.cli.files import print_json
from weatherlap.errors import InputError, JobError, Problem
from weatherlap.job.model import Job
from weatherlap.run.places import capital, place_words
from weatherlap.run.rulings import rule_rows
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked, as_drawn, corner_of, in_state, work_out
from weatherlap.sources import source
from weatherlap.water.findings import Finding

WIDTH = 88


def say(text: str, *, indent: str = "", hang: str | None = None) -> None:
    """Print a paragraph, wrapped; ``hang`` begins all lines but the first."""
    after = indent if hang is None else hang
    rows = textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=after, break_on_hyphens=False
    )
    print("\n".join(rows))


def say_row(text: str) -> None:
    """Print one row of a list."""
    say(f"- {text}", indent="  ", hang="    ")


def print_check(job: Job, place: Path, *, as_json: bool) -> None:
    """Say that a job file is in order, both as found and as repaired, and what it holds."""
    problems: list[Problem] = []
    for look in _looks(job):
        try:
            look()
        except InputError as error:
            problems += error.problems
    if problems:
        raise JobError(problems)
    corner = as_drawn(job)
    counts = {
        "faces": len(corner.faces),
        "pieces": len(corner.pieces),
        "folds": len(corner.contacts) // 2,
        "changes": len(job.change),
    }
    if as_json:
        print_json({"ok": True, **counts, "problems": []})
        return
    held = [f"{n} {word if n != 1 else word[:-1]}" for word, n in counts.items() if n]
    say(f"{place} is in order: {', '.join(held)}.")


def _looks(job: Job) -> Iterator[Callable[[], object]]:
    """What a job file is asked after it was read: each part that it has."""
    yield lambda: corner_of(job)
    if job.change:
        yield lambda: corner_of(in_state(job, State.REPAIRED))
    if job.run:
        from weatherlap.run.layouts import layouts  # slow to load, and few jobs need it

        yield lambda: layouts(job)


def print_trace(job: Job, *, state: State, as_json: bool) -> None:
    """Print where the rain gets in, in one state of a job."""
    worked = work_out(in_state(job, state))
    if as_json:
        print_json({"state": state.value, **trace_table(worked)})
        return
    say(f"{job.job.title}, {state.words}")
    if job.job.symptom:
        say(f"What was seen: {job.job.symptom}")
    print()
    say(verdict(worked.trace))
    for finding in worked.trace.findings:
        print()
        _print_finding(worked, finding)
    _print_rules(worked)
    _print_assumptions(worked)


def _print_finding(worked: Worked, finding: Finding) -> None:
    where = place_words(worked.corner, face=finding.face, at=finding.at)
    say(f"({finding.letter}) {finding.cause.value}: {where}", hang="    ")
    say(finding.text, indent="    ")
    say(f"Source: {source(finding.source).title}", indent="    ")


def _print_rules(worked: Worked) -> None:
    if not worked.rules:
        return
    rows = rule_rows(worked)
    print()
    broken = sum(len(r.broken) for r in rows)
    kept = sum(r.kept for r in rows)
    counted = f"kept at {kept} place{'s' if kept != 1 else ''}, not kept at {broken}"
    say(f"Lap rules: {counted}. The local code governs.")
    for row in rows:
        if row.worst is not None:
            more = f" So at {len(row.broken)} places." if len(row.broken) > 1 else ""
            asks = "" if row.asked_by in row.worst.text else f" ({row.asked_by})"
            say_row(f"{capital(row.worst.text)}{asks}{more}")


def _print_assumptions(worked: Worked) -> None:
    if worked.rain.assumptions:
        print()
        say("Taken because the job does not say:")
        for assumption in worked.rain.assumptions:
            say_row(assumption.text)
