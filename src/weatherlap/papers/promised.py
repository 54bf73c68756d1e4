"""A job's priced scope, worked out once for all the papers that are made of it."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from weatherlap.job.model import Job
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import Scope, scope_of

MOST_KEPT = 2


class _Asked:
    """A job with the firm's tables; two that hold the same are the same question."""

    def __init__(self, job: Job, own: Mapping[str, str]) -> None:
        self.job, self.own = job, dict(own)
        self._key = (job.model_dump_json(), tuple(sorted(self.own.items())))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and other._key == self._key

    def __hash__(self) -> int:
        return hash(self._key)


def scope_for(job: Job, own: Mapping[str, str]) -> Scope:
    """The priced scope of a job; scope, price and close-out of one packet share it.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be priced.
    """
    return _worked_out(_Asked(job, own))


@lru_cache(maxsize=MOST_KEPT)
def _worked_out(asked: _Asked) -> Scope:
    return scope_of(price_job(asked.job, own=asked.own), own=asked.own)
