"""The worked-out job: one state of the corner with everything that follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import Corner, build_corner
from weatherlap.building.laps import check_order
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.run.states import State
from weatherlap.water.rain import SiteRain, site_rain
from weatherlap.water.rules import check_rules
from weatherlap.water.rulings import RuleResult
from weatherlap.water.trace import Trace, trace


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
    return as_repaired(job)


def corner_of(job: Job) -> Corner:
    """The corner that a job describes, with its laps in an order that can be laid.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    corner = build_corner(job)
    check_order(corner)
    return corner


def work_out(job: Job) -> Worked:
    """Build the corner of a job, and follow the rain.

    Raises
    ------
    JobError
        If laps go round in a circle on a face.
    """
    corner = build_corner(job)
    rain = site_rain(job.site)
    result = trace(corner, rain)
    return Worked(job, corner, rain, result)
