"""A plan, printed and written."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside
from weatherlap.cli.leaflines import print_leaf
from weatherlap.cli.progress import OnTheWay
from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.plansheets import bound_plan, ticks_leaf
from weatherlap.run.dryweather import weather_text
from weatherlap.run.goingon import go_on
from weatherlap.run.planning import Planned, plan_job
from weatherlap.run.plantables import plan_table, so_far_table
from weatherlap.run.rates import rates_of
from weatherlap.run.sofar import SoFar, so_far
from weatherlap.run.tasks import tasks_of


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked of the plan."""

    start: datetime.date | None
    who: str | None
    ticks: bool
    effort: float


def print_plan(
    job: Job,
    asked: Asked,
    *,
    out: Path | None,
    own: Mapping[str, str],
    paper: Paper,
    as_json: bool,
) -> None:
    """Print the plan, one person's days, or what was done so far; write the papers if asked.

    Raises
    ------
    InputError
        If the job has no such person, or nothing was done so far and that is asked for.
    """
    today = datetime.date.today()
    if asked.ticks:
        _print_ticks(job, own, today, as_json=as_json)
        return
    if asked.who is not None and job.person and asked.who not in {p.id for p in job.person}:
        raise InputError(
            f"--who {asked.who}", "the crew has nobody of that id",
            f"one of {', '.join(p.id for p in job.person)}",
        )  # fmt: skip
    planned, done = _planned(job, asked, own, today)
    bound = bound_plan(planned, done, own_rates="rates" in own)
    if out is not None:
        files = {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in bound.leaves}
        for name, data in (files | dict(bound.files)).items():
            write_beside(out / name, data)
    if as_json:
        print_json(plan_table(planned, done))
        return
    wanted = "plan" if asked.who is None else f"day-plan-{asked.who}"
    for leaf in bound.leaves:
        if leaf.name == wanted:
            print_leaf(leaf if out is None else replace(leaf, parts=(), cautions=()))
    if out is not None:
        print()
        say(f"Wrote {len(bound.leaves)} papers, their calendars and the bar chart.")


def _planned(
    job: Job, asked: Asked, own: Mapping[str, str], today: datetime.date
) -> tuple[Planned, SoFar | None]:
    """The plan; where some of it is done, from today or the day asked for on."""
    on_the_way = OnTheWay()
    first = None if job.done else asked.start
    try:
        planned = plan_job(
            job, rates_of(own), today=today, start=first, effort=asked.effort,
            weather=weather_text(own), tell=on_the_way,
        )  # fmt: skip
        if not job.done:
            return planned, None
        done = so_far(planned.listed, today=today)
        gone = go_on(
            planned, done, today=today, start=asked.start, effort=asked.effort, tell=on_the_way
        )
        return gone, done
    finally:
        on_the_way.done()


def _print_ticks(job: Job, own: Mapping[str, str], today: datetime.date, *, as_json: bool) -> None:
    if not job.done:
        raise InputError(
            "job", "nothing was ticked so far", "a [[done]] for each task that was worked at",
            "For instance task, day, person and hours.",
        )  # fmt: skip
    listed = tasks_of(job, rates_of(own))
    done = so_far(listed, today=today)
    if as_json:
        print_json(so_far_table(done))
    else:
        print_leaf(ticks_leaf(job, done, listed.table))
