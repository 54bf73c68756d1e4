"""Schedule: every task gets its time and its hands, by constraint programming.

Two aims, one after the other: the earliest finish; then, with that finish, the least time that
the corner stands open. A third tidies up: every task as early as the first two allow, but those
that are to be late no earlier than needed.
"""

from __future__ import annotations

import datetime
import math
from bisect import bisect_left
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from ortools.sat.python import cp_model

from weatherlap.errors import NoSolution
from weatherlap.order.hands import Hand, Kindred, check_hands, given_out, kindred
from weatherlap.order.rough import busy_slots, earliest_slot, ready_slot, rough_plan, slots_of
from weatherlap.order.tasks import Task, check_tasks, exposed_parts
from weatherlap.order.workdays import DAY_H, SLOTS_AN_HOUR, WorkDays

SEED = 1
USUAL_EFFORT = 5.0
"""How long is searched in all, in about as many seconds."""
FINISH_SHARE = 0.7
"""Share of the effort for the first aim; what it leaves goes to the second. Own choice. [-]"""
TIDY_EFFORT = 0.25
SEARCHED_FINISH, SEARCHED_OPEN = 0.6, 0.7
"""Shares of an aim's effort for better plans; the rest raises its bound. Own choice. [-]"""
WORK_A_SECOND = 0.26
"""The solver's own measure of work for about a second; counted, so that plans do not depend on
the machine. [1/s]"""


@dataclass(frozen=True, slots=True)
class Placed:
    """A task with its hands, from one position in working hours to another. [h, h]"""

    task: Task
    start_h: float
    end_h: float
    hands: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Bounded:
    """What was reached, and what no plan can be better than."""

    value: float
    bound: float

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.value <= self.bound + 1e-6

    @property
    def gap(self) -> float:
        """How far from proven, as a share of the value. [-]"""
        return 0.0 if self.proven else (self.value - self.bound) / max(self.value, 1e-9)


@dataclass(frozen=True)
class Plan:
    """A schedule: the tasks by their starts, its finish and how long the corner stands open.

    ``finish`` is in working hours, ``open`` in hours by the clock without the rest. [h, h]
    """

    rows: tuple[Placed, ...]
    days: WorkDays
    hands: tuple[Hand, ...]
    finish: Bounded
    open: Bounded

    @property
    def first_day(self) -> datetime.date:
        """The day of the first task."""
        return self.days.date_at(min((r.start_h for r in self.rows), default=0.0))

    @property
    def last_day(self) -> datetime.date:
        """The day of the last task."""
        return self.days.date_at(self.finish.value, ending=True)


def schedule(
    tasks: Sequence[Task],
    hands: Sequence[Hand],
    days: WorkDays,
    *,
    effort: float = USUAL_EFFORT,
    open_now: Collection[str] = (),
    tell: Callable[[str], None] | None = None,
) -> Plan:
    """Place every task.

    Parameters
    ----------
    days : WorkDays
        The working days, enough of them for all tasks one after another.
    effort : float
        Work the solver may spend in all, in about as many seconds. [-]
    open_now : collection of str
        Parts of the corner that stand open already.
    tell : callable or None
        Told which aim is at work.

    Raises
    ------
    InputError
        If tasks wait for one another in a circle, or nobody has a skill that is asked for.
    NoSolution
        If no plan fits into the days.
    """
    check_tasks(tasks)
    check_hands(tasks, hands)
    model = _Model(tasks, hands, days)
    if tell is not None:
        tell("Looking for the earliest finish")
    finish, spent = model.least(model.finish, effort * FINISH_SHARE, searched=SEARCHED_FINISH)
    model.keep(model.finish, finish.value)
    if tell is not None:
        tell("Keeping the corner open for less time")
    open_time = model.open_for(open_now)
    opened, _ = model.least(open_time, max(effort - spent, 0.0), searched=SEARCHED_OPEN)
    model.keep(open_time, opened.value)
    model.least(model.starts, min(effort, TIDY_EFFORT))
    return Plan(
        rows=model.rows(),
        days=days,
        hands=tuple(hands),
        finish=Bounded(finish.value / SLOTS_AN_HOUR, finish.bound / SLOTS_AN_HOUR),
        open=Bounded(opened.value / SLOTS_AN_HOUR, opened.bound / SLOTS_AN_HOUR),
    )


