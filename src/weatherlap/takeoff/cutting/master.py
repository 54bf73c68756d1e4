"""The linear programme over fills, and the generation of fills that lower it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import linprog

from weatherlap.errors import NoSolution
from weatherlap.takeoff.cutting.knapsack import Fill, Holder, Sizes, best_fills
from weatherlap.takeoff.cutting.totals import least_total

Column = tuple[int, Fill]
Worth = NDArray[np.float64]

EPS = 1e-6
EXTRA_FILLS = 6
MOST_ROUNDS = 1500
SMOOTHING = 0.6
KEPT_PER_SIZE = 4


@dataclass(frozen=True, slots=True)
class Duals:
    """A proven lower bound with the worth of each size and of each holder's limit behind it.

    No fill is worth more than its holder costs: worth . fill <= cost + scarce.
    """

    bound: float
    worth: Worth
    scarce: Worth


Pricer = Callable[[Worth, Fill], list[tuple[float, Fill]]]


@dataclass(slots=True)
class Master:
    """The linear programme over the fills known so far.

    ``price`` gives for worths of the sizes, and the most of each that may be taken, the fill of
    most worth of each holder.
    """

    counts: tuple[int, ...]
    holders: tuple[Holder, ...]
    price: Pricer
    columns: list[Column] = field(default_factory=list)
    known: set[Column] = field(default_factory=set)
    active: list[int] = field(default_factory=list)
    fills: list[NDArray[np.float64]] = field(default_factory=list)

    def add(self, column: Column) -> bool:
        """Whether the fill was new."""
        if column in self.known or not any(column[1]):
            return False
        self.known.add(column)
        self.active.append(len(self.columns))
        self.columns.append(column)
        self.fills.append(np.array(column[1], dtype=float))
        return True

    def costs(self, columns: Sequence[Column]) -> Worth:
        """Cost of each fill's holder."""
        return np.array([self.holders[k].cost for k, _ in columns], dtype=float)

    def rows(self, columns: Sequence[Column]) -> tuple[NDArray[np.float64], Worth]:
        """Left and right sides of rows >= right: demand, then (negated) limits of holders."""
        return self._rows([np.array(fill, dtype=float) for _, fill in columns], columns)

    def _rows(
        self, fills: list[NDArray[np.float64]], columns: Sequence[Column]
    ) -> tuple[NDArray[np.float64], Worth]:
        left = np.stack(fills, axis=1) if fills else np.zeros((len(self.counts), 0))
        limited = [k for k, h in enumerate(self.holders) if h.limit is not None]
        if limited:
            of = np.array([k for k, _ in columns], dtype=int)
            left = np.vstack([left, -(of[None, :] == np.array(limited)[:, None]).astype(float)])
        limits = [-float(self.holders[k].limit or 0) for k in limited]
        return left, np.array([*map(float, self.counts), *limits])

    def reduced_costs(self, duals: Duals) -> Worth:
        """What each known fill costs more than it is worth."""
        of = np.array([k for k, _ in self.columns])
        worth: Worth = np.stack(self.fills) @ duals.worth
        dear: Worth = self.costs(self.columns) + duals.scarce[of] - worth
        return dear

    def solve(self) -> tuple[float, Worth, Worth, Worth, float]:
        """Value, how often each active fill, worths of sizes and limits, pieces uncovered."""
        columns = [self.columns[n] for n in self.active]
        left, right = self._rows([self.fills[n] for n in self.active], columns)
        count = len(self.counts)
        lack = np.vstack([np.eye(count), np.zeros((len(left) - count, count))])
        dear = 1000.0 * max(1, *(h.cost for h in self.holders), 1)
        costs = np.concatenate([self.costs(columns), np.full(count, dear)])
        result = linprog(costs, A_ub=-np.hstack([left, lack]), b_ub=-right, method="highs-ds")
        worth = np.maximum(-np.asarray(result.ineqlin.marginals, dtype=float), 0.0)
        limited = iter(worth[count:])
        scarce = np.array([0.0 if h.limit is None else next(limited) for h in self.holders])
        times = np.asarray(result.x[:-count], dtype=float)
        return float(result.fun), times, worth[:count], scarce, float(result.x[-count:].sum())

    def thin_out(self, worth: Worth, scarce: Worth) -> None:
        """Keep the likeliest fills active when there are many."""
        most = KEPT_PER_SIZE * len(self.counts) + 100
        if len(self.active) > 2 * most:
            dear = self.reduced_costs(Duals(0.0, worth, scarce))
            self.active = sorted(sorted(self.active, key=lambda n: (dear[n], n))[:most])


