"""A job's priced scope, worked out once for all the papers that are made of it."""

from __future__ import annotations

from collections.abc import Mapping

from weatherlap.job.model import Job
from weatherlap.papers.planned import planned_for
from weatherlap.run.alike import Question
from weatherlap.run.once import once
from weatherlap.run.planning import Planned
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import Scope, scope_of

MOST_KEPT = 2


def scope_for(job: Job, own: Mapping[str, str]) -> Scope:
    """The priced scope of a job; scope, price and close-out of one packet share it.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be priced.
    """
    return _worked_out(Question.of(job, own))


@once(MOST_KEPT)
def _worked_out(question: Question) -> Scope:
    job, own = question.job, question.own
    return scope_of(price_job(job, own=own, planned=plan_of(job, own)), own=own)


def plan_of(job: Job, own: Mapping[str, str]) -> Planned | None:
    """The plan that price and days go by, where the job says when it is worked.

    Raises
    ------
    InputError, NoSolution
        If the job cannot be planned.
    """
    if job.work is None or not job.change:
        return None
    return planned_for(job, own)
