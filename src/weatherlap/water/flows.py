"""Flows: the rain carried down every trail, through troughs and gutters, to its ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from weatherlap.water.hops import Crossing, End, EndKind, IntoGutter, IntoTrough, Soak
from weatherlap.water.trails import Trails

AREA, DESIGN, YEAR = 0, 1, 2
Rows = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Hub:
    """A trough or gutter that several trails run into.

    ``outlets`` holds (share, trail); a gutter has none: what it carries ends in it.
    ``capacity_lph`` is what it can carry; infinity where it never spills. [L/h]
    """

    capacity_lph: float
    outlets: tuple[tuple[float, int], ...]
    end: End | None


@dataclass(slots=True)
class Flows:
    """What runs down each trail.

    ``of_trail`` : shape (n_trails, 3, n_groups): area [in2], design flow [L/h], year [L].
    ``ends`` : the same three rows by (end, piece, face).
    ``spill`` : shape (n_trails, 2): share that goes on over the lip, in the design rain and in
    a usual one; nan where the trail's first step is not a trough or gutter. [-]
    ``trouble`` : share of each trail's water that ends in trouble. [-]
    ``wets`` : bits of the pieces that each trail wets.
    """

    of_trail: Rows
    ends: dict[End, Rows]
    spill: Rows
    trouble: Rows
    wets: list[int]
    order: list[int] = field(repr=False)


def run_flows(
    trails: Trails, begin: Rows, hubs: Sequence[Hub], hub_of: dict[int, int], usual_share: float
) -> Flows:
    """Carry the rain that begins on each trail to its ends.

    Parameters
    ----------
    begin : ndarray, shape (n_trails, 3, n_groups)
        Rain that sets out on each trail: area [in2], design flow [L/h], year [L].
    hub_of : dict
        The hub that a trail runs into at its first step, by trail.
    usual_share : float
        A usual rain over the design rain, for the year's spills. [-]
    """
    count = len(trails.steps)
    flow = begin.copy()
    ends: dict[End, Rows] = {}
    spill = np.full((count, 2), np.nan)
    arrivals: list[list[int]] = [[] for _ in hubs]
    for trail, hub in hub_of.items():
        arrivals[hub].append(trail)
    order = _order(trails, hubs, hub_of, arrivals)
    for item in order:
        if item < count:
            _pass_on(trails, item, flow, ends, hub_of)
        else:
            hub = item - count
            _through_hub(trails, hubs[hub], arrivals[hub], flow, ends, spill, usual_share)
    trouble, wets = _look_back(trails, hubs, hub_of, order, spill)
    return Flows(flow, ends, spill, trouble, wets, order)


def _order(
    trails: Trails, hubs: Sequence[Hub], hub_of: dict[int, int], arrivals: list[list[int]]
) -> list[int]:
    """Trails and hubs (numbered after the trails), each after all that runs into it."""
    count = len(trails.steps)
    waits = [0] * (count + len(hubs))
    for step in trails.steps:
        if step.after >= 0:
            waits[step.after] += 1
    for k, hub in enumerate(hubs):
        waits[count + k] = len(arrivals[k])
        for _, trail in hub.outlets:
            waits[trail] += 1
    ready = [i for i in range(count + len(hubs)) if waits[i] == 0]
    done: list[int] = []
    seen = [False] * len(waits)
    while len(done) < len(waits):
        if not ready:
            ready.append(next(i for i in reversed(range(len(waits))) if not seen[i]))
        item = ready.pop()
        if seen[item]:
            continue
        seen[item] = True
        done.append(item)
        for nxt in _leads_to(trails, hubs, hub_of, arrivals, item):
            waits[nxt] -= 1
            if waits[nxt] == 0 and not seen[nxt]:
                ready.append(nxt)
    return done


def _leads_to(
    trails: Trails,
    hubs: Sequence[Hub],
    hub_of: dict[int, int],
    arrivals: list[list[int]],
    item: int,
) -> list[int]:
    count = len(trails.steps)
    if item >= count:
        hub = item - count
        over = [trails.steps[a].after for a in arrivals[hub]]
        return over + [trail for _, trail in hubs[hub].outlets]
    if item in hub_of:
        return [count + hub_of[item]]
    after = trails.steps[item].after
    return [after] if after >= 0 else []


def _pass_on(
    trails: Trails, trail: int, flow: Rows, ends: dict[End, Rows], hub_of: dict[int, int]
) -> None:
    step = trails.steps[trail]
    if trail in hub_of:
        return
    if isinstance(step.what, End):
        _add(ends, step.what, flow[trail])
    elif isinstance(step.what, Soak):
        _add(ends, End(EndKind.SOAK, step.what.piece, step.what.face), flow[trail])
    else:
        flow[step.after] += flow[trail]


def _add(ends: dict[End, Rows], end: End, rows: Rows) -> None:
    if end in ends:
        ends[end] += rows
    else:
        ends[end] = rows.copy()


def _through_hub(
    trails: Trails,
    hub: Hub,
    arrivals: list[int],
    flow: Rows,
    ends: dict[End, Rows],
    spill: Rows,
    usual_share: float,
) -> None:
    """Share what runs into a hub between its outlets and its lip."""
    total = sum((flow[a] for a in arrivals), np.zeros_like(flow[0]))
    design = float(total[DESIGN].sum())
    over = _spilled(hub, design), _spilled(hub, design * usual_share)
    shares = np.array([over[0], over[0], over[1]])[:, None]
    for a in arrivals:
        spill[a] = over
        flow[trails.steps[a].after] += flow[a] * shares
    kept = total * (1.0 - shares)
    for share, trail in hub.outlets:
        flow[trail] += kept * share
    if hub.end is not None:
        _add(ends, hub.end, kept)


def _spilled(hub: Hub, inflow_lph: float) -> float:
    """Share of the inflow that a hub cannot carry. [-]"""
    if hub.end is None and not hub.outlets:
        return 1.0
    return max(0.0, 1.0 - hub.capacity_lph / inflow_lph) if inflow_lph > 0 else 0.0


def _look_back(
    trails: Trails, hubs: Sequence[Hub], hub_of: dict[int, int], order: list[int], spill: Rows
) -> tuple[Rows, list[int]]:
    """Share of each trail's water that ends in trouble, and the pieces it wets."""
    count = len(trails.steps)
    trouble = np.zeros(count)
    wets = [0] * count
    for item in reversed(order):
        if item >= count:
            continue
        step = trails.steps[item]
        if isinstance(step.what, End):
            trouble[item] = float(step.what.kind.is_trouble)
        elif isinstance(step.what, Soak):
            trouble[item] = 1.0
            wets[item] = wets[step.after] | (1 << step.what.piece)
        elif item in hub_of:
            hub = hubs[hub_of[item]]
            over = float(spill[item, 0])
            trouble[item] = over * trouble[step.after]
            wets[item] = wets[step.after] if over > 0 else 0
            for share, trail in hub.outlets:
                trouble[item] += (1.0 - over) * share * trouble[trail]
                wets[item] |= wets[trail] if over < 1 else 0
        else:
            trouble[item] = trouble[step.after]
            wets[item] = wets[step.after]
    return trouble, wets


def hubs_of_steps(trails: Trails) -> tuple[list[IntoTrough | IntoGutter], dict[int, int]]:
    """The hubs that appear in the trails, and the hub of each trail that runs into one."""
    keys: dict[IntoTrough | IntoGutter, int] = {}
    hub_of: dict[int, int] = {}
    for i, step in enumerate(trails.steps):
        if isinstance(step.what, (IntoTrough, IntoGutter)):
            hub_of[i] = keys.setdefault(step.what, len(keys))
    return list(keys), hub_of


def crossings(trails: Trails, flows: Flows) -> dict[Crossing, list[int]]:
    """The trails that begin with each crossing and bring some water to trouble."""
    found: dict[Crossing, list[int]] = {}
    for i, step in enumerate(trails.steps):
        if isinstance(step.what, Crossing) and flows.trouble[i] > 0:
            found.setdefault(step.what, []).append(i)
    return found
