"""Whole plans by hand rules, and by fixing fill after fill of the linear programme."""

from __future__ import annotations

import numpy as np

from weatherlap.errors import NoSolution
from weatherlap.takeoff.cutting.knapsack import Fill, Holder, Sizes, best_fills
from weatherlap.takeoff.cutting.master import Column, Master, Worth, generate, line_master

Plan = dict[Column, int]

MOST_DIVES = 400


def cost_of(plan: Plan, holders: tuple[Holder, ...]) -> int:
    """Cost of all holders that a plan uses."""
    return sum(holders[k].cost * times for (k, _), times in plan.items())


def by_hand(sizes: Sizes, holders: tuple[Holder, ...], values: Worth) -> Plan | None:
    """The cheaper of two plans that fill holder after holder; None if stock runs out."""
    scale = float(values.max()) or 1.0
    plans = [_fill_up(sizes, holders, v) for v in (values, values * (values / scale) ** 0.5)]
    made = [plan for plan in plans if plan is not None]
    return min(made, key=lambda plan: cost_of(plan, holders)) if made else None


def _fill_up(sizes: Sizes, holders: tuple[Holder, ...], values: Worth) -> Plan | None:
    """Fill the holder that gives most for its cost, again and again; None if stock runs out."""
    left = list(sizes.counts)
    stock = [h.limit for h in holders]
    plan: Plan = {}
    while any(left):
        fills = best_fills(values, sizes=sizes, holders=holders, counts=tuple(left))
        rates = [
            (value / max(holder.cost, 1e-3), -holder.capacity, k)
            for k, ((value, _), holder) in enumerate(zip(fills, holders, strict=True))
            if value > 0 and stock[k] != 0
        ]
        if not rates:
            return None
        k = max(rates)[2]
        fill = _with_rest(fills[k][1], left, sizes, holders[k])
        times = min(c // f for c, f in zip(left, fill, strict=True) if f)
        room = stock[k]
        if room is not None:
            times = min(times, room)
            stock[k] = room - times
        plan[k, fill] = plan.get((k, fill), 0) + times
        left = [c - f * times for c, f in zip(left, fill, strict=True)]
    return plan


def _with_rest(fill: Fill, left: list[int], sizes: Sizes, holder: Holder) -> Fill:
    """The fill with whatever else still fits, for sizes that were worth nothing."""
    full = list(fill)
    room = holder.capacity - sum(f * w for f, w in zip(fill, sizes.widths, strict=True))
    for number in sorted(range(holder.upto), key=lambda n: -sizes.widths[n]):
        more = min(left[number] - full[number], room // sizes.widths[number])
        full[number] += more
        room -= more * sizes.widths[number]
    return tuple(full)


def dive(sizes: Sizes, master: Master) -> Plan | None:
    """Fix the surest fill, solve the programme for what is left, and so on to a whole plan."""
    plan: Plan = {}
    counts = np.array(sizes.counts)
    holders = list(master.holders)
    pool = master.columns
    for _ in range(MOST_DIVES):
        left = [n for n in range(len(counts)) if counts[n] > 0]
        if not left:
            return plan
        sub = _rest_of(sizes, tuple(holders), counts, left, pool)
        try:
            generate(sub)
            _, times, *_ = sub.solve()
        except NoSolution:
            return None
        for n, often in _surest(times):
            k, fill = sub.columns[sub.active[n]]
            whole = np.zeros(len(counts), dtype=int)
            whole[left] = fill
            often = _as_often(whole, counts, often, holders[k].limit)
            if not often:
                continue
            column = (k, tuple(int(f) for f in whole))
            plan[column] = plan.get(column, 0) + often
            counts = counts - whole * often
            holders[k] = _less(holders[k], often)
        pool = [*pool, *((k, _spread(fill, left, len(counts))) for k, fill in sub.columns)]
        pool = list(dict.fromkeys(pool))
    return None


def _rest_of(
    sizes: Sizes, holders: tuple[Holder, ...], counts: np.ndarray, left: list[int],
    pool: list[Column],
) -> Master:  # fmt: skip
    """The programme of the pieces still to cut, with the known fills of no more than those."""
    fewer = Sizes(tuple(sizes.widths[n] for n in left), tuple(int(counts[n]) for n in left))
    shorter = tuple(
        Holder(h.capacity, h.cost, sum(n < h.upto for n in left), h.limit) for h in holders
    )
    sub = line_master(fewer, shorter)
    for k, fill in pool:
        if all(f <= c for f, c in zip(fill, counts, strict=True)):
            sub.add((k, tuple(fill[n] for n in left)))
    return sub


def _surest(times: Worth) -> list[tuple[int, int]]:
    """Fills used whole times, rounded down; where none is, the one nearest to once."""
    whole = [(n, int(t + 1e-6)) for n, t in enumerate(times) if t + 1e-6 >= 1]
    return whole or [(int(np.argmax(times)), 1)]


def _as_often(whole: np.ndarray, counts: np.ndarray, often: int, limit: int | None) -> int:
    """How often a fill may be used without making a piece too many."""
    most = min(int(c) // int(f) for c, f in zip(counts, whole, strict=True) if f)
    return min(often, most, often if limit is None else limit)


def _less(holder: Holder, often: int) -> Holder:
    if holder.limit is None:
        return holder
    return Holder(holder.capacity, holder.cost, holder.upto, holder.limit - often)


def _spread(fill: Fill, left: list[int], count: int) -> Fill:
    """A fill of the pieces left as one of all pieces."""
    whole = [0] * count
    for n, f in zip(left, fill, strict=True):
        whole[n] = f
    return tuple(whole)
