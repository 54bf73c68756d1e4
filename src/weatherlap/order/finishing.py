"""When the work will really end: the plan run many times through rain and through its hours."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from weatherlap.order.schedule import Placed, Plan
from weatherlap.order.weather import RainDays, dry_chance, sampled_wet, wet_days_expected
from weatherlap.order.workdays import DAY_H, WorkDays

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
SEED = 20
RUNS = 2000
SPARE_DAYS = 60
_TINY = 1e-9


@dataclass(frozen=True, slots=True)
class OpenSpan:
    """How long the corner stands open, from the first piece off to the last one tight.

    ``days`` are days of the calendar, both ends counted. [days, -, days]
    """

    first: datetime.date
    last: datetime.date
    days: int
    dry_chance: float
    wet_days: float


@dataclass(frozen=True, slots=True)
class Finish:
    """The finish as chances: days by which half, and four in five, of the runs had ended."""

    p50: datetime.date
    p80: datetime.date
    days: tuple[tuple[datetime.date, float], ...]
    runs: int

    def chance_by(self, day: datetime.date) -> float:
        """Share of the runs that had ended by a day. [-]"""
        return sum(share for date, share in self.days if date <= day)


@dataclass(frozen=True, slots=True)
class StartChoice:
    """What to expect of a start on a day."""

    start: datetime.date
    span: OpenSpan | None
    finish: Finish


def open_span(
    plan: Plan, rain: RainDays, *, open_from: datetime.date | None = None
) -> OpenSpan | None:
    """The days on which the corner stands open in a plan; None if it never does.

    Parameters
    ----------
    open_from : date or None
        The first day, where it stands open already.
    """
    opens = [r.start_h for r in plan.rows if r.task.opens]
    closes = [r.end_h for r in plan.rows if r.task.closes]
    if not opens and open_from is None:
        return None
    first = open_from or plan.days.date_at(min(opens))
    last = plan.days.date_at(max([*closes, *opens]), ending=True)
    return span_between(first, last, rain)


def span_between(first: datetime.date, last: datetime.date, rain: RainDays) -> OpenSpan:
    """The span of two days, both counted."""
    days = (last - first).days + 1
    return OpenSpan(
        first, last, days, dry_chance(rain, first, days), wet_days_expected(rain, first, days)
    )


def finish_of(
    plan: Plan, rain: RainDays, days: WorkDays, *, runs: int = RUNS, seed: int = SEED
) -> Finish:
    """The finish over many runs: hours drawn from their triangles, rain from the chain.

    The order of the plan and who does what are kept. Work that needs dry weather stands still on
    a wet day; nothing that opens the corner or is to be late begins before its time in the plan.

    Parameters
    ----------
    days : WorkDays
        Working days from the start on, with spare ones for the rain.
    """
    ends = _replayed(plan, rain, days, runs=runs, seed=seed)
    last = np.max(np.stack(list(ends.values())), axis=0) if ends else np.zeros(runs)
    number = _day_of(last, days)
    counts = np.bincount(number, minlength=1)
    shares = tuple((days.days[d], float(c) / runs) for d, c in enumerate(counts) if c)
    order = np.sort(number)
    p50, p80 = (days.days[int(order[int(np.ceil(p * runs)) - 1])] for p in (0.5, 0.8))
    return Finish(p50, p80, shares, runs)


def starts_to_choose(
    plan: Plan, rain: RainDays, days: WorkDays, *, most: int = 20, runs: int = 400
) -> tuple[StartChoice, ...]:
    """What to expect of a start on each of the next working days, in their order."""
    rows = []
    for first in days.days[:most]:
        later = days.moved_to(first)
        dry = RainDays((0.0,) * 12, 0.0)
        ends = _replayed(plan, dry, later, runs=1, seed=SEED, likely=True)
        span = _span_of(plan, ends, later, rain)
        rows.append(StartChoice(first, span, finish_of(plan, rain, later, runs=runs)))
    return tuple(rows)


def best_start(choices: Sequence[StartChoice]) -> StartChoice | None:
    """The start with the driest open days; of like ones the earliest."""
    open_ones = [c for c in choices if c.span is not None]
    if not open_ones:
        return None
    return max(open_ones, key=lambda c: (round(_dry(c), 3), -c.start.toordinal()))


def _dry(choice: StartChoice) -> float:
    return choice.span.dry_chance if choice.span is not None else 1.0


def _span_of(
    plan: Plan, ends: dict[str, Floats], days: WorkDays, rain: RainDays
) -> OpenSpan | None:
    opens = [float(ends[r.task.id][0]) - (r.end_h - r.start_h) for r in plan.rows if r.task.opens]
    closes = [float(ends[r.task.id][0]) for r in plan.rows if r.task.closes]
    if not opens:
        return None
    first = days.date_at(max(min(opens), 0.0))
    return span_between(first, days.date_at(max([*closes, *opens]), ending=True), rain)


def _replayed(
    plan: Plan, rain: RainDays, days: WorkDays, *, runs: int, seed: int, likely: bool = False
) -> dict[str, Floats]:
    """Ends of all tasks in every run, in working hours. [h]"""
    length = days.ordinals[-1] - days.ordinals[0] + 1
    wet = sampled_wet(rain, days.days[0], length, runs=runs, seed=seed)
    worked = np.asarray(days.ordinals) - days.ordinals[0]
    sky = _Sky(~wet[:, worked], days)
    draws = np.random.default_rng(seed + 1)
    free = {h.id: np.full(runs, h.free_h) for h in plan.hands}
    away = {h.id: _at_work(h.off, days) for h in plan.hands}
    ends: dict[str, Floats] = {}
    for row in plan.rows:
        start = _start(row, days, ends, free, runs)
        for name in row.hands:
            start = _not_away(start, away[name], days)
        spent = _hours(row, draws, runs, likely=likely)
        ends[row.task.id] = sky.end(start, spent) if row.task.needs_dry else start + spent
        for name in row.hands:
            free[name] = ends[row.task.id]
    return ends


def _start(
    row: Placed,
    days: WorkDays,
    ends: dict[str, Floats],
    free: dict[str, Floats],
    runs: int,
) -> Floats:
    """When a task can begin: its hands free, what it waits for over. [h]"""
    start = np.full(runs, row.start_h if row.task.opens or row.task.late else 0.0)
    if row.task.not_before:
        day = datetime.date.fromisoformat(row.task.not_before)
        start = np.maximum(start, days.first_on(day))
    for name in row.hands:
        start = np.maximum(start, free[name])
    for after in row.task.after:
        end = ends[after.task]
        ready = end if after.wait_h <= 0 else _waited(end, after.wait_h, days)
        start = np.maximum(start, ready)
    return start


def _hours(row: Placed, draws: np.random.Generator, runs: int, *, likely: bool) -> Floats:
    """Hours from start to end, drawn from the triangle of the task. [h]"""
    hours = row.task.hours
    if likely or hours.high - hours.low < _TINY:
        return np.full(runs, row.end_h - row.start_h)
    return draws.triangular(hours.low, hours.likely, hours.high, runs) / row.task.crew


def _day_of(ends: Floats, days: WorkDays) -> Ints:
    """The working day on which a position ends. [h]"""
    number = np.ceil(ends / days.hours - 1e-7).astype(np.intp) - 1
    return np.clip(number, 0, len(days.days) - 1)


def _waited(ends: Floats, wait_h: float, days: WorkDays) -> Floats:
    """Positions when a wait by the clock is over; the rest in mid-day is let be. [h]"""
    ordinals = np.asarray(days.ordinals, dtype=float)
    number = _day_of(ends, days)
    clock = ordinals[number] * DAY_H + days.begins_h + (ends - number * days.hours) + wait_h
    closes = ordinals * DAY_H + days.begins_h + days.hours
    then = np.minimum(np.searchsorted(closes, clock), len(ordinals) - 1)
    within = clock - ordinals[then] * DAY_H - days.begins_h
    return then * days.hours + np.clip(within, 0.0, days.hours)


def _at_work(off: frozenset[datetime.date], days: WorkDays) -> Ints:
    """For each working day the next one on which somebody is there."""
    there = np.arange(len(days.days))
    for number in range(len(days.days) - 2, -1, -1):
        if days.days[number] in off:
            there[number] = there[number + 1]
    return there


def _not_away(start: Floats, there: Ints, days: WorkDays) -> Floats:
    number = np.clip((start / days.hours + 1e-9).astype(np.intp), 0, len(there) - 1)
    then = there[number]
    return np.where(then > number, then * days.hours, start)


class _Sky:
    """Which working days are dry, in every run; finds the end of work that needs them."""

    def __init__(self, dry: NDArray[np.bool_], days: WorkDays) -> None:
        runs, count = dry.shape
        self._hours = days.hours
        self._dry = dry
        self._before = np.concatenate(
            [np.zeros((runs, 1), dtype=np.intp), np.cumsum(dry, axis=1)], axis=1
        )
        self._nth = np.full((runs, count + 1), count - 1, dtype=np.intp)
        run, day = np.nonzero(dry)
        self._nth[run, self._before[run, day]] = day
        self._run = np.arange(runs)

    def end(self, start: Floats, spent: Floats) -> Floats:
        """End of work that begins at a position and takes so many dry hours. [h, h]"""
        last = self._dry.shape[1] - 1
        day = np.clip((start / self._hours + _TINY).astype(np.intp), 0, last)
        within = np.where(self._dry[self._run, day], start - day * self._hours, 0.0)
        dry_h = self._before[self._run, day] * self._hours + within + spent
        full = np.ceil(dry_h / self._hours - 1e-7).astype(np.intp) - 1
        full = np.clip(full, 0, last)
        end_day = self._nth[self._run, full]
        ends = end_day * self._hours + (dry_h - full * self._hours)
        return np.maximum(ends, start)