_Need = tuple[cp_model.IntervalVar, "cp_model.LinearExprT"]


class _Model:
    """The tasks as the solver sees them; the best plan so far is kept as a hint."""

    def __init__(self, tasks: Sequence[Task], hands: Sequence[Hand], days: WorkDays) -> None:
        self._tasks = tasks
        self._days = days
        self._groups = kindred(hands)
        rough = rough_plan(tasks, hands, days)
        self._end = max((end for _, end in rough.values()), default=0)
        self._model = cp_model.CpModel()
        new = self._model.new_int_var
        self._starts = {t.id: new(0, self._end, f"s-{t.id}") for t in tasks}
        self._ends = {t.id: new(0, self._end, f"e-{t.id}") for t in tasks}
        self._shares: dict[str, list[tuple[int, cp_model.IntVar | int]]] = {}
        self._best: list[int] = []
        self._waits()
        self._crew()
        self.finish = new(0, self._end, "finish")
        self._model.add_max_equality(self.finish, [0, *self._ends.values()])
        most = self._end * max(len(tasks), 1)
        self.starts = new(-most, most, "starts")
        signs = {t.id: -1 if t.late else 1 for t in tasks}
        self._model.add(self.starts == sum(signs[n] * s for n, s in self._starts.items()))
        self._begin_with(rough)

    def open_for(self, open_now: Collection[str]) -> cp_model.IntVar:
        """How long all parts stand open, together; asked for after the finish is kept."""
        exposed = dict.fromkeys((*sorted(open_now), *exposed_parts(self._tasks)))
        parts = [self._open(part, already=part in open_now) for part in exposed]
        days = self._days.ordinals
        longest = (days[-1] - days[0] + 1) * round(DAY_H) * SLOTS_AN_HOUR
        open_time = self._model.new_int_var(0, longest * max(len(parts), 1), "open")
        self._model.add(open_time == sum(parts))
        return open_time

    def _begin_with(self, rough: dict[str, tuple[int, int]]) -> None:
        """Take the rough plan for the best so far."""
        for name, (start, _) in rough.items():
            self._model.add_hint(self._starts[name], start)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.fix_variables_to_their_hinted_value = True
        if solver.solve(self._model) in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._best = list(solver.response_proto.solution)

    def _waits(self) -> None:
        """Lengths, order and waits by the clock."""
        ready: dict[tuple[str, float], cp_model.IntVar] = {}
        for task in self._tasks:
            start = self._starts[task.id]
            self._model.add(self._ends[task.id] == start + slots_of(task))
            self._model.add(start >= earliest_slot(task, self._days))
            for after in task.after:
                end = self._ends[after.task]
                if after.wait_h <= 0:
                    self._model.add(start >= end)
                    continue
                key = (after.task, after.wait_h)
                if key not in ready:
                    ready[key] = self._ready(end, after.wait_h)
                self._model.add(start >= ready[key])

    def _ready(self, end: cp_model.IntVar, wait_h: float) -> cp_model.IntVar:
        """The first slot when a wait by the clock is over."""
        if wait_h % DAY_H:
            table = [ready_slot(self._days, slot, wait_h) for slot in range(self._end + 1)]
            ready = self._model.new_int_var(0, table[-1], "")
            self._model.add_element(end, table, ready)
            return ready
        day, past = self._split(end)
        number, same = self._days_later(round(wait_h / DAY_H))
        slots = self._days.slots
        then = self._model.new_int_var(0, number[-1], "")
        again = self._model.new_bool_var("")
        self._model.add_element(day, number, then)
        self._model.add_element(day, same, again)
        ready = self._model.new_int_var(0, (number[-1] + 1) * slots, "")
        self._model.add(ready >= then * slots)
        self._model.add(ready >= then * slots + past - slots * (1 - again))
        return ready

    def _days_later(self, count: int) -> tuple[list[int], list[int]]:
        """For each working day the first one so many days later; whether it is that very day."""
        days = self._days.days
        number, same = [], []
        for day in days[: self._last_day + 1]:
            then = day + datetime.timedelta(count)
            at = bisect_left(days, then)
            number.append(at)
            same.append(int(at < len(days) and days[at] == then))
        return number, same

    @property
    def _last_day(self) -> int:
        return min(self._end // self._days.slots, len(self._days.days) - 1)

    def _split(self, at: cp_model.IntVar) -> tuple[cp_model.IntVar, cp_model.IntVar]:
        """Working day and slot in it of a position; a night may count to either day."""
        day = self._model.new_int_var(0, self._last_day, "")
        past = self._model.new_int_var(0, self._days.slots, "")
        self._model.add(at == day * self._days.slots + past)
        return day, past

    def _open(self, part: str, *, already: bool) -> cp_model.IntVar:
        """How long a part stands open, in quarters of an hour by the clock."""
        new = self._model.new_int_var
        starts = [self._starts[t.id] for t in self._tasks if t.opens == part]
        opens: list[cp_model.LinearExprT] = [0] if already else [*starts]
        closes = [self._ends[t.id] for t in self._tasks if t.closes == part]
        first, last = new(0, self._end, ""), new(0, self._end, "")
        self._model.add_min_equality(first, opens)
        self._model.add_max_equality(last, [*closes] or opens)
        day_slots = round(DAY_H) * SLOTS_AN_HOUR
        start = self._days.ordinals[0]
        dates = [n - start for n in self._days.ordinals[: self._last_day + 1]]
        clocks, numbers, dated = [], [], []
        for at in (first, last):
            day, past = self._split(at)
            date = new(0, dates[-1], "")
            self._model.add_element(day, dates, date)
            clocks.append(date * day_slots + past)
            numbers.append(day)
            dated.append(date)
        lasts = new(0, dates[-1] * day_slots + self._days.slots, "")
        self._model.add(lasts >= clocks[1] - clocks[0])
        self._model.add(dated[1] - dated[0] >= numbers[1] - numbers[0])
        idle = day_slots - self._days.slots
        self._model.add(lasts >= last - first + idle * (numbers[1] - numbers[0]))
        self._model.add(lasts >= 0)
        return lasts

    def _crew(self) -> None:
        """No hand at two tasks at once, nor at work on a day off."""
        rows: list[list[_Need]] = [[] for _ in self._groups]
        whole: dict[tuple[int, ...], list[_Need]] = {}
        for task in self._tasks:
            able = tuple(g for g, hands in enumerate(self._groups) if hands[0].can(task.skills))
            if task.outside_crew or slots_of(task) == 0:
                idle = task.outside_crew or not able
                self._shares[task.id] = [] if idle else [(able[0], 1)]
                continue
            whole.setdefault(able, []).append((self._interval(task), task.crew))
            for g in able:
                demand, span = self._share(task, g, able)
                self._shares.setdefault(task.id, []).append((g, demand))
                rows[g].append((span, 1 if len(self._groups[g]) == 1 else demand))
            self._model.add(sum(d for _, d in self._shares[task.id]) == task.crew)
        for g, hands in enumerate(self._groups):
            rows[g] += [(span, len(hands)) for span in self._not_there(hands)]
            self._no_more(rows[g], len(hands))
        self._together(whole)

    def _share(
        self, task: Task, group: int, able: tuple[int, ...]
    ) -> tuple[cp_model.IntVar | int, cp_model.IntervalVar]:
        """How many of a group do a task, and the time that they are at it."""
        if len(able) == 1:
            return task.crew, self._interval(task)
        start, end = self._starts[task.id], self._ends[task.id]
        if len(self._groups[group]) == 1:
            does = self._model.new_bool_var(f"n-{task.id}-{group}")
            return does, self._model.new_optional_interval_var(
                start, slots_of(task), end, does, f"i-{task.id}-{group}"
            )
        most = min(task.crew, len(self._groups[group]))
        many = self._model.new_int_var(0, most, f"n-{task.id}-{group}")
        return many, self._interval(task)

    def _no_more(self, rows: Sequence[_Need], most: int) -> None:
        spans = [span for span, _ in rows]
        if most == 1:
            self._model.add_no_overlap(spans)
        else:
            self._model.add_cumulative(spans, [need for _, need in rows], most)

    def _together(self, whole: Mapping[tuple[int, ...], Sequence[_Need]]) -> None:
        """What follows for groups together: it is known already, but the proof needs it."""
        sets = {*whole, tuple(range(len(self._groups)))}
        for groups in sorted(s for s in sets if len(s) > 1):
            rows = [n for able, needs in whole.items() if set(able) <= set(groups) for n in needs]
            size = sum(len(self._groups[g]) for g in groups)
            self._model.add_cumulative([s for s, _ in rows], [n for _, n in rows], size)

    def _interval(self, task: Task) -> cp_model.IntervalVar:
        return self._model.new_interval_var(
            self._starts[task.id], slots_of(task), self._ends[task.id], f"i-{task.id}"
        )

    def _not_there(self, hands: Kindred) -> list[cp_model.IntervalVar]:
        """Days off, and the hours of the first day that are over for them."""
        day = self._days.slots
        spans = [
            (number * day, day)
            for number, date in enumerate(self._days.days)
            if date in hands[0].off and number * day < self._end
        ]
        busy = busy_slots(hands[0])
        if busy and (0, day) not in spans:
            spans.append((0, busy))
        return [self._model.new_fixed_size_interval_var(at, size, "") for at, size in spans]

    def keep(self, aim: cp_model.IntVar, value: float) -> None:
        """From now on no plan may be worse than this."""
        self._model.add(aim <= round(value))

    def least(
        self, aim: cp_model.IntVar, effort: float, *, searched: float = 1.0
    ) -> tuple[Bounded, float]:
        """The least that was found from the best plan so far, with its bound; the effort spent.

        Better plans first; where none is proven least, what is left raises the bound from below.
        """
        self._model.minimize(aim)
        bound, spent = self._search(effort * searched, from_below=False)
        value = self._best[aim.index]
        if bound < value and searched < 1.0:
            self._model.add_linear_constraint(aim, bound, value)
            raised, more = self._search(max(effort - spent, 0.0), from_below=True)
            bound, spent = max(bound, raised), spent + more
        value = self._best[aim.index]
        return Bounded(float(value), float(min(bound, value))), spent

    def _search(self, effort: float, *, from_below: bool) -> tuple[int, float]:
        """Go on from the best plan so far; the bound of what is least, and the effort spent."""
        self._model.clear_hints()  # type: ignore[no-untyped-call]
        for index, value in enumerate(self._best):
            self._model.add_hint(self._model.get_int_var_from_proto_index(index), value)
        solver = cp_model.CpSolver()
        solver.parameters.num_workers = 1
        solver.parameters.random_seed = SEED
        solver.parameters.max_deterministic_time = effort * WORK_A_SECOND
        solver.parameters.use_objective_lb_search = from_below
        status = solver.solve(self._model)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._best = list(solver.response_proto.solution)
        elif not self._best:
            raise NoSolution(
                f"No plan fits into the {len(self._days.days)} working days from "
                f"{self._days.days[0]} on: look at days off, permits and lead times."
            )
        spent = solver.response_proto.deterministic_time / WORK_A_SECOND
        return max(0, math.ceil(solver.best_objective_bound - 1e-6)), spent

    def rows(self) -> tuple[Placed, ...]:
        """The best plan, by starts."""
        place = {t.id: k for k, t in enumerate(self._tasks)}
        at = {t.id: (self._at(self._starts[t.id]), self._at(self._ends[t.id])) for t in self._tasks}
        order = sorted(self._tasks, key=lambda t: (*at[t.id], place[t.id]))
        timed = [(at[t.id][0] / SLOTS_AN_HOUR, at[t.id][1] / SLOTS_AN_HOUR, t) for t in order]
        shares = {
            t.id: [
                (self._groups[g], n if isinstance(n, int) else self._at(n))
                for g, n in self._shares[t.id]
            ]
            for t in self._tasks
        }
        hands = given_out(timed, shares)
        return tuple(Placed(t, start, end, hands[t.id]) for start, end, t in timed)

    def _at(self, variable: cp_model.IntVar) -> int:
        return self._best[variable.index]
