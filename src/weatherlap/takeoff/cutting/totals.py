"""Totals that whole numbers of given costs can add up to: they sharpen every bound."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from weatherlap.takeoff.cutting.knapsack import Holder

EPS = 1e-6
LARGEST_SUM = 2_000_000


def _totals(holders: tuple[Holder, ...], *, top: int) -> tuple[int, NDArray[np.bool_]]:
    """The common step of all costs, and by that step which totals up to ``top`` are possible."""
    costs = sorted({h.cost for h in holders if h.cost > 0})
    step = math.gcd(*costs) if costs else 1
    sums = np.zeros(min(top // step, LARGEST_SUM) + 1, dtype=bool)
    sums[0] = True
    for cost in costs:
        part = cost // step
        while part < len(sums):
            sums[part:] = sums[part:] | sums[:-part]
            part *= 2
    return step, sums


def least_total(value: float, holders: tuple[Holder, ...]) -> int:
    """The least total of costs that is not below a value."""
    dearest = max(h.cost for h in holders)
    step, sums = _totals(holders, top=math.ceil(value) + dearest)
    at = math.ceil((value - EPS * max(1.0, value)) / step)
    later = np.flatnonzero(sums[at:])
    return int(at + later[0]) * step if len(later) else at * step


def total_below(
    plan: Mapping[tuple[int, tuple[int, ...]], int] | None, holders: tuple[Holder, ...]
) -> int | None:
    """The greatest total of costs below that of a plan; None without a plan."""
    if plan is None:
        return None
    cost = sum(holders[k].cost * times for (k, _), times in plan.items())
    step, sums = _totals(holders, top=cost)
    if len(sums) * step <= cost:
        return cost - step
    lower = np.flatnonzero(sums[: cost // step])
    return int(lower[-1]) * step if len(lower) else cost - step
