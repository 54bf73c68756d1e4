"""Change orders of a job: the states that it keeps, and the one that it stands at now."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import TYPE_CHECKING

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import Said, StateLine, StateRecord
from weatherlap.money.changeorders import (
    Answer,
    ChangeOrder,
    Ledger,
    Promise,
    ScopeLine,
    difference,
    kept,
    ledger,
    same_promise,
    standing_of,
)

if TYPE_CHECKING:  # a page that only shows kept states does not load what a scope needs
    from weatherlap.run.scope import Scope


@dataclass(frozen=True)
class Orders:
    """The contract and its change orders; ``open_now`` is what the job has that nobody signed."""

    ledger: Ledger
    open_now: ChangeOrder | None


def promises_of(job: Job) -> tuple[Promise, ...]:
    """The states that a job keeps."""
    return tuple(_promise(row) for row in job.state)


def _promise(row: StateRecord) -> Promise:
    return Promise(
        number=row.number,
        day=row.day,
        answer=Answer(row.answer.value),
        by=row.by,
        price_cents=row.price_cents,
        days=row.days,
        scope=tuple(ScopeLine(line.key, line.text) for line in row.scope),
        why=row.why,
        consequence=row.consequence,
        photos=row.photos,
        seal=row.seal,
    )


def state_now(
    scope: Scope,
    *,
    day: str,
    answer: Answer = Answer.OFFERED,
    by: str = "",
    why: str = "",
    consequence: str = "",
    photos: tuple[str, ...] = (),
) -> Promise:
    """The job as it stands, as a state that could be kept."""
    return Promise(
        number=len(scope.job.state),
        day=day,
        answer=answer,
        by=by,
        price_cents=scope.pricing.built.price_cents,
        days=scope.pricing.days,
        scope=scope.lines,
        why=why,
        consequence=consequence,
        photos=photos,
    )


def orders_of(scope: Scope) -> Orders:
    """The contract, its change orders, and what the job has now that nobody answered.

    Raises
    ------
    InputError
        If nothing is signed, or a state was changed after it was kept.
    """
    promises = promises_of(scope.job)
    book = ledger(promises)
    standing = standing_of(promises)
    now = state_now(scope, day=promises[-1].day)
    said = any(same_promise(known, now) for known in (standing, promises[-1]))
    open_now = None if said else difference(standing, now)
    return Orders(book, open_now)


def signed_record(job: Job, promise: Promise, *, today: datetime.date) -> StateRecord:
    """The record of a new state, to be added to the job.

    Raises
    ------
    InputError
        If an earlier state was changed, nothing differs, or the state cannot be kept.
    """
    if not promise.by:
        raise InputError("who signs", "nobody is named", "a name: --by")
    state = kept(promise, promises_of(job), today=today)
    return StateRecord(
        number=state.number,
        day=state.day,
        answer=Said(state.answer.value),
        by=state.by,
        price=f"{state.price_cents // 100}.{state.price_cents % 100:02d}",
        days=state.days,
        why=state.why,
        consequence=state.consequence,
        photos=state.photos,
        scope=tuple(StateLine(key=line.key, text=line.text) for line in state.scope),
        seal=state.seal,
    )
