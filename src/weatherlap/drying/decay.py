"""Decay: the climate index of a place and the hours in which wood can rot."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.errors import InputError

ROT_COLDEST_C, ROT_WARMEST_C = 10.0, 35.0
NEW_ROT_PCT, OLD_ROT_PCT = 26.0, 20.0


class Hazard(StrEnum):
    """Decay hazard of a climate for wood above ground."""

    LOW = "low"
    MODERATE = "moderate"
    HIGH = "high"


@dataclass(frozen=True, slots=True)
class ClimateHazard:
    """The decay climate index of a place."""

    sentence: str
    index: float
    hazard: Hazard
    source_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RotHours:
    """Hours in which decay can go on in one piece of wood.

    ``new_rot_h`` counts hours at ``NEW_ROT_PCT`` or wetter, ``old_rot_h`` hours in which rot that
    is already there can spread; both only while between 10 and 35 C.
    """

    new_rot_h: int
    old_rot_h: int
    longest_spell_h: int


def climate_index(monthly_c: Sequence[float], *, rain_days: Sequence[float]) -> ClimateHazard:
    """Decay climate index of a place from twelve mean temperatures and wet days.

    Parameters
    ----------
    monthly_c : sequence of float
        Monthly mean temperatures, January first. [C]
    rain_days : sequence of float
        Days with 0.01 in or more in each month.

    Returns
    -------
    ClimateHazard
        Index and hazard: under 35 low, to 65 moderate, above high.

    Raises
    ------
    InputError
        If there are not twelve of each or a month has an impossible number of days.

    Sources
    -------
    D-011 : sum of (T - 35)(D - 3) / 30 with T in F; months under 35 F or 3 days left out.
    """
    if len(monthly_c) != 12 or len(rain_days) != 12:
        found = f"{len(monthly_c)} temperatures and {len(rain_days)} day counts"
        raise InputError("climate index", found, "twelve of each")
    if min(rain_days) < 0.0 or max(rain_days) > 31.0:
        raise InputError("wet days", f"{min(rain_days):g} to {max(rain_days):g}", "0 to 31 a month")
    pairs = zip(monthly_c, rain_days, strict=True)
    index = sum(max(1.8 * t - 3.0, 0.0) * max(d - 3.0, 0.0) for t, d in pairs) / 30.0
    hazard = Hazard.LOW if index < 35.0 else Hazard.MODERATE if index <= 65.0 else Hazard.HIGH
    sentence = f"The decay hazard of this climate is {hazard} (index {index:.0f})."
    return ClimateHazard(sentence, index, hazard, ("D-011",))


def rot_hours(moisture_pct: Array, *, celsius: Array) -> RotHours:
    """Hours in which a piece of wood is wet and warm enough to rot.

    Parameters
    ----------
    moisture_pct : ndarray, shape (hours,)
        Moisture content. [%]
    celsius : ndarray, shape (hours,)
        Temperature of the wood. [C]

    Returns
    -------
    RotHours
        Hours for new rot, for rot already there, and the longest spell of the first.

    Raises
    ------
    InputError
        If the two series differ in length.

    Sources
    -------
    D-002 : slow below 10 and above 35 C. D-003 : 20 percent. D-028 : 26 percent.
    """
    wet, warm = np.asarray(moisture_pct, dtype=float), np.asarray(celsius, dtype=float)
    if wet.shape != warm.shape:
        raise InputError("decay", f"{wet.size} and {warm.size} hours", "series of one length")
    rots = (warm >= ROT_COLDEST_C) & (warm <= ROT_WARMEST_C)
    new = rots & (wet >= NEW_ROT_PCT)
    turns = np.flatnonzero(np.diff(np.concatenate(([False], new, [False])).astype(np.int8)))
    spells = turns[1::2] - turns[::2]
    longest = int(spells.max()) if spells.size else 0
    return RotHours(int(new.sum()), int((rots & (wet >= OLD_ROT_PCT)).sum()), longest)
