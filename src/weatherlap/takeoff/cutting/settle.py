"""Among plans of one cost: no piece too many, the shortest bar that serves, long leftovers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.takeoff.cutting.knapsack import Holder, Sizes


@dataclass(slots=True)
class Load:
    """One bar: the number of its holder and of each size on it."""

    holder: int
    sizes: list[int]


def settled(
    loads: list[Load], *, sizes: Sizes, holders: tuple[Holder, ...], lengths_in: Sequence[float]
) -> list[Load]:
    """The loads without surplus, gathered, each on the shortest holder that costs no more.

    ``lengths_in`` are those of the holders: capacities are rounded to what the pieces measure.
    """
    _drop_surplus(loads, sizes, holders)
    _gather(loads, sizes, holders)
    kept = [load for load in loads if load.sizes]
    while _shorten(kept, sizes, holders, lengths_in):
        pass  # a bar that became free may serve another load
    return kept


def _width(load: Load, sizes: Sizes) -> int:
    return sum(sizes.widths[n] for n in load.sizes)


def _drop_surplus(loads: list[Load], sizes: Sizes, holders: tuple[Holder, ...]) -> None:
    """Take pieces too many off the bar with most room, to make its leftover longer yet."""
    for number, wanted in enumerate(sizes.counts):
        surplus = sum(load.sizes.count(number) for load in loads) - wanted
        while surplus > 0:
            load = max(
                (one for one in loads if number in one.sizes),
                key=lambda one: holders[one.holder].capacity - _width(one, sizes),
            )
            load.sizes.remove(number)
            surplus -= 1


def _gather(loads: list[Load], sizes: Sizes, holders: tuple[Holder, ...]) -> None:
    """Move pieces from the bar with most room to where they just fit: its leftover grows."""
    rooms = [holders[one.holder].capacity - _width(one, sizes) for one in loads]
    most = rooms.index(max(rooms))
    giver = loads[most]
    for number in sorted(giver.sizes, reverse=True):
        width = sizes.widths[number]
        takers = [
            n
            for n, one in enumerate(loads)
            if n != most and one.sizes and number < holders[one.holder].upto and rooms[n] >= width
        ]
        if takers:
            taker = min(takers, key=lambda n: rooms[n])
            loads[taker].sizes.append(number)
            giver.sizes.remove(number)
            rooms[taker] -= width
            rooms[most] += width


def _shorten(
    loads: list[Load], sizes: Sizes, holders: tuple[Holder, ...], lengths_in: Sequence[float]
) -> bool:
    """Put each load on the shortest holder to be had that costs no more; whether any moved."""
    moved = False
    left = [
        None if h.limit is None else h.limit - sum(load.holder == k for load in loads)
        for k, h in enumerate(holders)
    ]
    for load in sorted(loads, key=lambda one: _width(one, sizes)):
        width, now = _width(load, sizes), load.holder
        fits = [
            k
            for k, h in enumerate(holders)
            if h.capacity >= width
            and h.cost <= holders[now].cost
            and (k == now or left[k] is None or (left[k] or 0) > 0)
            and max(load.sizes) < h.upto
        ]
        best = min(fits, key=lambda k: (holders[k].cost, lengths_in[k], k))
        if best != now:
            load.holder, moved = best, True
            left[best] = None if left[best] is None else (left[best] or 0) - 1
            left[now] = None if left[now] is None else (left[now] or 0) + 1
    return moved
