"""Mould on a surface: the published index from 0 to 6, hour by hour."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from weatherlap.drying.air import Array
from weatherlap.drying.kernel import compiled
from weatherlap.errors import InputError

VISIBLE_INDEX = 3.0
WARMEST_C = 50.0
DECLINE_FIRST, DECLINE_LATE = -0.00133, -0.000667
FIRST_DRY_H, STILL_DRY_H = 6, 24


class MouldClass(StrEnum):
    """How readily a surface grows mould."""

    VERY_SENSITIVE = "very-sensitive"
    SENSITIVE = "sensitive"
    MEDIUM = "medium"
    RESISTANT = "resistant"


@dataclass(frozen=True, slots=True)
class MouldConstants:
    """Constants of a class: pace below and above index 1, ceiling, least humidity, wood term."""

    pace_low: float
    pace_high: float
    ceiling_a: float
    ceiling_b: float
    ceiling_c: float
    least_humidity_pct: float
    wood_term: float
    decline_share: float


CONSTANTS: dict[MouldClass, MouldConstants] = {
    MouldClass.VERY_SENSITIVE: MouldConstants(1.0, 2.0, 1.0, 7.0, 2.0, 80.0, 0.0, 1.0),
    MouldClass.SENSITIVE: MouldConstants(0.578, 0.386, 0.3, 6.0, 1.0, 80.0, 0.0, 0.5),
    MouldClass.MEDIUM: MouldConstants(0.072, 0.097, 0.0, 5.0, 1.5, 85.0, 0.0, 0.25),
    MouldClass.RESISTANT: MouldConstants(0.033, 0.014, 0.0, 3.0, 1.0, 85.0, 0.0, 0.1),
}


def critical_humidity_pct(celsius: Array, *, least_pct: float) -> Array:
    """Relative humidity above which mould grows.

    Parameters
    ----------
    celsius : ndarray
        Surface temperature. [C]
    least_pct : float
        Lowest critical humidity of the class. [%]

    Returns
    -------
    ndarray
        Critical humidity; 100 or more where it is too cold. [%]

    Sources
    -------
    D-009 : cubic between 0 and 20 C, level above.
    """
    t = np.asarray(celsius, dtype=float)
    cubic = -0.00267 * t**3 + 0.160 * t**2 - 3.13 * t + 100.0
    return np.where(t > 20.0, least_pct, np.maximum(cubic, least_pct))


def weeks_to_first_growth(
    celsius: Array, humidity_pct: Array, *, wood_term: float = 0.0, surface_term: float = 0.0
) -> Array:
    """Weeks in a steady climate to index 1 on pine sapwood.

    Parameters
    ----------
    celsius : ndarray
        Temperature, above 0. [C]
    humidity_pct : ndarray
        Relative humidity, above 0. [%]
    wood_term : float
        0 for pine, 1 for spruce. [-]
    surface_term : float
        0 for sawn, 1 for kiln-dried surfaces. [-]

    Returns
    -------
    ndarray
        Weeks.

    Sources
    -------
    D-009 : regression for the start of growth.
    """
    return np.asarray(
        np.exp(
            -0.68 * np.log(celsius)
            - 13.9 * np.log(humidity_pct)
            + 0.14 * wood_term
            - 0.33 * surface_term
            + 66.02
        )
    )


def weeks_to_visible_growth(
    celsius: Array, humidity_pct: Array, *, wood_term: float = 0.0
) -> Array:
    """Weeks in a steady climate to index 3 on pine sapwood.

    Parameters
    ----------
    celsius : ndarray
        Temperature, above 0. [C]
    humidity_pct : ndarray
        Relative humidity, above 0. [%]
    wood_term : float
        0 for pine, 1 for spruce. [-]

    Returns
    -------
    ndarray
        Weeks.

    Sources
    -------
    D-009 : regression for visible growth.
    """
    return np.asarray(
        np.exp(-0.74 * np.log(celsius) - 12.72 * np.log(humidity_pct) + 0.06 * wood_term + 61.50)
    )


def highest_index(celsius: Array, humidity_pct: Array, *, mould_class: MouldClass) -> Array:
    """Index that growth levels off at in a steady climate.

    Parameters
    ----------
    celsius : ndarray
        Temperature. [C]
    humidity_pct : ndarray
        Relative humidity. [%]
    mould_class : MouldClass
        How readily the surface grows mould.

    Returns
    -------
    ndarray
        Index, 0 to 6.

    Sources
    -------
    D-009 : A + B z - C z2.
    """
    constants = CONSTANTS[mould_class]
    critical = critical_humidity_pct(celsius, least_pct=constants.least_humidity_pct)
    room = np.minimum(critical - 100.0, -1e-9)
    share = np.maximum((critical - np.asarray(humidity_pct)) / room, 0.0)
    top = constants.ceiling_a + constants.ceiling_b * share - constants.ceiling_c * share**2
    return np.clip(np.where(share > 0.0, top, 0.0), 0.0, 6.0)


def mould_index(
    celsius: Array, humidity_pct: Array, *, mould_class: MouldClass, start: float = 0.0
) -> Array:
    """Mould index of one surface after each hour.

    Parameters
    ----------
    celsius : ndarray, shape (hours,)
        Surface temperature. [C]
    humidity_pct : ndarray, shape (hours,)
        Relative humidity at the surface. [%]
    mould_class : MouldClass
        How readily the surface grows mould.
    start : float
        Index before the first hour.

    Returns
    -------
    ndarray, shape (hours,)
        Index: 0 none, 1 microscopic, 3 first visible, 6 all over.

    Raises
    ------
    InputError
        If the two series differ in length or a humidity is outside 0 to 100.

    Limits
    ------
    An indication: the fit of the model to newer materials is questioned in print.

    Sources
    -------
    D-009 : growth, ceiling and decline. D-010 : index 3 as the bound.
    """
    t, rh = np.asarray(celsius, dtype=float), np.asarray(humidity_pct, dtype=float)
    if t.shape != rh.shape:
        raise InputError("mould", f"{t.size} and {rh.size} hours", "series of one length")
    if t.size and not (rh.min() >= 0.0 and rh.max() <= 100.0):
        raise InputError("surface humidity", f"{rh.min():g} to {rh.max():g} %", "0 to 100 percent")
    constants = CONSTANTS[mould_class]
    critical = critical_humidity_pct(t, least_pct=constants.least_humidity_pct)
    grows = (rh >= critical) & (t > 0.0) & (t < WARMEST_C)
    weeks = weeks_to_first_growth(
        np.where(grows, t, 20.0), np.where(grows, rh, 90.0), wood_term=constants.wood_term
    )
    pace = np.where(grows, 1.0 / (168.0 * weeks), 0.0)
    top = highest_index(t, rh, mould_class=mould_class)
    decline = np.array([DECLINE_FIRST, DECLINE_LATE]) * constants.decline_share
    return run_index(grows, pace, top, constants.pace_low, constants.pace_high, decline, start)


@compiled
def run_index(
    grows: NDArray[np.bool_], pace: Array, top: Array, low: float, high: float, decline: Array,
    start: float,
) -> Array:  # fmt: skip
    """Hour by hour: growth towards the ceiling, or decline by how long it has been dry."""
    index, dry_hours, course = start, 0, np.zeros(pace.size)
    for hour in range(pace.size):
        if grows[hour]:
            dry_hours = 0
            factor = low if index < 1.0 else high
            brake = max(1.0 - math.exp(2.3 * (index - top[hour])), 0.0)
            index += factor * brake * pace[hour]
        else:
            dry_hours += 1
            if dry_hours <= FIRST_DRY_H:
                index = max(index + decline[0], 0.0)
            elif dry_hours > STILL_DRY_H:
                index = max(index + decline[1], 0.0)
        course[hour] = index
    return course
