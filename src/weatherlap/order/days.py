"""Working days: take-down and put-back as one row of steps, cut into the crew's days."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from weatherlap.building.corner import Corner
from weatherlap.job.model import Job, PieceRecord
from weatherlap.order.hours import CrewHours, hours_off, hours_on
from weatherlap.order.putback import PutBack, trade_of
from weatherlap.order.takedown import TakeDown, covers_of


class Move(StrEnum):
    """What a step does with its piece."""

    OFF = "off"
    ON = "on"


@dataclass(frozen=True, slots=True)
class Step:
    """A piece that comes off or is laid: its id and title, the trade, and the crew's time. [h]"""

    move: Move
    piece: str
    title: str
    trade: str
    hours: float


@dataclass(frozen=True, slots=True)
class Evening:
    """The state at the end of a working day: the day's own steps, and what stands there then. [h]

    What was bent up is let down again for the night.
    """

    day: int
    steps: tuple[Step, ...]
    pieces: tuple[PieceRecord, ...]

    @property
    def hours(self) -> float:
        """The work of the day, of all hands together. [h]"""
        return sum(s.hours for s in self.steps)

    def moved(self, move: Move) -> tuple[str, ...]:
        """Ids of the pieces that came off, or were laid, that day."""
        return tuple(s.piece for s in self.steps if s.move is move)


def straight_steps(
    found: Corner, repaired: Corner, plan: tuple[TakeDown, PutBack], table: CrewHours
) -> tuple[Step, ...]:
    """All of the take-down, then all of the put-back."""
    down, back = plan
    rows = [
        Step(
            Move.OFF,
            found.pieces[r.piece].id,
            found.pieces[r.piece].title,
            trade_of(found, r.piece),
            hours_off(found, r.piece, table),
        )
        for r in down.removals
        if r.piece in down.off
    ]
    rows += [
        Step(
            Move.ON,
            repaired.pieces[s.piece].id,
            repaired.pieces[s.piece].title,
            s.trade,
            hours_on(repaired, s.piece, table),
        )
        for s in back.layings
    ]
    return tuple(rows)


def part_by_part(found: Corner, repaired: Corner, steps: Sequence[Step]) -> tuple[Step, ...]:
    """The same steps, but each part of the work that stands alone is closed before the next.

    Parts are groups of pieces that neither cover one another as found nor as repaired.
    """
    part = parts_of(found, repaired, {s.piece for s in steps})
    first: dict[str, int] = {}
    for number, step in enumerate(steps):
        first.setdefault(part[step.piece], number)
    return tuple(sorted(steps, key=lambda s: first[part[s.piece]]))


def parts_of(found: Corner, repaired: Corner, names: set[str]) -> dict[str, str]:
    """For each piece the name that its part of the work goes by."""
    part = {name: name for name in names}

    def head(name: str) -> str:
        while part[name] != name:
            part[name] = part[part[name]]
            name = part[name]
        return name

    for corner in (found, repaired):
        for inner, covers in covers_of(corner).items():
            for outer in covers:
                a, b = corner.pieces[inner].id, corner.pieces[outer].id
                if a in names and b in names:
                    part[head(a)] = head(b)
    return {name: head(name) for name in names}


def changes_of_trade(steps: Sequence[Step]) -> int:
    """How often one trade hands over to another. [-]"""
    trades = [s.trade for s in steps]
    return sum(a != b for a, b in pairwise(trades))


def evenings(job: Job, repaired: Job, steps: Sequence[Step], table: CrewHours) -> list[Evening]:
    """The evenings of the steps, cut into the crew's days."""
    ever_off = {s.piece for s in steps if s.move is Move.OFF}
    rows: list[Evening] = []
    done = 0
    for today in _days(steps, table.day):
        done += len(today)
        so_far = steps[:done]
        off = {s.piece for s in so_far if s.move is Move.OFF}
        on = {s.piece for s in so_far if s.move is Move.ON}
        there = standing(job, repaired, off=off, on=on, ever_off=ever_off)
        rows.append(Evening(len(rows) + 1, tuple(today), there))
    return rows


def _days(steps: Sequence[Step], day_hours: float) -> Iterator[list[Step]]:
    """The steps of each day; one that is longer than a day has a day of its own."""
    today: list[Step] = []
    spent = 0.0
    for step in steps:
        if today and spent + step.hours > day_hours + 1e-9:
            yield today
            today, spent = [], 0.0
        today.append(step)
        spent += step.hours
    if today:
        yield today


def standing(
    job: Job, repaired: Job, *, off: set[str], on: set[str], ever_off: set[str]
) -> tuple[PieceRecord, ...]:
    """The pieces that stand there when some have come off and some have been laid.

    A piece still to come off stands as it was found, all others as they will be.
    """
    old = {p.id: p for p in job.piece}
    gone = off - on
    begun = bool(on)
    rows: list[PieceRecord] = []
    for piece in _merged(job, repaired) if begun else job.piece:
        waits = piece.id in ever_off and piece.id not in off
        if piece.id in gone or (piece.id not in old and piece.id not in on):
            continue
        rows.append(old[piece.id] if waits else piece)
    here = {p.id for p in rows}
    return tuple(
        p
        if all(b in here for b in p.behind)
        else p.model_copy(update={"behind": tuple(b for b in p.behind if b in here)})
        for p in rows
    )


def _merged(job: Job, repaired: Job) -> list[PieceRecord]:
    """The repaired stack, with what is taken away for good at its old place in it."""
    rows = list(repaired.piece)
    at = {p.id: k for k, p in enumerate(rows)}
    before: str | None = None
    for piece in job.piece:
        if piece.id not in at:
            rows.insert(0 if before is None else at[before] + 1, piece)
            at = {p.id: k for k, p in enumerate(rows)}
        before = piece.id
    return rows
