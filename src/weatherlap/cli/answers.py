"""Answers on the terminal, plain first, or as JSON."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path

from weatherlap.job.model import Job
from weatherlap.run.tables import trace_table
from weatherlap.run.worked import Worked, work_out
from weatherlap.sources import source
from weatherlap.units import gallons, tape
from weatherlap.water.findings import Finding
from weatherlap.water.trace import Trace

WIDTH = 88


def print_json(table: object) -> None:
    """Print a table as JSON."""
    print(json.dumps(table, ensure_ascii=False, indent=1))


def say(text: str, *, indent: str = "") -> None:
    """Print a paragraph, wrapped."""
    print(textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent))


def print_check(job: Job, path: Path, *, as_json: bool) -> None:
    """Say that a job file is in order, and what it holds."""
    worked = work_out(job)
    corner = worked.corner
    if as_json:
        table = {"ok": True, "faces": len(corner.faces), "pieces": len(corner.pieces)}
        print_json(table | {"folds": len(corner.contacts) // 2, "problems": []})
        return
    say(
        f"{path} is in order: {len(corner.faces)} faces, {len(corner.pieces)} pieces, "
        f"{len(corner.contacts) // 2} folds."
    )


def print_trace(job: Job, *, as_json: bool) -> None:
    """Print the findings of a trace."""
    worked = work_out(job)
    if as_json:
        print_json(trace_table(worked))
        return
    say(job.job.title)
    if job.job.symptom:
        say(f"What was seen: {job.job.symptom}")
    print()
    say(verdict(worked.trace))
    for finding in worked.trace.findings:
        print()
        _print_finding(worked, finding)
    _print_rules(worked)
    _print_assumptions(worked)


def verdict(trace: Trace) -> str:
    """In one sentence: does the corner drain, and if not, how much goes wrong."""
    if trace.clean:
        return "All the rain that lands here runs off clear or into a gutter, on both layers."
    wrong = sum(r.per_year_l for r in trace.ends if r.end.is_trouble)
    count = len(trace.findings)
    noun = "place" if count == 1 else "places"
    return (
        f"Water gets in, or cannot get out, at {count} {noun}: "
        f"about {gallons(wrong):,.0f} gal ({wrong:,.0f} L) in a usual year."
    )


def _print_finding(worked: Worked, finding: Finding) -> None:
    face = worked.corner.faces[finding.face]
    u, v = finding.at
    print(f"({finding.letter}) {finding.cause.value} - {face.title}, {tape(u)} right, {tape(v)} up")
    say(finding.text, indent="    ")
    say(f"Source: {source(finding.source).short()}", indent="    ")


def _print_rules(worked: Worked) -> None:
    broken = [r for r in worked.rules if not r.ok]
    if not worked.rules:
        return
    print()
    kept = len(worked.rules) - len(broken)
    say(f"Lap rules: {kept} kept, {len(broken)} not kept. The local code governs.")
    for rule in broken:
        say(f"- {rule.text} ({rule.source})", indent="  ")


def _print_assumptions(worked: Worked) -> None:
    if worked.rain.assumptions:
        print()
        say("Taken because the job does not say:")
        for assumption in worked.rain.assumptions:
            say(f"- {assumption.text}", indent="  ")
