"""Change orders: the difference of two states in scope, price and days; signed states are kept."""

from __future__ import annotations

import datetime
import hashlib
import json
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError


class Answer(StrEnum):
    """What the client said to a state."""

    SIGNED = "signed"
    DECLINED = "declined"
    OFFERED = "offered"


@dataclass(frozen=True, slots=True)
class ScopeLine:
    """One line of a scope: ``key`` names it in every state."""

    key: str
    text: str


@dataclass(frozen=True, slots=True)
class Promise:
    """A state that was put before the client: what is done, for how much, in how many days.

    ``seal`` is the hash of all of it and of the seal before; ``photos`` are names of files.
    """

    number: int
    day: str
    answer: Answer
    by: str
    price_cents: int
    days: int
    scope: tuple[ScopeLine, ...]
    why: str = ""
    consequence: str = ""
    photos: tuple[str, ...] = ()
    seal: str = ""


@dataclass(frozen=True, slots=True)
class ChangeOrder:
    """The difference of two states. [cents, days]"""

    number: int
    day: str
    answer: Answer
    by: str
    why: str
    consequence: str
    photos: tuple[str, ...]
    added: tuple[ScopeLine, ...]
    dropped: tuple[ScopeLine, ...]
    price_change_cents: int
    days_change: int


@dataclass(frozen=True, slots=True)
class Ledger:
    """The contract with its change orders; totals count what is signed. [cents, days]"""

    contract: Promise
    orders: tuple[ChangeOrder, ...]
    price_cents: int
    days: int

    @property
    def signed(self) -> tuple[ChangeOrder, ...]:
        """Change orders that are signed."""
        return tuple(o for o in self.orders if o.answer is Answer.SIGNED)

    @property
    def declined(self) -> tuple[ChangeOrder, ...]:
        """Change orders that were declined: they stay on record."""
        return tuple(o for o in self.orders if o.answer is Answer.DECLINED)


def seal_of(promise: Promise, before: str) -> str:
    """The hash of a state and of the seal before it."""
    rows: list[object] = [
        before,
        promise.number,
        promise.day,
        promise.answer.value,
        promise.by,
        promise.price_cents,
        promise.days,
        [[line.key, line.text] for line in promise.scope],
        promise.why,
        promise.consequence,
        list(promise.photos),
    ]
    text = json.dumps(rows, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode("ascii")).hexdigest()


def check_seals(promises: Sequence[Promise]) -> None:
    """Refuse states that were changed after they were kept.

    Raises
    ------
    InputError
        If a seal does not fit what it seals, numbers do not count up, or days go back.
    """
    before, last_day = "", ""
    for count, promise in enumerate(promises):
        where = f"state {promise.number}"
        if promise.number != count:
            raise InputError(
                where, f"it stands where state {count} should", "states in their order"
            )
        if promise.seal != seal_of(promise, before):
            raise InputError(
                where,
                f"it was changed after it was {promise.answer.value} on {promise.day}",
                "the state as it was kept: states are kept, not overwritten",
                "Put it back as it was and write down a new state: weatherlap sign.",
            )
        if promise.day < last_day:
            found = f"its day {promise.day} is before that of the state before ({last_day})"
            raise InputError(where, found, "a day on or after it")
        before, last_day = promise.seal, promise.day


def difference(old: Promise, new: Promise) -> ChangeOrder:
    """The change order that leads from one state to another."""
    had = {line.key: line.text for line in old.scope}
    has = {line.key: line.text for line in new.scope}
    return ChangeOrder(
        number=new.number,
        day=new.day,
        answer=new.answer,
        by=new.by,
        why=new.why,
        consequence=new.consequence,
        photos=new.photos,
        added=tuple(x for x in new.scope if had.get(x.key) != x.text),
        dropped=tuple(x for x in old.scope if has.get(x.key) != x.text),
        price_change_cents=new.price_cents - old.price_cents,
        days_change=new.days - old.days,
    )


def ledger(promises: Sequence[Promise]) -> Ledger:
    """The contract and each change order against what was signed before it.

    Raises
    ------
    InputError
        If there is no state, the first one is not signed, or one was changed later.
    """
    check_seals(promises)
    if not promises:
        raise InputError("states", "there is none", "a signed contract first: weatherlap sign")
    contract = promises[0]
    if contract.answer is not Answer.SIGNED:
        found = f"the first state is {contract.answer.value}"
        raise InputError("state 0", found, "a contract that is signed")
    standing, orders = contract, []
    for promise in promises[1:]:
        orders.append(difference(standing, promise))
        if promise.answer is Answer.SIGNED:
            standing = promise
    return Ledger(contract, tuple(orders), standing.price_cents, standing.days)


def standing_of(promises: Sequence[Promise]) -> Promise:
    """The state that holds: the last one that is signed."""
    ledger(promises)
    return [p for p in promises if p.answer is Answer.SIGNED][-1]


def kept(
    promise: Promise, promises: Sequence[Promise], *, today: datetime.date | None = None
) -> Promise:
    """A new state, numbered and sealed after those that are kept.

    Raises
    ------
    InputError
        If an earlier state was changed, the contract is not signed, nothing differs from what
        holds, a declined one says nothing of what follows, or its day lies ahead.
    """
    check_seals(promises)
    if not promises and promise.answer is not Answer.SIGNED:
        found = f"it is {promise.answer.value}"
        raise InputError("the first state", found, "a contract that is signed")
    if today is not None and promise.day > today.isoformat():
        raise InputError("day of signing", f"found {promise.day}", f"{today} or earlier")
    if promise.answer is Answer.DECLINED and not promise.consequence:
        raise InputError(
            "a declined change order", "it says nothing of what follows", "its consequence in words"
        )
    if promises and same_promise(standing_of(promises), promise):
        raise InputError(
            "state", "nothing differs from what is signed", "a changed scope, price or time"
        )
    before = promises[-1].seal if promises else ""
    numbered = _with(promise, number=len(promises), seal="")
    return _with(numbered, number=numbered.number, seal=seal_of(numbered, before))


def same_promise(a: Promise, b: Promise) -> bool:
    """Whether two states promise the same."""
    return (a.scope, a.price_cents, a.days) == (b.scope, b.price_cents, b.days)


def _with(promise: Promise, *, number: int, seal: str) -> Promise:
    return Promise(
        number=number,
        day=promise.day,
        answer=promise.answer,
        by=promise.by,
        price_cents=promise.price_cents,
        days=promise.days,
        scope=promise.scope,
        why=promise.why,
        consequence=promise.consequence,
        photos=promise.photos,
        seal=seal,
    )
