"""A job's priced scope, worked out once for all the papers that are made of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from weatherlap.job.model import Job
from weatherlap.run.alike import Question
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


@lru_cache(maxsize=MOST_KEPT)
def _worked_out(question: Question) -> Scope:
    return scope_of(price_job(question.job, own=question.own), own=question.own)
