"""The worked-out job: one state of the corner with everything that follows from it."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache

from weatherlap.building.changes import as_repaired, changed
from weatherlap.building.corner import Corner, build_corner
from weatherlap.building.laps import check_order
from weatherlap.errors import InputError
from weatherlap.job.model import FaceRecord, Job, PieceRecord, Site
from weatherlap.job.placing import placing
from weatherlap.run.alike import Question
from weatherlap.run.keeping import Keeping
from weatherlap.run.states import State
from weatherlap.water.rain import SiteRain, site_rain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult
from weatherlap.water.trace import Trace, trace

MOST_PIECES = 4000
"""Traces are kept of so many pieces: many papers of a job ask for the same states of its corner."""
NEAR_ONES = 6
"""Traces that are looked at for one that differs little."""


@dataclass(frozen=True)
class Worked:
    """A job with its corner, the trace of the rain and the lap rules."""

    job: Job
    corner: Corner
    rain: SiteRain
    trace: Trace

    @cached_property
    def rules(self) -> tuple[RuleResult, ...]:
        """The lap rules, checked when they are first asked for."""
        return check_rules(self.corner, rain=self.rain, gutter_lph=self.trace.gutter_lph)


def in_state(job: Job, state: State) -> Job:
    """The job as found, or with its changes made.

    Raises
    ------
    InputError
        If the repaired state is asked for and the job holds no change.
    JobError
        If a change cannot be made.
    """
    if state is State.FOUND:
        return job
    if not job.change:
        raise InputError(
            "job",
            "it holds no change, so it has no repaired state",
            "at least one [[change]]",
            "Ask for the state as found, or write down what is to be done.",
        )
    return _repaired(Question.of(job))


@dataclass(frozen=True, slots=True)
class _Rained:
    """What a trace hangs on: jobs that are alike in it have the same one."""

    site: Site
    faces: tuple[FaceRecord, ...]
    pieces: tuple[PieceRecord, ...]
    job: Job = field(compare=False)

    @classmethod
    def on(cls, job: Job) -> _Rained:
        return cls(job.site, job.face, job.piece, job)


_TRACES: Keeping[_Rained, Trace] = Keeping(MOST_PIECES)
_CORNERS: Keeping[_Rained, Corner] = Keeping(MOST_PIECES)


def _traced(rained: _Rained) -> Trace:
    def make() -> Trace:
        corner, rain = _corner(rained), site_rain(rained.site)
        return trace(corner, rain, before=_nearest(rained))

    return _TRACES.get(rained, make, weight=len(rained.pieces))


def _nearest(rained: _Rained) -> Trace | None:
    """Of the traces asked for last the one with the most of these very pieces."""
    own = set(map(id, rained.pieces))
    rows = [
        (sum(id(p) in own for p in other.pieces), found)
        for other, found in _TRACES.last(NEAR_ONES)
        if other.faces == rained.faces
    ]
    return max(rows, key=lambda row: row[0])[1] if rows else None


def _corner(rained: _Rained) -> Corner:
    return _CORNERS.get(rained, lambda: build_corner(rained.job), weight=len(rained.pieces))


@lru_cache(maxsize=4)
def _repaired(question: Question) -> Job:
    return as_repaired(question.job)


def as_drawn(job: Job) -> Corner:
    """The corner that a job describes, whether or not its laps can be laid in some order."""
    return _corner(_Rained.on(job))


def corner_of(job: Job) -> Corner:
    """The corner that a job describes, with its laps in an order that can be laid.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    corner = as_drawn(job)
    with placing(job):
        check_order(corner)
    return corner


def traced(job: Job) -> Trace:
    """The trace of the rain on a job as it stands.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    with placing(job):
        return _traced(_Rained.on(job))


def traced_without(job: Job, number: int) -> Trace:
    """The trace of a job with all changes made but one, without looking whether each piece fits.

    Parameters
    ----------
    number : int
        Which change is left out, from 0.

    Raises
    ------
    JobError
        If the other changes cannot be made without it.
    """
    others = [c for k, c in enumerate(job.change) if k != number]
    return _traced(_Rained.on(changed(job, others)))


def work_out(job: Job) -> Worked:
    """Build the corner of a job, and follow the rain.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    result = traced(job)
    return Worked(job, result.corner, result.rain, result)
