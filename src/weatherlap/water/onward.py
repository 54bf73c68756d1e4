"""Onward: how much of one trail's water comes through others."""

from __future__ import annotations

from collections.abc import Collection

from weatherlap.water.flows import Flows
from weatherlap.water.hops import End, IntoTrough, Soak
from weatherlap.water.ways import Ways

LEAST_SHARE = 1e-12


def onward(ways: Ways, flows: Flows, trail: int, goals: Collection[int]) -> dict[int, float]:
    """The share of a trail's water that first comes to each of some later trails. [-]

    Shares of troughs and gutters are those of the design rain; water that soaks goes no further.
    """
    found: dict[int, float] = {}
    queue = [(t, share) for t, share in _next(ways, flows, trail)]
    while queue:
        t, share = queue.pop()
        if share < LEAST_SHARE:
            continue
        if t in goals:
            found[t] = found.get(t, 0.0) + share
        else:
            queue += [(n, share * part) for n, part in _next(ways, flows, t)]
    return found


def _next(ways: Ways, flows: Flows, trail: int) -> list[tuple[int, float]]:
    """The trails that come right after one, each with its share of the water."""
    step = ways.trails.steps[trail]
    if isinstance(step.what, End | Soak):
        return []
    over = float(flows.spill[trail, 0])
    if over != over:
        return [(step.after, 1.0)]
    rows = [(step.after, over)]
    if isinstance(step.what, IntoTrough):
        outlets = ways.outlet_trails[step.what.trough]
        rows += [(t, (1.0 - over) * share) for share, t in outlets]
    return rows
