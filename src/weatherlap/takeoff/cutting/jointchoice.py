"""Which way each course is joined, chosen together with how the boards are cut.

Every course may be made in some ways, each a run of boards; two courses that lie on each other may
not take ways that clash. One whole-number programme takes a way for each course and fills boards
with the pieces, at the least cost of boards.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, csr_array, hstack, lil_array

from weatherlap.takeoff.cutting.model import BarStock, CutRules, down, up

Places = NDArray[np.int64]

MOST_FILLS = 40000
NODES = 4000
SECONDS = 300.0
"""A backstop that no job of a house comes near: the count of nodes ends the work first. [s]"""
LEAST_SIZES_IN = (0.0, 24.0, 36.0, 48.0, 72.0)
"""Pieces shorter than one of these are left to the offcuts where there are too many fills. [in]"""


@dataclass(frozen=True, slots=True)
class Ways:
    """The ways of one course, each as the lengths of its boards. [in]"""

    lengths_in: tuple[tuple[float, ...], ...]


@dataclass(frozen=True, slots=True)
class Chosen:
    """The way of each course, and what boards cost at least whatever the ways. [US$]

    Where no board has a price the length used is made least, and no cost is told.
    """

    ways: tuple[int, ...]
    least_usd: float | None


@dataclass(frozen=True, slots=True)
class _Fills:
    """Boards filled with pieces: which stock, and the sizes on each by their number."""

    stock: tuple[int, ...]
    pieces: tuple[tuple[int, ...], ...]


def choose_ways(
    courses: Sequence[Ways],
    *,
    clashes: Sequence[tuple[int, int, int, int]],
    stock: Sequence[BarStock],
    rules: CutRules,
) -> Chosen | None:
    """A way for each course such that the boards for all of them cost least.

    Parameters
    ----------
    courses : sequence of Ways
        At least one way each. [in]
    clashes : sequence of (course, way, course, way)
        Pairs that cannot lie on each other.
    stock : sequence of BarStock
        What the boards are cut from. [in, US$]
    rules : CutRules
        Kerf and end trim. [in]

    Returns
    -------
    Chosen or None
        None if every choice clashes, or none was found within the effort.

    Sources
    -------
    M-329 : offcuts begin other courses. M-030 : bound of the programme.
    """
    sizes, fills = _sizes_and_fills(courses, stock, rules)
    first = np.cumsum([0, *(len(c.lengths_in) for c in courses)])
    ways, count = int(first[-1]), len(fills.stock)
    priced = any(s.price_usd > 0 for s in stock)
    dear = [round(s.price_usd * 100) if priced else down(s.length_in) for s in stock]
    costs = np.array([dear[k] for k in fills.stock], dtype=float)
    given = _demand_rows(courses, sizes, fills, first, up(rules.kerf_in))
    once = lil_array((len(courses), ways + count))
    for n in range(len(courses)):
        once[n, first[n] : first[n + 1]] = 1.0
    rows = [LinearConstraint(given, 0.0, np.inf), LinearConstraint(once.tocsr(), 1.0, 1.0)]
    if clashes:
        rows.append(_clash_rows(clashes, first, ways + count))
    if any(s.on_hand is not None for s in stock):
        rows.append(_stock_rows(stock, fills, ways))
    result = milp(
        np.concatenate([np.zeros(ways), costs]),
        constraints=rows,
        integrality=np.ones(ways + count),
        bounds=Bounds(0, np.concatenate([np.ones(ways), np.full(count, np.inf)])),
        options={"node_limit": NODES, "time_limit": SECONDS, "mip_rel_gap": 0.0},
    )
    if result.x is None:
        return None
    low = result.mip_dual_bound
    bound = math.ceil(low - 1e-4) / 100 if low is not None and math.isfinite(low) else 0.0
    picked = (int(np.argmax(result.x[a:b])) for a, b in pairwise(first))
    return Chosen(tuple(picked), bound if priced else None)


def _sizes_and_fills(
    courses: Sequence[Ways], stock: Sequence[BarStock], rules: CutRules
) -> tuple[tuple[int, ...], _Fills]:
    """Sizes with their kerf in 64ths, the longest first, and every full board of them."""
    every = {up(x) for c in courses for way in c.lengths_in for x in way}
    kerf = up(rules.kerf_in)
    rooms = [down(s.length_in - 2 * rules.end_trim_in) + kerf for s in stock]
    for least in LEAST_SIZES_IN:
        sizes = tuple(sorted((s + kerf for s in every if s >= up(least)), reverse=True))
        found: list[tuple[int, tuple[int, ...]]] = []
        for k, room in enumerate(rooms):
            for pieces in _full(sizes, room):
                found.append((k, pieces))
                if len(found) > MOST_FILLS:
                    break
        if len(found) <= MOST_FILLS:
            break
    return sizes, _Fills(tuple(k for k, _ in found), tuple(pieces for _, pieces in found))


def _full(sizes: Sequence[int], room: int, first: int = 0) -> Iterator[tuple[int, ...]]:
    """Every way to fill a board so that no further piece fits, the longest pieces first."""
    first = max(first, bisect_left(sizes, -room, key=lambda size: -size))
    if first == len(sizes):
        yield ()
    for n in range(first, len(sizes)):
        for others in _full(sizes, room - sizes[n], n):
            yield (n, *others)


def _demand_rows(
    courses: Sequence[Ways], sizes: Sequence[int], fills: _Fills, first: Places, kerf: int
) -> csr_array:
    """Pieces cut less pieces wanted, for each size."""
    ways = int(first[-1])
    at = {size - kerf: row for row, size in enumerate(sizes)}
    rows = lil_array((len(sizes), ways))
    for n, course in enumerate(courses):
        for k, lengths in enumerate(course.lengths_in):
            for size, times in Counter(lengths).items():
                row = at.get(up(size))
                if row is not None:
                    rows[row, first[n] + k] -= times
    on = [(size, n) for n, pieces in enumerate(fills.pieces) for size in pieces]
    size_of, fill_of = np.array(on, dtype=int).reshape(-1, 2).T
    shape = (len(sizes), len(fills.stock))
    cut = coo_array((np.ones(len(on)), (size_of, fill_of)), shape=shape)
    return csr_array(hstack([rows.tocsr(), cut.tocsr()]))


def _stock_rows(stock: Sequence[BarStock], fills: _Fills, ways: int) -> LinearConstraint:
    """No more boards of a kind than there are."""
    limited = [k for k, s in enumerate(stock) if s.on_hand is not None]
    of = np.array(fills.stock, dtype=int)
    used = (of[None, :] == np.array(limited)[:, None]).astype(float)
    rows = hstack([csr_array((len(limited), ways)), csr_array(used)])
    return LinearConstraint(
        csr_array(rows), -np.inf, [float(stock[k].on_hand or 0) for k in limited]
    )


def _clash_rows(
    clashes: Sequence[tuple[int, int, int, int]], first: Places, columns: int
) -> LinearConstraint:
    """Of a way and all the ways of another course that clash with it, at most one."""
    groups: dict[tuple[int, int, int], list[int]] = {}
    for a, way, b, other in clashes:
        groups.setdefault((a, way, b), []).append(other)
    rows = lil_array((len(groups), columns))
    for row, ((a, way, b), others) in enumerate(groups.items()):
        rows[row, first[a] + way] = 1.0
        for other in others:
            rows[row, first[b] + other] = 1.0
    return LinearConstraint(rows.tocsr(), -np.inf, 1.0)
