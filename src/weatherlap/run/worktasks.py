"""Making a task from a row of the table of hours, and choosing tasks by words."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import replace

from weatherlap.errors import InputError
from weatherlap.order.hours import CrewHours
from weatherlap.order.tasks import After, Kind, Task

NO_SKILL = ("labour", "office")
"""Trades that anybody of the crew can do."""


def work_task(
    table: CrewHours, row: str, *, name: str, text: str, kind: Kind, quantity: float = 1.0
) -> Task:
    """A task whose hours stand in a row of the table.

    Raises
    ------
    InputError
        If the table has no such row.
    """
    rate = table.work.get(row)
    if rate is None:
        raise InputError(
            f"task {name}",
            f"the table of hours has no row work.{row}",
            f"one of {', '.join(sorted(table.work))}",
        )
    return Task(
        id=name,
        text=text,
        kind=kind,
        trade=rate.trade,
        hours=rate.hours.times(quantity),
        skills=() if rate.trade in NO_SKILL else (rate.trade,),
        crew=rate.crew,
        quantity=quantity,
        per=rate.per,
        rate=f"work.{row}",
    )


def chosen(
    rows: Sequence[Task], words: Iterable[str], *, where: str, key: tuple[str | int, ...] = ()
) -> tuple[str, ...]:
    """Ids of the tasks that words choose: an id, a kind of task or a trade.

    Raises
    ------
    InputError
        If a word chooses nothing.
    """
    names: dict[str, None] = {}
    for word in words:
        found = [t.id for t in rows if t.id == word]
        found = found or [t.id for t in rows if t.kind.value == word]
        found = found or [t.id for t in rows if t.trade == word]
        if not found:
            known = [*(t.id for t in rows), *{t.kind.value for t in rows}, *{t.trade for t in rows}]
            close = difflib.get_close_matches(word, known, n=3)
            raise InputError(
                where,
                f"no task, kind of task or trade is {word!r}",
                "one that the plan has",
                f"Near it: {', '.join(close)}." if close else "",
                key=key,
            )
        names |= dict.fromkeys(found)
    return tuple(names)


def waiting(rows: Sequence[Task], names: Iterable[str], waits: Sequence[After]) -> list[Task]:
    """The tasks with more to wait for in those that are named."""
    own = set(names)
    return [
        replace(t, after=(*t.after, *(w for w in waits if w.task != t.id))) if t.id in own else t
        for t in rows
    ]
