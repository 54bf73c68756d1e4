"""After a change the trace takes over what it can; it is the trace from nothing, bit for bit."""

from __future__ import annotations

import os
from pathlib import Path
from unittest import mock

from hypothesis import given, settings
from hypothesis import strategies as st
from randomcorners import corners

from weatherlap.building.corner import build_corner
from weatherlap.errors import JobError
from weatherlap.job.model import Edge, Job, PieceRecord, Sheet
from weatherlap.job.reading import read_job
from weatherlap.water import ways as ways_module
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import Trace, trace

DEMO = Path(__file__).parents[2] / "demo" / "porch-corner.toml"
CASES = 4000 if os.environ.get("NEW_CASES") else 120
KINDS = ("drip", "top", "bottom", "sheet", "away", "behind", "shape", "add", "swap", "title")


def changed(job: Job, kind: str, at: int, other: int) -> Job:
    """The job with one thing done to one piece; ``other`` is another piece, or how far."""
    rows = list(job.piece)
    at, other = at % len(rows), other % len(rows)
    piece = rows[at]
    if kind == "drip":
        rows[at] = piece.model_copy(update={"drip": not piece.drip})
    elif kind in ("top", "bottom"):
        sealed = frozenset(piece.sealed) ^ {Edge(kind)}
        rows[at] = piece.model_copy(update={"sealed": tuple(sorted(sealed))})
    elif kind == "sheet":
        sheet = list(Sheet)[other % len(Sheet)]
        rows[at] = piece.model_copy(update={"sheet": sheet, "passes": None})
    elif kind == "away":
        rows = [_not_behind(p, piece.id) for p in rows if p is not piece]
    elif kind == "behind" and at != other:
        rows[at] = piece.model_copy(update={"behind": (rows[other].id,)})
    elif kind == "shape" and piece.on and piece.on[0].rect is not None:
        u0, v0, u1, v1 = piece.on[0].rect
        panel = piece.on[0].model_copy(update={"rect": (u0, v0, (u0 + u1) / 2, v1)})
        rows[at] = piece.model_copy(update={"on": (panel, *piece.on[1:])})
    elif kind == "add":
        new = piece.model_copy(update={"id": "new", "behind": (), "gutter": None})
        rows.insert(other, new)
    elif kind == "swap":
        rows[at], rows[other] = rows[other], rows[at]
    else:
        rows[at] = piece.model_copy(update={"title": "another name"})
    return job.model_copy(update={"piece": tuple(rows)})


def _not_behind(piece: PieceRecord, gone: str) -> PieceRecord:
    behind = tuple(b for b in piece.behind if b != gone)
    return piece.model_copy(update={"behind": behind})


def traced(job: Job, before: Trace | None = None) -> Trace | None:
    """The trace of a job, or None where its laps go round in a circle."""
    try:
        return trace(build_corner(job), site_rain(job.site), before=before)
    except JobError:
        return None


def is_the_same(one: Trace, other: Trace) -> bool:
    """Whether two traces hold the same, number for number."""
    areas = [
        [(s.face, s.layer, s.trail, s.area_in2, s.share, s.tile, s.patch.bounds) for s in t.starts]
        for t in (one, other)
    ]
    return (
        one.ways.hops == other.ways.hops
        and one.ways.ways == other.ways.ways
        and one.ways.trails == other.ways.trails
        and one.ways.outlet_trails == other.ways.outlet_trails
        and areas[0] == areas[1]
        and (one.ends, one.findings) == (other.ends, other.findings)
        and (one.in_lph, one.out_lph) == (other.in_lph, other.out_lph)
        and one.gutter_lph == other.gutter_lph
    )


STEPS = st.lists(
    st.tuples(st.sampled_from(KINDS), st.integers(0, 20), st.integers(0, 20)),
    min_size=1,
    max_size=4,
)


@given(corners(trough_sizes=(20.0, 0.5)), STEPS)
@settings(max_examples=CASES, deadline=None)
def test_any_changes_to_any_corner(job: Job, steps: list[tuple[str, int, int]]) -> None:
    """Each change is traced on what the one before gave, and from nothing; nothing may differ."""
    before = traced(job)
    for step in steps:
        if not job.piece:
            return
        after = changed(job, *step)
        with mock.patch("weatherlap.water.again.MOST_CHANGED", 1.0):
            found = traced(after, before)
        whole = traced(after)
        assert (found is None) == (whole is None)
        if found is not None and whole is not None:
            assert is_the_same(found, whole)
            job, before = after, found


@given(STEPS)
@settings(max_examples=CASES // 10, deadline=None)
def test_any_changes_to_a_whole_porch(steps: list[tuple[str, int, int]]) -> None:
    """The same on a corner of a real size, with folds that water runs along, troughs, gutters."""
    job = read_job(DEMO.read_text("utf-8"))
    before = traced(job)
    for kind, at, other in steps:
        after = changed(job, kind, 3 * at, 5 * other)
        found, whole = traced(after, before), traced(after)
        assert (found is None) == (whole is None)
        if found is not None and whole is not None:
            assert is_the_same(found, whole)
            job, before = after, found


def test_only_what_lies_near_a_change_is_worked_out_again() -> None:
    """A drip edge on one of many pieces may not cost the events of all others."""
    job = read_job(DEMO.read_text("utf-8"))
    real = ways_module._event_hops
    with mock.patch.object(ways_module, "_event_hops", wraps=real) as events:
        before = traced(job)
        whole = events.call_count
        for at in range(0, len(job.piece), 7):
            events.reset_mock()
            traced(changed(job, "drip", at, 0), before)
            assert events.call_count < 0.4 * whole
