"""The cheapest set of fills that covers a demand, with a bound below which no plan can be.

Column generation gives the bound and good fills; rounding, diving and a mixed-integer solver make
plans of them; where plan and bound still differ, every fill that could be in a better plan is
listed and solved for, which closes the proof.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csc_array

from weatherlap.errors import NoSolution
from weatherlap.takeoff.cutting.knapsack import Fill, Holder, Sizes, TooManyError, near_fills
from weatherlap.takeoff.cutting.master import Column, Duals, Master, Worth, generate, line_master
from weatherlap.takeoff.cutting.rounding import Plan, by_hand, cost_of, dive
from weatherlap.takeoff.cutting.totals import least_total, total_below

INFEASIBLE = 2
NOTHING_BELOW = 2**62
MOST_PICKED = 3000


@dataclass(frozen=True, slots=True)
class Effort:
    """When to stop looking for the proof: solver seconds and nodes, fills listed."""

    seconds: float = 6.0
    nodes: int = 20_000
    fills: int = 10_000


DEFAULT_EFFORT = Effort()


@dataclass(frozen=True, slots=True)
class Cover:
    """Fills with their number (holder, fill) -> times, their cost, and the least possible cost."""

    columns: tuple[tuple[Column, int], ...]
    cost: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether no plan can cost less."""
        return self.cost <= self.bound


def cover(sizes: Sizes, *, holders: tuple[Holder, ...], effort: Effort = DEFAULT_EFFORT) -> Cover:
    """The cheapest fills that give each size its count.

    Parameters
    ----------
    sizes : Sizes
        Whole widths and counts.
    holders : tuple of Holder
        What they are cut from; costs are whole numbers.
    effort : Effort
        When to stop looking for the proof.

    Returns
    -------
    Cover
        Fills, cost, bound; proven where both are equal.

    Raises
    ------
    NoSolution
        If the holders, as many as there are, cannot give all the pieces.

    Sources
    -------
    M-030 : column generation. M-032 : listing by reduced cost.
    """
    best = by_hand(sizes, holders, np.array(sizes.widths, dtype=float))
    master = line_master(sizes, holders)
    for column in best or {}:
        master.add(column)
    enough = None if best is None else cost_of(best, holders)
    duals = generate(master, enough=enough)
    bound = least_total(duals.bound, holders)
    best = _improved(master, sizes, best, duals, bound, effort)
    if best is None or cost_of(best, holders) > bound:
        picked = _from_all(master, sizes, duals, total_below(best, holders), effort)
        best = picked.plan if picked.plan is not None else best
        if best is not None:
            proof = min(picked.bound, cost_of(best, holders))
            bound = max(bound, least_total(float(proof), holders))
    if best is None:
        raise NoSolution("cutting: no plan was found with the stock on hand; add stock")
    cost = cost_of(best, holders)
    return Cover(tuple(sorted(best.items())), cost, min(bound, cost))


def _improved(
    master: Master, sizes: Sizes, best: Plan | None, duals: Duals, bound: int, effort: Effort
) -> Plan | None:
    """A better plan by rounding, diving, then picking among the fills known, while worth it."""
    holders = master.holders

    def round_up() -> Plan | None:
        return by_hand(sizes, holders, _mixed(duals.worth, sizes))

    def plunge() -> Plan | None:
        return dive(sizes, master)

    def pick() -> Plan | None:
        return pick_known(master, duals, total_below(best, holders), effort)

    for way in (round_up, plunge, pick):
        if best is not None and cost_of(best, holders) <= bound:
            break
        found = way()
        if found is not None and (best is None or cost_of(found, holders) < cost_of(best, holders)):
            best = found
    return best


def _mixed(worth: Worth, sizes: Sizes) -> Worth:
    """Worths with a little of the widths, so that pieces worth nothing count too."""
    widths = np.array(sizes.widths, dtype=float)
    mixed: Worth = worth + 1e-3 * widths * max(float(worth.max()), 1e-9) / widths.max()
    return mixed


def pick_known(master: Master, duals: Duals, target: int | None, effort: Effort) -> Plan | None:
    """A plan from the likeliest fills that are known."""
    order = np.argsort(master.reduced_costs(duals), kind="stable")[:MOST_PICKED]
    columns = [master.columns[n] for n in order]
    less = replace(effort, seconds=effort.seconds / 4)
    return solve_whole(master, columns, target, less).plan


