"""Best fill of a length by pieces of a limited count, and every fill that is nearly as good."""

from __future__ import annotations

from array import array
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Fill = tuple[int, ...]

TINY = 1e-9
STEPS_PER_FILL = 60


@dataclass(frozen=True, slots=True)
class Holder:
    """What pieces are cut from: a capacity, a cost, how many there are (None: enough).

    Only the first ``upto`` sizes, in the order of the sizes, may be cut from it.
    """

    capacity: int
    cost: int
    upto: int
    limit: int | None = None


@dataclass(frozen=True, slots=True)
class Sizes:
    """The sizes to cut, in whole units, and how many of each."""

    widths: tuple[int, ...]
    counts: tuple[int, ...]


def best_fills(
    values: NDArray[np.float64], *, sizes: Sizes, holders: tuple[Holder, ...], counts: Fill
) -> list[tuple[float, Fill]]:
    """For each holder the fill of most value, no size more often than ``counts``.

    One pass serves every holder: sizes are taken up in their order, so that the table after the
    first ``upto`` of them is the one of the holders that may use those.
    """
    top = max(h.capacity for h in holders)
    best = np.zeros(top + 1)
    parts: list[tuple[int, int]] = []
    taken: list[NDArray[np.bool_]] = []
    stage = [0]
    scores: dict[int, dict[int, float]] = {0: {}}
    needed = {h.upto for h in holders}
    for number, width in enumerate(sizes.widths):
        if values[number] > TINY and width <= top:
            for times in _powers(min(counts[number], top // width)):
                best, took = _with_part(best, width * times, values[number] * times)
                parts.append((number, times))
                taken.append(took)
        stage.append(len(parts))
        if number + 1 in needed:
            scores[number + 1] = {
                h.capacity: float(best[h.capacity]) for h in holders if h.upto == number + 1
            }
    return [
        (
            scores[h.upto].get(h.capacity, 0.0),
            _unfold(h.capacity, parts[: stage[h.upto]], taken, sizes),
        )
        for h in holders
    ]


def _powers(count: int) -> Iterator[int]:
    """Parts 1, 2, 4 ... and a rest, whose sums make every number up to ``count``."""
    part = 1
    while count > 0:
        yield min(part, count)
        count -= part
        part *= 2


def _with_part(
    best: NDArray[np.float64], size: int, value: float
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """The table when one more part may be taken, and where it is."""
    took = np.zeros(len(best), dtype=bool)
    if size >= len(best):
        return best, took
    tried = best[:-size] + value
    took[size:] = tried > best[size:] + TINY
    best = best.copy()
    np.maximum(best[size:], tried, out=best[size:])
    return best, took


def _unfold(
    room: int, parts: list[tuple[int, int]], taken: list[NDArray[np.bool_]], sizes: Sizes
) -> Fill:
    """The counts behind the value of a capacity."""
    fill = [0] * len(sizes.widths)
    for at in range(len(parts) - 1, -1, -1):
        if taken[at][room]:
            number, times = parts[at]
            fill[number] += times
            room -= times * sizes.widths[number]
    return tuple(fill)


class TooManyError(Exception):
    """There are more fills than asked for."""


def near_fills(
    values: NDArray[np.float64], *, sizes: Sizes, holder: Holder, least: float, most: int
) -> list[Fill]:
    """Every fill of a holder worth at least ``least`` that leaves no room for another piece.

    Raises
    ------
    TooManyError
        If there are more than ``most``, or too many ways to look for them.
    """
    tables = _prefix_tables(values, sizes, holder)
    fill = [0] * len(sizes.widths)
    found: list[Fill] = []
    steps = 0

    def search(number: int, room: int, value: float) -> None:
        nonlocal steps
        steps += 1
        if steps > STEPS_PER_FILL * (most + 1):
            raise TooManyError
        if value + tables[number][room] < least - TINY:
            return
        if number == 0:
            if _is_full(fill, room, sizes, holder):
                found.append(tuple(fill))
                if len(found) > most:
                    raise TooManyError
            return
        width = sizes.widths[number - 1]
        for times in range(min(sizes.counts[number - 1], room // width), -1, -1):
            fill[number - 1] = times
            search(number - 1, room - times * width, value + times * float(values[number - 1]))
        fill[number - 1] = 0

    search(holder.upto, holder.capacity, 0.0)
    return found


def _prefix_tables(values: NDArray[np.float64], sizes: Sizes, holder: Holder) -> list[array[float]]:
    """Best value of each room by the first 0, 1, 2 ... sizes."""
    best = np.zeros(holder.capacity + 1)
    tables = [array("d", best.tolist())]
    for number in range(holder.upto):
        width = sizes.widths[number]
        if values[number] > TINY and width <= holder.capacity:
            for times in _powers(min(sizes.counts[number], holder.capacity // width)):
                best, _ = _with_part(best, width * times, float(values[number]) * times)
        tables.append(array("d", best.tolist()))
    return tables


def _is_full(fill: list[int], room: int, sizes: Sizes, holder: Holder) -> bool:
    """Whether no piece that is still wanted would fit beside the others."""
    return all(room < sizes.widths[n] or fill[n] >= sizes.counts[n] for n in range(holder.upto))
