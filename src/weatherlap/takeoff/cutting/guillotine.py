"""Best guillotine pattern of one sheet by worth: every edge-to-edge cut, any number of stages.

A table over all positions that sums of pieces can reach, width by height, gives the worth of the
best pattern of each such rectangle; pieces may come more often than wanted, so the worth of the
whole sheet is never below what any plan could use: it prices a proven bound.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Place = tuple[int, int, int]
Cut = tuple[bool, int, tuple[int, int, int, int]]

Splits = tuple[NDArray[np.int64], NDArray[np.int64]]

TINY = 1e-9
MOST_CELLS = 24_000


@dataclass(frozen=True, slots=True)
class Rect:
    """A piece in one of the ways it may lie, in whole units: the size's number, across, along."""

    size: int
    across: int
    along: int


@dataclass(frozen=True, slots=True)
class Grid:
    """The positions that cuts can be at: reachable sums across and along, and the pieces.

    ``x_cuts`` and ``y_cuts`` hold for each position the pairs of positions it can be cut into.
    """

    xs: NDArray[np.int64]
    ys: NDArray[np.int64]
    rects: tuple[Rect, ...]
    x_cuts: tuple[Splits, ...]
    y_cuts: tuple[Splits, ...]


def grid_of(
    rects: tuple[Rect, ...], *, counts: tuple[int, ...], across: int, along: int
) -> Grid | None:
    """The grid of the largest sheet; None where it would be too large to work with."""
    xs = _sums([(r.across, counts[r.size]) for r in rects], across)
    ys = _sums([(r.along, counts[r.size]) for r in rects], along)
    if len(xs) * len(ys) > MOST_CELLS:
        return None
    x_cuts = tuple(_splits(xs, i) for i in range(len(xs)))
    y_cuts = tuple(_splits(ys, j) for j in range(len(ys)))
    return Grid(xs, ys, rects, x_cuts, y_cuts)


def _sums(steps: list[tuple[int, int]], most: int) -> NDArray[np.int64]:
    """0 and every sum, up to ``most``, of steps no more often than their counts."""
    reach = np.zeros(most + 1, dtype=bool)
    reach[0] = True
    for step, count in steps:
        for part in _powers(min(count, most // step)):
            size = part * step
            reach[size:] = reach[size:] | reach[:-size]
    return np.flatnonzero(reach)


def _powers(count: int) -> list[int]:
    """Parts 1, 2, 4 ... and a rest, whose sums make every number up to ``count``."""
    parts, part = [], 1
    while count > 0:
        parts.append(min(part, count))
        count -= part
        part *= 2
    return parts


def worth_table(grid: Grid, worth: NDArray[np.float64]) -> NDArray[np.float64]:
    """Worth of the best pattern of every rectangle of the grid."""
    table = np.zeros((len(grid.xs), len(grid.ys)))
    for rect in grid.rects:
        corner = np.searchsorted(grid.xs, rect.across), np.searchsorted(grid.ys, rect.along)
        part = table[corner[0] :, corner[1] :]
        np.maximum(part, worth[rect.size], out=part)
    for i in range(1, len(grid.xs)):
        row = table[i]
        np.maximum(row, table[i - 1], out=row)
        firsts, rests = grid.x_cuts[i]
        if len(firsts):
            np.maximum(row, (table[firsts] + table[rests]).max(axis=0), out=row)
        for j, (below, above) in enumerate(grid.y_cuts[1:], 1):
            best = max(row[j], row[j - 1])
            row[j] = max(best, (row[below] + row[above]).max()) if len(below) else best
    return table


def _splits(steps: NDArray[np.int64], at: int) -> Splits:
    """Pairs of positions into which position ``at`` can be cut: the first no more than half."""
    size = int(steps[at])
    last = int(np.searchsorted(steps, size // 2, side="right"))
    firsts = np.arange(1, last)
    rests = np.searchsorted(steps, size - steps[firsts], side="right") - 1
    return firsts, rests


@dataclass(slots=True)
class Pattern:
    """What one sheet is cut into: places (size, x, y) with the lying rect, cuts in order."""

    places: list[tuple[Rect, int, int]]
    cuts: list[Cut]


def pattern_of(
    grid: Grid, table: NDArray[np.float64], worth: NDArray[np.float64], *, across: int, along: int
) -> Pattern:
    """A pattern whose worth is that of the table for a sheet."""
    found = Pattern([], [])
    _unfold(grid, table, worth, (0, 0, across, along), found)
    return found


def _unfold(
    grid: Grid,
    table: NDArray[np.float64],
    worth: NDArray[np.float64],
    part: tuple[int, int, int, int],
    found: Pattern,
) -> None:
    """Cut a part (x, y, across, along) as its worth says, and its parts in turn."""
    x, y, across, along = part
    i = int(np.searchsorted(grid.xs, across, side="right")) - 1
    j = int(np.searchsorted(grid.ys, along, side="right")) - 1
    best = table[i, j]
    if best <= TINY:
        return
    for rect in grid.rects:
        if rect.across <= across and rect.along <= along and worth[rect.size] >= best - TINY:
            found.places.append((rect, x, y))
            found.cuts.extend(trims(part, rect))
            return
    for rips, steps, (firsts, rests) in (
        (True, grid.xs, grid.x_cuts[i]),
        (False, grid.ys, grid.y_cuts[j]),
    ):
        sums = table[firsts, j] + table[rests, j] if rips else table[i, firsts] + table[i, rests]
        if len(firsts) and sums.max() >= best - TINY:
            cut = int(steps[firsts[int(np.argmax(sums))]])
            found.cuts.append((rips, cut, part))
            for half in halves(part, rips, cut):
                _unfold(grid, table, worth, half, found)
            return


def halves(
    part: tuple[int, int, int, int], rips: bool, cut: int
) -> tuple[tuple[int, int, int, int], tuple[int, int, int, int]]:
    """The two parts that an edge-to-edge cut leaves."""
    x, y, across, along = part
    if rips:
        return (x, y, cut, along), (x + cut, y, across - cut, along)
    return (x, y, across, cut), (x, y + cut, across, along - cut)


def trims(part: tuple[int, int, int, int], rect: Rect) -> list[Cut]:
    """The cuts that take a piece out of the corner of a part larger than it."""
    x, y, across, along = part
    cuts: list[Cut] = []
    if rect.across < across:
        cuts.append((True, rect.across, part))
    if rect.along < along:
        cuts.append((False, rect.along, (x, y, rect.across, along)))
    return cuts
