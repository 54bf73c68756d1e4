"""How much leakage a wall can lose in a year before its wood stays too wet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.drying.climate import Climate
from weatherlap.drying.decay import OLD_ROT_PCT
from weatherlap.drying.model import Leak, Place, Wall
from weatherlap.drying.year import Progress, WallYear, wall_year
from weatherlap.errors import InputError

MOST_KG_M2 = 100.0
NARROW_ENOUGH = 0.02
LEAST_KG_M2 = 0.01
FIRST_TRY_KG_M2 = 1.0
USUAL_TRIES = 14


@dataclass(frozen=True, slots=True, eq=False)
class Capacity:
    """The most leakage a wall dries in a year.

    ``kg_m2_year`` is the largest amount found to dry, ``too_much_kg_m2_year`` the smallest found
    not to (None if even the most looked at dries); ``limited_by`` is the layer that sets it.
    ``dry_wall`` tells whether the wall stays under the limit with no leak at all.
    """

    sentence: str
    kg_m2_year: float
    too_much_kg_m2_year: float | None
    limit_pct: float
    limited_by: str
    dry_wall: bool
    tries: int
    at_capacity: WallYear
    source_keys: tuple[str, ...]


def spread_leak(pattern: Array, *, kg_m2_year: float) -> Array:
    """A year's leakage spread over the hours like a pattern.

    Parameters
    ----------
    pattern : ndarray, shape (hours,)
        Such as the driving rain of each hour; only its shape counts.
    kg_m2_year : float
        Sum of the year. [kg/m2]

    Returns
    -------
    ndarray, shape (hours,)
        Leak. [kg/(m2 h)]

    Raises
    ------
    InputError
        If the pattern is nowhere above zero or somewhere below, or the sum is below zero.
    """
    total = float(pattern.sum())
    if not (total > 0.0 and float(pattern.min()) >= 0.0 and kg_m2_year >= 0.0):
        found = f"pattern with sum {total:g}, {kg_m2_year:g} kg/m2 a year"
        raise InputError("leak", found, "some rain, none of it below zero, 0 kg/m2 or more")
    return np.asarray(pattern * (kg_m2_year / total))


def drying_capacity(
    wall: Wall,
    *,
    climate: Climate,
    pattern: Array,
    layer_id: str,
    place: Place = Place.OUTER_FACE,
    limit_pct: float = OLD_ROT_PCT,
    years: int = 2,
    progress: Progress | None = None,
) -> Capacity:
    """The most leakage a year into one layer with which all wood stays under a limit.

    Parameters
    ----------
    wall : Wall
        The stack; its own leaks are left out.
    climate : Climate
        Weather.
    pattern : ndarray, shape (hours,)
        When it leaks, such as the driving rain of each hour.
    layer_id : str
        Layer the water gets into.
    place : Place
        Where in that layer.
    limit_pct : float
        Moisture content no layer of wood may exceed, its mean over the thickness. [%]
    years : int
        Times the weather is gone through; the last is judged.
    progress : callable, optional
        Called with tries done and tries at most.

    Returns
    -------
    Capacity
        By doubling, then bisection to 2 %.

    Raises
    ------
    InputError
        If the wall has no such layer, or the limit is not between 12 and 60 %.

    Sources
    -------
    D-003 : 20 percent. D-012 : equations.
    """
    wall.layer(layer_id)
    if not 12.0 <= limit_pct <= 60.0:
        raise InputError("limit", f"{limit_pct:g} %", "12 to 60 percent of dry wood")
    tries: list[tuple[float, WallYear]] = []

    def dries(amount: float) -> bool:
        leak = Leak(layer_id, spread_leak(pattern, kg_m2_year=amount), place)
        year = wall_year(replace(wall, leaks=(leak,)), climate=climate, years=years)
        tries.append((amount, year))
        if progress is not None:
            progress(min(len(tries), USUAL_TRIES), USUAL_TRIES)
        return _wettest(year)[1] <= limit_pct

    low, high = _bracket(dries)
    while high is not None and high - low > max(NARROW_ENOUGH * high, LEAST_KG_M2):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if dries(middle) else (low, middle)
    if progress is not None:
        progress(USUAL_TRIES, USUAL_TRIES)
    return _answer(wall, tries, low, high, limit_pct)


def _bracket(dries: Callable[[float], bool]) -> tuple[float, float | None]:
    """An amount that dries and a larger one that does not, or None if all do."""
    if not dries(0.0):
        return 0.0, 0.0
    low, high = 0.0, FIRST_TRY_KG_M2
    while dries(high):
        if high >= MOST_KG_M2:
            return high, None
        low, high = high, min(2.0 * high, MOST_KG_M2)
    return low, high


def _wettest(year: WallYear) -> tuple[str, float]:
    """The layer of wood with the highest mean moisture at any hour, and that moisture."""
    worst = max(year.layers, key=lambda layer: layer.most_pct)
    return worst.layer_id, worst.most_pct


def _answer(
    wall: Wall, tries: list[tuple[float, WallYear]], low: float, high: float | None,
    limit_pct: float,
) -> Capacity:  # fmt: skip
    """The record, with the layer that is first over the limit."""
    years = dict(tries)
    over = years[high] if high is not None else years[low]
    limited_by = _wettest(over)[0]
    dry_wall = high != 0.0
    if not dry_wall:
        sentence = (
            f"{wall.name} has nothing to spare: {limited_by} passes {limit_pct:g} % unleaked."
        )
    elif high is None:
        sentence = f"{wall.name} dries {low:g} kg/m2 a year or more under {limit_pct:g} %."
    else:
        sentence = (
            f"{wall.name} can lose about {low:.2g} kg/m2 of leakage a year; with more, "
            f"{limited_by} passes {limit_pct:g} %."
        )
    return Capacity(
        sentence=sentence,
        kg_m2_year=low,
        too_much_kg_m2_year=high,
        limit_pct=limit_pct,
        limited_by=limited_by,
        dry_wall=dry_wall,
        tries=len(tries),
        at_capacity=years[low],
        source_keys=("D-003", *years[low].source_keys),
    )
