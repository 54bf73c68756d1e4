"""What is agreed: the states that were kept, and how the job stands against them now."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, replace
from typing import Any

from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import StateRecord
from weatherlap.money.changeorders import Answer, Promise
from weatherlap.run.changeorder import signed_record
from weatherlap.store.shelf import NoSuchJob, Revision
from weatherlap.web.clerk import Order, print_of
from weatherlap.web.making import Agreed, AgreedMaking
from weatherlap.web.site import Site

Table = dict[str, Any]
AGREED = "agreed"


def can_be_agreed(job: Job) -> bool:
    """Whether a job says what is agreed, and has work to agree on."""
    return job.terms is not None and bool(job.change)


def agreed_order(site: Site, head: Revision) -> Order[Agreed]:
    """What is agreed on a job as it stands, being worked out or ready.

    Raises
    ------
    NoSuchJob
        If the job holds no terms or no change.
    """
    job, own = site.desk.job(head.text), site.own.all()
    if not can_be_agreed(job):
        raise NoSuchJob(
            "agreed", "this job has no terms, or no change to agree on", "a job that has"
        )

    return site.clerk.ask((print_of(head.text, own), AGREED), AgreedMaking(job, own))


def agreed_table(made: Agreed) -> Table:
    """What is agreed as figures. [cents, days]"""
    return {
        "states": [_state(s) for s in made.states],
        "orders": made.orders,
        "now": _state(made.now),
        "has_news": made.has_news,
        "missing": list(made.missing),
    }


def _state(promise: Promise) -> Table:
    return {
        "number": promise.number,
        "day": promise.day,
        "answer": promise.answer.value,
        "by": promise.by,
        "price_cents": promise.price_cents,
        "days": promise.days,
        "why": promise.why,
        "consequence": promise.consequence,
        "photos": list(promise.photos),
        "scope": [line.text for line in promise.scope],
        "seal": promise.seal,
    }


@dataclass(frozen=True, slots=True)
class Answered:
    """What somebody said to the job as it stands."""

    by: str
    day: str
    answer: Answer
    why: str
    consequence: str
    photos: tuple[str, ...]


def kept_record(job: Job, made: Agreed, said: Answered, *, today: datetime.date) -> StateRecord:
    """The record of the job as it stands with the answer to it, under its seal.

    Raises
    ------
    InputError
        If nobody is named, nothing differs, an earlier state was changed, or its day lies ahead.
    """
    promise = replace(
        made.now,
        day=said.day,
        answer=said.answer,
        by=said.by,
        why=said.why,
        consequence=said.consequence,
        photos=said.photos,
    )
    return signed_record(job, promise, today=today)
