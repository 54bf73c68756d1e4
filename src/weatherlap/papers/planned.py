"""A job's plan, worked out once for all the papers that go by it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from weatherlap.job.model import Job
from weatherlap.run.alike import Question
from weatherlap.run.dryweather import WEATHER, weather_text
from weatherlap.run.goingon import go_on
from weatherlap.run.once import once
from weatherlap.run.planning import Planned, plan_job
from weatherlap.run.rates import rates_of
from weatherlap.run.sofar import SoFar, so_far

PACKET_EFFORT = 1.5
"""Work of the solver in a packet, less than for the plan alone. [-]"""
PACKET_STARTS = 10
MOST_KEPT = 4
RATES = "rates"


@dataclass(frozen=True, slots=True)
class _Asked:
    """A question, and who is told how far its answer is."""

    question: Question
    tell: Callable[[str], None] | None = field(compare=False)


def planned_for(
    job: Job, own: Mapping[str, str], *, tell: Callable[[str], None] | None = None
) -> Planned:
    """The plan of a job as it was made; plan, scope, price and close-out of one packet share it.

    What was ticked since changes nothing of what was promised.

    Raises
    ------
    InputError, NoSolution
        If the job cannot be planned.
    """
    bare = job.model_copy(update={"state": (), "photo": ()})
    if job.work is not None and job.work.start:
        bare = bare.model_copy(update={"done": ()})
    tables = {name: text for name, text in own.items() if name in (RATES, WEATHER)}
    return _worked_out(_Asked(Question.of(bare, tables), tell))


def gone_on_for(
    job: Job, own: Mapping[str, str], *, tell: Callable[[str], None] | None = None
) -> tuple[Planned, SoFar | None]:
    """The plan of a job from the last day that was ticked on, with what was done.

    Raises
    ------
    InputError, NoSolution
        If the job cannot be planned, or what was ticked is no task of it.
    """
    planned = replace(planned_for(job, own, tell=tell), job=job)
    if not job.done:
        return planned, None
    done = so_far(replace(planned.listed, job=job))
    gone = go_on(planned, done, effort=PACKET_EFFORT, starts=PACKET_STARTS, tell=tell)
    return gone, done


@once(MOST_KEPT)
def _worked_out(asked: _Asked) -> Planned:
    job, own = asked.question.job, asked.question.own
    return plan_job(
        job, rates_of(own), effort=PACKET_EFFORT, starts=PACKET_STARTS, weather=weather_text(own),
        tell=asked.tell,
    )  # fmt: skip
