"""A job's plan, worked out once for all the papers that go by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from weatherlap.job.model import Job
from weatherlap.run.alike import Question
from weatherlap.run.planning import Planned, plan_job
from weatherlap.run.rates import rates_of

PACKET_EFFORT = 0.7
"""Work of the solver in a packet, less than for the plan alone. [-]"""
PACKET_STARTS = 10
MOST_KEPT = 4


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question, and who is told how far its answer is."""

    question: Question
    tell: Callable[[str], None] | None = field(compare=False)


def planned_for(
    job: Job, own: Mapping[str, str], *, tell: Callable[[str], None] | None = None
) -> Planned:
    """The plan of a job; plan, scope, price and close-out of one packet share it.

    Raises
    ------
    InputError, NoSolution
        If the job cannot be planned.
    """
    bare = job.model_copy(update={"state": (), "photo": ()})
    rates = {name: text for name, text in own.items() if name == "rates"}
    return _worked_out(_Asked(Question.of(bare, rates), tell))


@lru_cache(maxsize=MOST_KEPT)
def _worked_out(asked: _Asked) -> Planned:
    job, own = asked.question.job, asked.question.own
    return plan_job(job, rates_of(own), effort=PACKET_EFFORT, starts=PACKET_STARTS, tell=asked.tell)