def line_master(sizes: Sizes, holders: tuple[Holder, ...]) -> Master:
    """The programme of cutting along one line, with as many of each size as fit to begin with."""

    def price(worth: Worth, counts: Fill) -> list[tuple[float, Fill]]:
        return best_fills(worth, sizes=sizes, holders=holders, counts=counts)

    master = Master(sizes.counts, holders, price)
    for k, holder in enumerate(holders):
        for number in range(holder.upto):
            fill = [0] * len(sizes.widths)
            fill[number] = min(sizes.counts[number], holder.capacity // sizes.widths[number])
            master.add((k, tuple(fill)))
    return master


def generate(master: Master, *, enough: int | None = None) -> Duals:
    """Add fills until none can lower the programme, or the bound's whole total is certain.

    ``enough`` is the cost of a plan: a bound that reaches it ends the work.

    Raises
    ------
    NoSolution
        If pieces stay uncovered: the stock on hand is too little.
    """
    best: Duals | None = None
    for _ in range(MOST_ROUNDS):
        value, _, worth, scarce, lack = master.solve()
        before = best
        best, more = _price(master, worth, scarce, best)
        if lack <= EPS:
            least = least_total(best.bound, master.holders)
            settled = least >= least_total(value, master.holders)
            if settled or (enough is not None and least >= enough):
                return best
        if not more and best is before:
            break
        master.thin_out(worth, scarce)
    if lack > EPS:
        raise NoSolution(
            "cutting: the stock on hand cannot give all the pieces; add stock or longer stock"
        )
    assert best is not None
    return best


def _price(master: Master, worth: Worth, scarce: Worth, best: Duals | None) -> tuple[Duals, bool]:
    """The best bound so far, and whether fills were added.

    Worths are first drawn toward those of the best bound, which steadies the work; where that
    adds nothing the programme's own worths are used.
    """
    mixes = [worth]
    if best is not None:
        mixes.insert(0, SMOOTHING * best.worth + (1 - SMOOTHING) * worth)
    for mixed in mixes:
        fills = master.price(mixed, master.counts)
        bound = _bound_of(master, mixed, fills)
        if best is None or bound.bound > best.bound:
            best = bound
        if _add(master, mixed, worth, scarce, fills):
            return best, True
    assert best is not None
    return best, False


def _bound_of(master: Master, worth: Worth, fills: list[tuple[float, Fill]]) -> Duals:
    """Worths scaled down until no fill is worth more than it costs: a bound for certain.

    A holder of which there are only so many may be worth more than its cost: that is charged
    against its number.
    """
    ratio = 1.0
    for (value, _), holder in zip(fills, master.holders, strict=True):
        if holder.limit is None and value > EPS:
            ratio = max(ratio, value / max(holder.cost, EPS))
    over = [
        0.0 if holder.limit is None else max(0.0, value / ratio - holder.cost)
        for (value, _), holder in zip(fills, master.holders, strict=True)
    ]
    given = sum(
        dear * (holder.limit or 0) for dear, holder in zip(over, master.holders, strict=True)
    )
    scaled = worth / ratio
    counts = np.array(master.counts, dtype=float)
    return Duals(float(scaled @ counts) - given, scaled, np.array(over))


def _add(
    master: Master, values: Worth, worth: Worth, scarce: Worth, fills: list[tuple[float, Fill]]
) -> bool:
    """Add fills that lower the programme, several at a time on different pieces; whether any."""
    counts = list(master.counts)
    added = False
    for again in range(EXTRA_FILLS):
        if again:
            fills = master.price(values, tuple(counts))
        gains = [
            (float(worth @ np.array(fill)) - holder.cost - dear, k)
            for k, ((_, fill), holder, dear) in enumerate(
                zip(fills, master.holders, scarce, strict=True)
            )
        ]
        good = [k for gain, k in gains if gain > EPS * max(1, master.holders[k].cost)]
        new = [k for k in good if master.add((k, fills[k][1]))]
        if not new:
            break
        added = True
        used = fills[max(gains)[1]][1]
        counts = [max(c - u, 0) for c, u in zip(counts, used, strict=True)]
    return added
