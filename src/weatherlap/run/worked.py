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
from weatherlap.run.states import State
from weatherlap.water.rain import SiteRain, site_rain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult
from weatherlap.water.trace import Trace, trace

KEPT = 48
"""Traces that are kept: many papers of a job ask for the same states of its corner."""


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


@lru_cache(maxsize=KEPT)
def _traced(rained: _Rained) -> Trace:
    return trace(_corner(rained), site_rain(rained.site))


@lru_cache(maxsize=KEPT)
def _corner(rained: _Rained) -> Corner:
    return build_corner(rained.job)


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
