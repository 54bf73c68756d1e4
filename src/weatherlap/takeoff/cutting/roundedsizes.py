"""A bound for sheets: areas after sizes are rounded by functions that keep every packing.

A function f from [0, 1] to [0, 1] is dual feasible if numbers that add up to no more than 1 still
do after f. If f and g are, the areas f(width) g(height) of what fits on a sheet add up to no more
than 1: pieces wider than half a sheet then count as a whole width.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from weatherlap.takeoff.cutting.guillotine import Rect
from weatherlap.takeoff.cutting.knapsack import Holder

Parts = NDArray[np.float64]
SAME = 1e-9
MOST_EDGES = 12


def steps_down(x: Parts, *, k: int) -> Parts:
    """Rounding to k-ths, where x (k + 1) is not whole.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Parts of a sheet's side. [-]
    k : int
        Number of steps. [-]

    Sources
    -------
    M-035 : u(k) of the dual feasible functions.
    """
    scaled = (k + 1) * x
    exact = np.abs(scaled - np.rint(scaled)) < SAME
    return np.where(exact, x, np.floor(scaled) / k)


def edges_out(x: Parts, *, edge: float) -> Parts:
    """1 above 1 - edge, 0 below edge, as it is between.

    Parameters
    ----------
    x : ndarray, shape (n,)
        Parts of a sheet's side. [-]
    edge : float
        0 to 1/2. [-]

    Sources
    -------
    M-035 : U(edge) of the dual feasible functions.
    """
    return np.where(x > 1 - edge + SAME, 1.0, np.where(x < edge - SAME, 0.0, x))


def sized_bound(
    ways: tuple[tuple[Rect, ...], ...],
    counts: tuple[int, ...],
    sheets: tuple[tuple[int, int], ...],
    holders: tuple[Holder, ...],
) -> float:
    """The best bound on cost over pairs of such functions; 0 where stock on hand is limited.

    A piece is charged the least that any sheet, in any way it may lie, would charge for it: no
    sheet then charges more than it costs.
    """
    if any(h.limit is not None for h in holders):
        return 0.0
    wide = [[np.array([r.across / a for r in lies]) for lies in ways] for a, _ in sheets]
    high = [[np.array([r.along / b for r in lies]) for lies in ways] for _, b in sheets]
    edges = [_edges(wide), _edges(high)]
    best = 0.0
    for f, g in product(range(3 + len(edges[0])), range(3 + len(edges[1]))):
        total = 0.0
        for n, count in enumerate(counts):
            total += count * min(
                _charge(wide[k][n], high[k][n], h.cost, (f, edges[0]), (g, edges[1]))
                for k, h in enumerate(holders)
            )
        best = max(best, total)
    return best


def _edges(sides: list[list[Parts]]) -> list[float]:
    """Sizes up to half a side, evenly thinned out: the edges worth trying."""
    found = sorted({round(float(x), 9) for row in sides for lies in row for x in lies if x <= 0.5})
    return found[:: max(1, len(found) // MOST_EDGES + 1)]


def _charge(
    wide: Parts, high: Parts, cost: float, f: tuple[int, list[float]], g: tuple[int, list[float]]
) -> float:
    """The least charge of a piece on one sheet over the ways it may lie there."""
    fits = (wide <= 1 + SAME) & (high <= 1 + SAME)
    if not fits.any():
        return float("inf")
    return float((cost * _rounded(wide, *f) * _rounded(high, *g))[fits].min())


def _rounded(x: Parts, which: int, edges: list[float]) -> Parts:
    """One of the functions by its number: as it is, two steps, three, then each edge."""
    if which == 0:
        return x
    if which <= 2:
        return steps_down(x, k=which)
    return edges_out(x, edge=edges[which - 3])
