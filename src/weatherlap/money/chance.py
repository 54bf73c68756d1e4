"""Chance: many runs over uncertain costs that go up and down together, to P50 and P80."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three

Matrix = NDArray[np.float64]
RUNS = 20_000
SEED = 20_251
MOST_RUNS = 2_000_000
MOST_LINES = 4_000
BLOCK = 4_000
NOT_BELOW = -1e-9
STEPS = 200


@dataclass(frozen=True, slots=True)
class Uncertain:
    """An amount that comes with a chance, and if it comes lies in a triangle. [USD, -]

    ``group`` names lines that go up and down together more than others do.
    """

    text: str
    usd: Three
    chance: float = 1.0
    group: str = ""

    def __post_init__(self) -> None:
        """Refuse chances that are none."""
        if not 0 <= self.chance <= 1:
            raise InputError(f"chance of {self.text}", f"found {self.chance:g}", "from 0 to 1")

    @property
    def mean(self) -> float:
        """Mean over all runs. [USD]"""
        return self.chance * self.usd.mean


@dataclass(frozen=True, slots=True)
class Outcome:
    """What the sum came to over all runs. [USD]

    ``p50_give`` and ``p80_give`` say how far those may be off for the number of runs.
    """

    runs: int
    seed: int
    mean: float
    spread: float
    p50_give: float
    p80_give: float
    ordered: Matrix = field(repr=False, compare=False)

    def at(self, share: float) -> float:
        """The cost that is not exceeded in a share of the runs. [USD]"""
        return _at(self.ordered, share)

    @property
    def p50(self) -> float:
        """As likely more as less. [USD]"""
        return self.at(0.5)

    @property
    def p80(self) -> float:
        """Not exceeded in four of five runs. [USD]"""
        return self.at(0.8)


def together(lines: Sequence[Uncertain], *, within: float, across: float) -> Matrix:
    """How lines go together: ``within`` for two of one group, ``across`` for any other two. [-]

    Raises
    ------
    InputError
        If ``across`` is more than ``within``, or one is not from 0 to 1.
    """
    if not 0 <= across <= within <= 1:
        raise InputError(
            "how costs go together",
            f"found {within:g} within a group and {across:g} across",
            "0 <= across <= within <= 1",
        )
    names = np.array([line.group or f"\0{k}" for k, line in enumerate(lines)])
    matrix = np.where(names[:, None] == names[None, :], within, across).astype(np.float64)
    np.fill_diagonal(matrix, 1.0)
    return matrix


def check_together(matrix: Matrix, names: Sequence[str]) -> None:
    """Refuse a matrix that no costs could have, and say the nearest one that they could.

    Raises
    ------
    InputError
        If it is not square, not even on both sides of its diagonal, or not positive.
    """
    where = "correlation matrix"
    if matrix.shape != (len(names), len(names)):
        found = f"it is {' by '.join(map(str, matrix.shape))} for {len(names)} lines"
        raise InputError(where, found, f"{len(names)} by {len(names)}")
    if not np.isfinite(matrix).all() or np.abs(matrix).max() > 1 + 1e-12:
        raise InputError(where, "an entry is not from -1 to 1", "entries from -1 to 1")
    if np.abs(np.diag(matrix) - 1.0).max() > 1e-9:
        raise InputError(where, "a line does not go wholly with itself", "1 along its diagonal")
    if np.abs(matrix - matrix.T).max() > 1e-9:
        a, b = _place_of(matrix - matrix.T)
        found = f"{names[a]} with {names[b]} is {matrix[a, b]:g}, back it is {matrix[b, a]:g}"
        raise InputError(where, found, "the same both ways")
    least = float(np.linalg.eigvalsh(matrix)[0])
    if least < NOT_BELOW:
        raise InputError(
            where,
            f"no costs can go together so (its least eigenvalue is {least:.3g})",
            "a matrix without negative eigenvalues",
            _nearest_words(matrix, names),
        )


def _place_of(matrix: Matrix) -> tuple[int, int]:
    """Row and column of the entry farthest from 0."""
    row, column = divmod(int(np.abs(matrix).argmax()), matrix.shape[1])
    return row, column


def _nearest_words(matrix: Matrix, names: Sequence[str]) -> str:
    near = nearest_together(matrix)
    a, b = _place_of(near - matrix)
    return (
        f"The nearest one that can be has {near[a, b]:.3f} in place of {matrix[a, b]:g} for "
        f"{names[a]} with {names[b]}, and no entry is moved by more."
    )


def nearest_together(matrix: Matrix) -> Matrix:
    """The nearest correlation matrix: projections in turn, with Dykstra's correction. [-]

    Sources
    -------
    E-006 : Higham 2002, alternating projections.
    """
    current, carried = matrix.copy(), np.zeros_like(matrix)
    for _ in range(STEPS):
        ahead = current - carried
        values, vectors = np.linalg.eigh(ahead)
        positive: Matrix = (vectors * np.maximum(values, 0.0)) @ vectors.T
        carried = positive - ahead
        following = positive.copy()
        np.fill_diagonal(following, 1.0)
        done = float(np.abs(following - current).max()) < 1e-10
        current = following
        if done:
            break
    return current


def run_chance(
    lines: Sequence[Uncertain], matrix: Matrix, *, runs: int = RUNS, seed: int = SEED
) -> Outcome:
    """Sum the lines in many runs, drawn so that they go together as the matrix says.

    A Gaussian copula: normal variates with the matrix are turned into each line's own triangle.
    A line with a chance takes a second variate, so that whether it comes goes with its size.

    Raises
    ------
    InputError
        If there is no line, the runs are too few or too many, or the matrix is none.

    Sources
    -------
    E-005 : normal variates with a given correlation, through each line's own distribution.
    """
    if not lines or len(lines) > MOST_LINES:
        raise InputError("chance", f"found {len(lines)} lines", f"from 1 to {MOST_LINES}")
    if not 100 <= runs <= MOST_RUNS:
        raise InputError("runs", f"found {runs}", f"from 100 to {MOST_RUNS}")
    check_together(matrix, [line.text for line in lines])
    root = _root(matrix)
    totals = np.empty(runs)
    rng = np.random.default_rng(seed)
    for start in range(0, runs, BLOCK):
        count = min(BLOCK, runs - start)
        totals[start : start + count] = _block(lines, root, rng, count)
    return _outcome(totals, runs, seed)


def _root(matrix: Matrix) -> Matrix:
    """A matrix whose product with its own transpose is the one given."""
    try:
        return np.asarray(np.linalg.cholesky(matrix), dtype=np.float64)
    except np.linalg.LinAlgError:
        values, vectors = np.linalg.eigh(matrix)
        return np.asarray(vectors * np.sqrt(np.maximum(values, 0.0)))


def _block(
    lines: Sequence[Uncertain], root: Matrix, rng: np.random.Generator, count: int
) -> Matrix:
    """The sums of some runs."""
    share = ndtr(rng.standard_normal((count, len(lines))) @ root.T)
    amounts = _in_triangles(share, lines)
    rare = np.array([k for k, line in enumerate(lines) if line.chance < 1.0], dtype=int)
    if len(rare):
        chances = np.array([lines[k].chance for k in rare])
        part = root[rare]
        comes = ndtr(rng.standard_normal((count, len(lines))) @ part.T) >= 1.0 - chances
        amounts[:, rare] *= comes
    return np.asarray(amounts.sum(axis=1))


def _in_triangles(share: Matrix, lines: Sequence[Uncertain]) -> Matrix:
    """Amounts at shares of each line's triangle: its distribution turned round. [USD]"""
    low = np.array([line.usd.low for line in lines])
    mode = np.array([line.usd.likely for line in lines])
    high = np.array([line.usd.high for line in lines])
    wide = high - low
    with np.errstate(invalid="ignore", divide="ignore"):
        turn = np.where(wide > 0, (mode - low) / np.where(wide > 0, wide, 1.0), 0.0)
    left = low + np.sqrt(share * wide * (mode - low))
    right = high - np.sqrt((1.0 - share) * wide * (high - mode))
    return np.asarray(np.where(share < turn, left, right))


def _at(ordered: Matrix, share: float) -> float:
    """The value that a share of an ordered row does not exceed."""
    place = math.ceil(share * len(ordered)) - 1
    return float(ordered[min(max(place, 0), len(ordered) - 1)])


def _outcome(totals: Matrix, runs: int, seed: int) -> Outcome:
    ordered = np.sort(totals)

    def give(share: float) -> float:
        apart = 1.96 * math.sqrt(share * (1.0 - share) / runs)
        return 0.5 * (_at(ordered, share + apart) - _at(ordered, share - apart))

    return Outcome(
        runs=runs,
        seed=seed,
        mean=float(totals.mean()),
        spread=float(totals.std(ddof=1)),
        p50_give=give(0.5),
        p80_give=give(0.8),
        ordered=ordered,
    )


def sum_spread_usd(spreads_usd: Sequence[float], matrix: Matrix) -> float:
    """Standard deviation of a sum of amounts that go together so. [USD]

    Sources
    -------
    E-003 : variance of a sum = sum of all covariances.
    """
    row = np.asarray(spreads_usd)
    return math.sqrt(float(row @ matrix @ row))
