"""Wood and water: equilibrium, meter readings, slab drying, what a moisture content means."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import overload

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.errors import InputError

FIBRE_SATURATION_PCT = 30.0
CLOSE_IN_PCT = 19.0
DRY_PCT = 16.0
METER_TRUSTED_PCT = 30.0


class Wetness(StrEnum):
    """What a moisture content of wood means for the job."""

    DRY = "dry"
    WATCH = "watch"
    WET = "wet"
    AT_RISK = "at risk"
    DECAYING = "decay active when warm"


class Species(StrEnum):
    """Species that a pin meter set for Douglas-fir is corrected for."""

    DOUGLAS_FIR = "douglas-fir"
    SPRUCE = "spruce"


SPECIES_LINE: dict[Species, tuple[float, float]] = {
    Species.DOUGLAS_FIR: (1.0, 0.0),
    Species.SPRUCE: (0.853, 0.398),
}


@dataclass(frozen=True, slots=True)
class MeterReading:
    """A corrected reading of a pin meter.

    ``trusted`` is False above fibre saturation, where pins only say "very wet".
    """

    sentence: str
    reading_pct: float
    moisture_pct: float
    trusted: bool
    source_keys: tuple[str, ...]


@overload
def equilibrium_pct(humidity_pct: float, *, temperature_c: float) -> float: ...
@overload
def equilibrium_pct(humidity_pct: Array, *, temperature_c: Array | float) -> Array: ...
def equilibrium_pct(humidity_pct: float | Array, *, temperature_c: float | Array) -> float | Array:
    """Moisture content that wood comes to in air of a humidity and temperature.

    Parameters
    ----------
    humidity_pct : float or ndarray
        Relative humidity, 0 to 100. [%]
    temperature_c : float or ndarray
        Temperature; below 0 C the equation is carried on. [C]

    Returns
    -------
    float or ndarray
        Equilibrium moisture content, by mass of dry wood. [%]

    Raises
    ------
    InputError
        If a humidity is not between 0 and 100.

    Sources
    -------
    D-001 : two-hydrate sorption equation with the Celsius constants.
    """
    h = np.asarray(humidity_pct, dtype=float) / 100.0
    if not (np.all(h >= 0.0) and np.all(h <= 1.0)):
        raise InputError("relative humidity", f"{humidity_pct!r}", "0 to 100 percent")
    t = np.asarray(temperature_c, dtype=float)
    w = 349.0 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    bound = (k1 * kh + 2.0 * k1 * k2 * kh**2) / (1.0 + k1 * kh + k1 * k2 * kh**2)
    content = 1800.0 / w * (kh / (1.0 - kh) + bound)
    return float(content) if content.ndim == 0 else content


def humidity_for_pct(moisture_pct: float, *, temperature_c: float) -> float:
    """Relative humidity in which wood holds a moisture content; 100 above saturation.

    Parameters
    ----------
    moisture_pct : float
        Moisture content of the wood. [%]
    temperature_c : float
        Temperature. [C]

    Returns
    -------
    float
        Relative humidity. [%]

    Raises
    ------
    InputError
        If the moisture content is below zero.

    Sources
    -------
    D-001 : sorption equation, turned round by bisection.
    """
    if not moisture_pct >= 0.0:
        raise InputError("moisture content", f"{moisture_pct:g} %", "0 % or more")
    low, high = 0.0, 100.0
    if moisture_pct >= equilibrium_pct(high, temperature_c=temperature_c):
        return high
    for _ in range(60):
        middle = 0.5 * (low + high)
        if equilibrium_pct(middle, temperature_c=temperature_c) < moisture_pct:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def wetness(moisture_pct: float) -> Wetness:
    """What a moisture content of wood means.

    Parameters
    ----------
    moisture_pct : float
        Moisture content. [%]

    Returns
    -------
    Wetness
        Under 16 dry, to 19 watch, to 26 wet, to 30 at risk, above that decay can go on
        wherever it is between 10 and 35 C.

    Sources
    -------
    D-002 : fibre saturation and decay. D-004 : 19 percent. D-028 : the other bounds.
    """
    bounds = (DRY_PCT, CLOSE_IN_PCT, 26.0, FIBRE_SATURATION_PCT)
    return list(Wetness)[sum(moisture_pct >= bound for bound in bounds)]


def temperature_corrected_pct(reading_pct: float, *, wood_c: float) -> float:
    """Pin-meter reading moved to 20 C: half a point for each 5 C.

    Parameters
    ----------
    reading_pct : float
        What the meter shows. [%]
    wood_c : float
        Temperature of the wood. [C]

    Returns
    -------
    float
        Reading at 20 C. [%]

    Sources
    -------
    D-005 : rule in a pin meter's manual.
    """
    return reading_pct + 0.1 * (20.0 - wood_c)


def species_corrected_pct(reading_pct: float, *, wood_c: float, species: Species) -> float:
    """Moisture content from a pin meter set for Douglas-fir, by temperature and species.

    Parameters
    ----------
    reading_pct : float
        What the meter shows. [%]
    wood_c : float
        Temperature of the wood. [C]
    species : Species
        What wood it is.

    Returns
    -------
    float
        Moisture content. [%]

    Limits
    ------
    The species lines are from memory with low confidence; a meter's own table goes first.

    Sources
    -------
    D-006 : regression on temperature with one straight line for each species.
    """
    slope, offset = SPECIES_LINE[species]
    at_zero = reading_pct + 0.567 - 0.0260 * wood_c + 0.000051 * wood_c**2
    return float((at_zero / (0.881 * 1.0056**wood_c) - offset) / slope)


def corrected_reading(
    reading_pct: float, *, wood_c: float, species: Species | None = None, points: float = 0.0
) -> MeterReading:
    """The moisture content behind a pin-meter reading.

    Parameters
    ----------
    reading_pct : float
        What the meter shows. [%]
    wood_c : float
        Temperature of the wood. [C]
    species : Species, optional
        If given, the regression for a meter set for Douglas-fir is used; if not, the plain
        temperature rule.
    points : float
        Correction from the meter's own species table, added. [% points]

    Returns
    -------
    MeterReading
        The corrected content, and whether pins can be trusted there.

    Raises
    ------
    InputError
        If the reading is outside 4 to 120, or the wood outside -30 to 70 C.

    Sources
    -------
    D-005 : temperature rule; readings above fibre saturation are approximate. D-006.
    """
    if not 4.0 <= reading_pct <= 120.0:
        raise InputError("meter reading", f"{reading_pct:g} %", "4 to 120 percent")
    if not -30.0 <= wood_c <= 70.0:
        raise InputError("wood temperature", f"{wood_c:g} C", "-30 to 70 C")
    if species is None:
        content = temperature_corrected_pct(reading_pct, wood_c=wood_c) + points
        keys: tuple[str, ...] = ("D-005",)
    else:
        content = species_corrected_pct(reading_pct, wood_c=wood_c, species=species) + points
        keys = ("D-005", "D-006")
    trusted = content <= METER_TRUSTED_PCT
    note = "" if trusted else " Above fibre saturation pins only say very wet."
    sentence = f"A reading of {reading_pct:g} % at {wood_c:g} C means {content:.1f} %.{note}"
    return MeterReading(sentence, reading_pct, content, trusted, keys)


def slab_wetness_left(
    seconds: float, *, thickness_m: float, diffusivity_m2_s: float, terms: int = 200
) -> float:
    """Share of the excess moisture left in a slab with both faces held at equilibrium.

    Parameters
    ----------
    seconds : float
        Time since both faces were opened. [s]
    thickness_m : float
        Thickness; give twice the thickness where one face is sealed. [m]
    diffusivity_m2_s : float
        Diffusivity, taken constant. [m2/s]
    terms : int
        Terms of the series.

    Returns
    -------
    float
        (mean - equilibrium) / (start - equilibrium). [-]

    Raises
    ------
    InputError
        If the thickness or diffusivity is not above zero, or the time below it.

    Sources
    -------
    D-007 : sine series for a plane sheet.
    """
    if not (thickness_m > 0.0 and diffusivity_m2_s > 0.0 and seconds >= 0.0):
        found = f"{thickness_m:g} m, {diffusivity_m2_s:g} m2/s, {seconds:g} s"
        raise InputError("slab", found, "thickness and diffusivity above 0, time 0 or more")
    odd = 2 * np.arange(terms) + 1.0
    rate = diffusivity_m2_s * (math.pi / thickness_m) ** 2
    return float(np.sum(8.0 / (odd * math.pi) ** 2 * np.exp(-(odd**2) * rate * seconds)))


def bound_water_diffusivity_m2_s(moisture_pct: float, *, temperature_c: float) -> float:
    """Diffusivity of bound water in the cell wall, across the grain.

    Parameters
    ----------
    moisture_pct : float
        Moisture content. [%]
    temperature_c : float
        Temperature. [C]

    Returns
    -------
    float
        Diffusivity. [m2/s]

    Sources
    -------
    D-033 : 7e-6 exp(-(38500 - 290 M) / (R T)).
    """
    kelvin = temperature_c + 273.15
    return 7.0e-6 * math.exp(-(38500.0 - 290.0 * moisture_pct) / (8.314 * kelvin))
