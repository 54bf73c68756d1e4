"""A job as the page lists it: faces, pieces, findings, changes, and what can be undone."""

from __future__ import annotations

from typing import Any

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.writing import plain_row
from weatherlap.run.places import place_words
from weatherlap.run.states import State
from weatherlap.run.told import short_title, tell
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked
from weatherlap.store.shelf import Revision
from weatherlap.water.findings import Finding
from weatherlap.water.wording import amount
from weatherlap.web.board import piece_tables
from weatherlap.web.desk import Desk
from weatherlap.web.noting import changes_said

Table = dict[str, Any]
MOST_SHOWN = 80


def summary(desk: Desk, revision: Revision, state: State) -> Table:
    """Everything that the page says beside the drawing."""
    job = desk.job(revision.text)
    return {
        "job": revision.job,
        "revision": revision.number,
        "can_undo": bool(revision.below),
        "can_redo": bool(revision.ahead),
        "state": state.value,
        "title": job.job.title,
        "has_repaired": bool(job.change),
        "changes": _changes(job),
        "picks": [{"number": n, **plain_row(p), "at": list(p.at)} for n, p in enumerate(job.pick)],
        **desk.told(revision.text, state, of_worked),
    }


def of_worked(worked: Worked) -> Table:
    """What follows from the water and the pieces."""
    return {
        "verdict": verdict(worked.trace),
        "clean": worked.trace.clean,
        "faces": [{"id": f.id, "title": f.title} for f in worked.corner.faces],
        "pieces": piece_tables(worked),
        "findings": [_finding(worked, f) for f in worked.trace.findings[:MOST_SHOWN]],
        "findings_left": max(0, len(worked.trace.findings) - MOST_SHOWN),
    }


def _finding(worked: Worked, finding: Finding) -> Table:
    corner = worked.corner
    return {
        "letter": finding.letter,
        "title": short_title(corner, finding),
        "text": finding.text,
        "place": place_words(corner, face=finding.face, at=finding.at),
        "per_year": amount(finding.per_year_l),
        "face": corner.faces[finding.face].id,
        "at": list(finding.at),
        "pieces": [corner.pieces[p].id for p in (finding.upper, finding.lower) if p is not None],
        "first_layer": finding.first_layer,
    }


def _changes(job: Job) -> list[Table]:
    said = changes_said(job, job.change)
    return [
        {"number": n, "text": said[n], "piece": c.subject, "why": c.why}
        for n, c in enumerate(job.change)
    ]


def told(worked: Worked, letter: str) -> Table:
    """One finding with all that follows from it.

    Raises
    ------
    InputError
        If there is none of that letter.
    """
    for finding in worked.trace.findings:
        if finding.letter == letter:
            said = tell(worked, finding)
            return {
                **_finding(worked, finding),
                "flow": said.flow,
                "reaches": said.reaches,
                "look": said.look,
            }
    raise InputError("finding", f"there is no finding {letter!r}", "a letter on the drawing")