@dataclass(frozen=True, slots=True)
class Picked:
    """A plan from a solver, None if it found none, and the least cost it leaves possible."""

    plan: Plan | None
    bound: int


def solve_whole(
    master: Master, columns: Sequence[Column], target: int | None, effort: Effort
) -> Picked:
    """The cheapest whole numbers of these fills, at most ``target`` in cost.

    The number of each holder is a variable of its own: the solver branches on few of those first.
    """
    left, right = master.rows(columns)
    holders, count = len(master.holders), len(columns)
    of = np.array([k for k, _ in columns])
    tally = (of[None, :] == np.arange(holders)[:, None]).astype(float)
    costs = np.array([h.cost for h in master.holders], dtype=float)
    rows = [
        LinearConstraint(_sparse([left, np.zeros((len(left), holders))]), right, np.inf),
        LinearConstraint(_sparse([tally, -np.eye(holders)]), 0.0, 0.0),
    ]
    if target is not None:
        row = np.concatenate([np.zeros(count), costs])
        rows.append(LinearConstraint(row[None, :], -np.inf, target + 0.5))
    result = milp(
        np.concatenate([np.zeros(count), costs]),
        constraints=rows,
        integrality=np.ones(count + holders),
        bounds=Bounds(0, sum(master.counts)),
        options={
            "time_limit": effort.seconds,
            "node_limit": effort.nodes,
            "mip_rel_gap": 0.0,
        },
    )
    over = NOTHING_BELOW if target is None else target + 1
    low = result.mip_dual_bound
    known = math.ceil(low - 1e-4) if low is not None and math.isfinite(low) else 0
    if result.x is None:
        return Picked(None, over if result.status == INFEASIBLE else min(over, known))
    times = np.rint(result.x[:count]).astype(int)
    plan = {column: int(n) for column, n in zip(columns, times, strict=True) if n > 0}
    return Picked(plan if _covers(master, plan) else None, known)


def _sparse(blocks: list[np.ndarray]) -> csc_array:
    """Blocks side by side, zeros left out."""
    return csc_array(np.hstack(blocks))


def _covers(master: Master, plan: Plan) -> bool:
    """Whether a plan gives every piece and keeps within the stock, in whole numbers."""
    counts, holders = master.counts, master.holders
    given = [sum(fill[n] * t for (_, fill), t in plan.items()) for n in range(len(counts))]
    used = [sum(t for (j, _), t in plan.items() if j == k) for k in range(len(holders))]
    return all(g >= c for g, c in zip(given, counts, strict=True)) and all(
        h.limit is None or u <= h.limit for u, h in zip(used, holders, strict=True)
    )


def _from_all(
    master: Master, sizes: Sizes, duals: Duals, target: int | None, effort: Effort
) -> Picked:
    """The best plan of cost up to ``target`` from every fill that can be in one.

    Where those are too many, only fills within a smaller slack of the bound are listed: a plan
    with any other costs at least the bound and that slack.
    """
    whole = math.inf if target is None else target - duals.bound + 1e-6 * max(1.0, duals.bound)
    for part in (1.0, 0.5, 0.25, 0.1):
        slack = whole * part
        columns = _listed(master, sizes, duals, slack, effort.fills)
        if columns is not None:
            break
    else:
        return Picked(None, 0)
    over = NOTHING_BELOW if target is None else target + 1
    picked = solve_whole(master, columns, target, effort) if columns else Picked(None, over)
    if part < 1.0:
        return Picked(picked.plan, min(picked.bound, math.ceil(duals.bound + slack)))
    return picked


def _listed(
    master: Master, sizes: Sizes, duals: Duals, slack: float, most: int
) -> list[Column] | None:
    """Every fill within a slack of its holder's cost; None if there are too many."""
    columns: list[Column] = []
    try:
        for k, holder in enumerate(master.holders):
            least = holder.cost + float(duals.scarce[k]) - slack
            fills: list[Fill] = near_fills(
                duals.worth, sizes=sizes, holder=holder, least=least, most=most - len(columns)
            )
            columns.extend((k, fill) for fill in fills)
    except TooManyError:
        return None
    return columns
