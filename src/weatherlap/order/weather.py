"""Dry and wet days as a chain: the chance that days in a row stay dry."""

from __future__ import annotations

import calendar
import datetime
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from weatherlap.errors import InputError

Bools = NDArray[np.bool_]
USUAL_WET_DAYS = (10.0,) * 12
"""Days with rain in each month where the job does not say. An assumption. [days]"""
FEBRUARY = 28.25


@dataclass(frozen=True, slots=True)
class RainDays:
    """Days with rain in each month, and how much a wet day makes the next one wet. [days, -]"""

    wet_days: tuple[float, ...] = USUAL_WET_DAYS
    persistence: float = 0.25

    def __post_init__(self) -> None:
        """Refuse what is no chain."""
        if len(self.wet_days) != 12:
            found = f"{len(self.wet_days)} figures"
            raise InputError("rain days", found, "12, one for each month")
        if not all(0 <= share <= 1 for share in map(self.share_of, range(1, 13))):
            found = f"found {min(self.wet_days):g} to {max(self.wet_days):g}"
            raise InputError("rain days", found, "from 0 to the days of the month")
        if not 0 <= self.persistence < 1:
            raise InputError("persistence", f"found {self.persistence:g}", "from 0 to below 1")

    def share_of(self, month: int) -> float:
        """Share of the days of a month that are wet. [-]"""
        length = FEBRUARY if month == 2 else float(calendar.monthrange(2001, month)[1])
        return self.wet_days[month - 1] / length


def stationary_dry_share(dry_after_dry: float, dry_after_wet: float) -> float:
    """Share of dry days in the long run.

    Parameters
    ----------
    dry_after_dry, dry_after_wet : float
        Chance of a dry day after a dry one, and after a wet one. [-]

    Returns
    -------
    float
        q / (1 - p + q) with p after dry and q after wet. [-]

    Raises
    ------
    InputError
        If a chance is not from 0 to 1, or neither state is ever left.

    Sources
    -------
    O-006 : two-state chain.
    """
    for chance in (dry_after_dry, dry_after_wet):
        if not 0 <= chance <= 1:
            raise InputError("chance of a dry day", f"found {chance:g}", "from 0 to 1")
    if dry_after_dry == 1 and dry_after_wet == 0:
        raise InputError("chain of days", "neither state is ever left", "a way to change")
    return dry_after_wet / (1.0 - dry_after_dry + dry_after_wet)


def days_until_dry_run_days(dry_after_dry: float, dry_after_wet: float, run_days: int) -> float:
    """Days on average from a wet day until so many in a row have been dry.

    Parameters
    ----------
    dry_after_dry, dry_after_wet : float
        Chance of a dry day after a dry one, and after a wet one. [-]
    run_days : int
        Dry days in a row that are wanted. [days]

    Returns
    -------
    float
        (1/q + (1 - p^(n-1)) / (1 - p)) / p^(n-1). [days]

    Raises
    ------
    InputError
        If a chance is not above 0 and at most 1, or no day is asked for.

    Sources
    -------
    O-006 : two-state chain.
    """
    if not (0 < dry_after_dry <= 1 and 0 < dry_after_wet <= 1) or run_days < 1:
        found = f"found {dry_after_dry:g}, {dry_after_wet:g} and {run_days}"
        raise InputError("days until dry", found, "chances above 0 and 1 day or more")
    before = run_days - 1
    power = dry_after_dry**before
    series = float(before) if dry_after_dry == 1 else (1.0 - power) / (1.0 - dry_after_dry)
    return (1.0 / dry_after_wet + series) / power


MOST_PERSISTENCE = 0.95


def persistence_of(wet: Bools, months: NDArray[np.intp]) -> float:
    """How much a wet day makes the next one wet, from days that were wet or dry.

    Parameters
    ----------
    wet : ndarray of bool, shape (days,)
        Whether each day was wet.
    months : ndarray of int, shape (days,)
        The month of each day, 0 to 11; the share of wet days is that of the month and the two
        beside it, for the days of one month are too few.

    Returns
    -------
    float
        Correlation of a day with the next, sum (x_t - w_t)(x_t+1 - w_t+1) over sum w (1 - w), from
        0 to 0.95; 0 where all days are alike. [-]

    Sources
    -------
    O-006 : two-state chain, whose correlation of days is P(wet after wet) - P(wet after dry).
    """
    apart = {int(m): np.minimum((months - m) % 12, (m - months) % 12) for m in np.unique(months)}
    near = {m: float(wet[away <= 1].mean()) for m, away in apart.items()}
    share = np.array([near[int(m)] for m in months])
    off = wet - share
    spread = float((share * (1.0 - share))[:-1].sum())
    if spread <= 0:
        return 0.0
    return min(max(float((off[:-1] * off[1:]).sum()) / spread, 0.0), MOST_PERSISTENCE)


def dry_chance(rain: RainDays, first: datetime.date, days: int) -> float:
    """Chance that so many days in a row from a date on are all dry.

    The day before is taken as any day of its month. Within a month the share of wet days w and
    the persistence r give wet after wet w + r (1 - w) and wet after dry w (1 - r). [days]
    """
    chance = 1.0
    for number in range(days):
        share = rain.share_of((first + datetime.timedelta(number)).month)
        wet = share if number == 0 else share * (1.0 - rain.persistence)
        chance *= 1.0 - wet
    return chance


def wet_days_expected(rain: RainDays, first: datetime.date, days: int) -> float:
    """Wet days on average among so many from a date on. [days]"""
    dates = (first + datetime.timedelta(n) for n in range(days))
    return sum(rain.share_of(d.month) for d in dates)


def sampled_wet(rain: RainDays, first: datetime.date, days: int, *, runs: int, seed: int) -> Bools:
    """Wet days drawn from the chain, the same for the same seed.

    Returns
    -------
    ndarray of bool, shape (runs, days)
        True for a wet day.
    """
    draws = np.random.default_rng(seed).random((days, runs))
    wet = np.zeros((days, runs), dtype=np.bool_)
    r = rain.persistence
    for number in range(days):
        share = rain.share_of((first + datetime.timedelta(number)).month)
        if number == 0:
            wet[number] = draws[number] < share
            continue
        chance = np.where(wet[number - 1], share + r * (1.0 - share), share * (1.0 - r))
        wet[number] = draws[number] < chance
    return np.ascontiguousarray(wet.T)
