"""A job's plan, worked out once for all the papers that go by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import lru_cache

from weatherlap.job.model import Job
from weatherlap.run.planning import Planned, plan_job
from weatherlap.run.rates import rates_of

PACKET_EFFORT = 0.7
"""Work of the solver in a packet, less than for the plan alone. [-]"""
PACKET_STARTS = 10
MOST_KEPT = 4


class _Asked:
    """A job with the firm's hours; two that hold the same are the same question."""

    def __init__(
        self, job: Job, own: Mapping[str, str], tell: Callable[[str], None] | None
    ) -> None:
        self.job, self.own, self.tell = job, dict(own), tell
        bare = job.model_copy(update={"state": (), "photo": ()})
        self._key = (bare.model_dump_json(), own.get("rates"))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Asked) and other._key == self._key

    def __hash__(self) -> int:
        return hash(self._key)


def planned_for(
    job: Job, own: Mapping[str, str], *, tell: Callable[[str], None] | None = None
) -> Planned:
    """The plan of a job; plan, scope, price and close-out of one packet share it.

    Raises
    ------
    InputError, NoSolution
        If the job cannot be planned.
    """
    return _worked_out(_Asked(job, own, tell))


@lru_cache(maxsize=MOST_KEPT)
def _worked_out(asked: _Asked) -> Planned:
    return plan_job(
        asked.job, rates_of(asked.own), effort=PACKET_EFFORT, starts=PACKET_STARTS, tell=asked.tell
    )
