"""Lengths as a tape reads, rain, speed and loads: parsed and printed at the edges only.

Inside the program lengths are inches, rain is mm/h, a year's rain is mm, speed is m/s, and loads
are psf, plf or lb. Sources: the factors are exact by definition (inch, pound, gallon).
"""

from __future__ import annotations

import math
import re
from enum import StrEnum

MM_PER_IN = 25.4
IN_PER_FT = 12.0
L_PER_GAL = 3.785411784
N_PER_LB = 4.4482216152605
M_PER_FT = 0.3048
PA_PER_PSF = N_PER_LB / M_PER_FT**2
N_PER_M_PER_PLF = N_PER_LB / M_PER_FT
MPS_PER_MPH = 0.44704

LONGEST_TEXT = 60
MOST_RAIN_MM_PER_H = 3000.0
MOST_RAIN_MM_A_YEAR = 30000.0
MOST_SPEED_MPS = 150.0
MOST_LOAD = 1e7


class UnitError(ValueError):
    """Text or a number that is not the quantity asked for; says what would be right."""

    def __init__(self, found: str, want: str) -> None:
        self.found = found
        self.want = want
        super().__init__(f"{found}; expected {want}")


class LoadKind(StrEnum):
    """What a load acts on: an area (psf), a line (plf) or a point (lb)."""

    AREA = "area"
    LINE = "line"
    POINT = "point"


_LENGTH_WANT = (
    "inches as a number, or text as a tape reads, such as "
    '"12\' 4 1/2\\"", "4 1/2 in", "12 ft 6 in", "3.2 m" or "38 mm"'
)
_FRACTIONS = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅓": "1/3", "⅔": "2/3", "⅛": "1/8", "⅜": "3/8",
    "⅝": "5/8", "⅞": "7/8", "⅙": "1/6", "⅚": "5/6", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5",
    "⅘": "4/5",
}  # fmt: skip
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ´`", "'"),
        **dict.fromkeys("″“”ʺ〃", '"'),
        **dict.fromkeys("−–—‐‑‒", "-"),
        **dict.fromkeys("\xa0\u2009\u200a\u202f\t", " "),
        "⁄": "/",
        "∕": "/",
        **{char: f" {text}" for char, text in _FRACTIONS.items()},
    }
)
_DECIMAL = r"(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)"
_MIXED = rf"(?:[0-9]+[ -]+[0-9]+/[0-9]+|[0-9]+/[0-9]+|{_DECIMAL})"
_FOOT = r"(?:'|ft\.?|feet|foot)"
_INCH = r"(?:\"|in\.?|inch|inches)"
_IMPERIAL = re.compile(
    rf"(?:(?P<feet>{_MIXED}) ?{_FOOT}(?: ?[-,](?= ?[0-9.]))?)?(?: ?(?P<inches>{_MIXED}) ?{_INCH}?)?"
)
_METRIC = re.compile(
    rf"(?P<number>{_DECIMAL}) ?(?P<unit>mm|millimet(?:er|re)s?|cm|centimet(?:er|re)s?"
    r"|m|met(?:er|re)s?)"
)
_QUANTITY = re.compile(rf"(?P<number>-?{_MIXED}) ?(?P<unit>[a-z][a-z0-9/^. ²]*)")


def parse_length(value: float | int | str) -> float:
    """Inches from a number (inches already) or from text as a tape reads.

    Parameters
    ----------
    value : float, int or str
        A number of inches, or text with feet and inches, fractions, or mm, cm, m. [in]

    Returns
    -------
    float
        The length, negative where the text begins with a minus sign. [in]

    Raises
    ------
    UnitError
        A ValueError: not a length, not finite, or inches of 12 and more after feet.

    Examples
    --------
    >>> parse_length("12' 4 1/2\\"")
    148.5
    >>> parse_length("50.8 mm")
    2.0
    """
    if isinstance(value, str):
        return _length_from_text(value)
    return _finite(value, _LENGTH_WANT)


def parse_number(value: float | int) -> float:
    """A plain finite number; text and true or false are errors.

    Raises
    ------
    UnitError
        A ValueError: not a finite number.
    """
    return _finite(value, "a plain number")


def _finite(value: object, want: str) -> float:
    """The float of a plain finite number; anything else is an error."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise UnitError(f"found {shown(value)}", want)
    try:
        number = float(value)
    except OverflowError:
        raise UnitError("found a number too large to be true", want) from None
    if not math.isfinite(number):
        raise UnitError(f"found {shown(value)}", want)
    return number


def shown(value: object) -> str:
    """A value as the job file writes it, cut short."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, list | tuple):
        return "a list"
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    text = repr(value[: LONGEST_TEXT + 1]) if isinstance(value, str) else str(value)
    return text if len(text) <= LONGEST_TEXT else f"{text[:LONGEST_TEXT]}..."


def _tidy(text: str, want: str) -> str:
    """Lower case, plain marks, single spaces."""
    if len(text) > LONGEST_TEXT:
        raise UnitError(f"found {shown(text)}", want)
    plain = text.translate(_SIGNS).lower().replace("''", '"')
    return " ".join(plain.split())


def _length_from_text(text: str) -> float:
    """Inches from tape text or metric text."""
    plain = _tidy(text, _LENGTH_WANT)
    sign = -1.0 if plain.startswith("-") else 1.0
    plain = plain.removeprefix("-").lstrip()
    if metric := _METRIC.fullmatch(plain):
        return sign * float(metric["number"]) * _MILLIMETRES[metric["unit"][0:2]] / MM_PER_IN
    imperial = _IMPERIAL.fullmatch(plain)
    if imperial is None or not plain:
        raise UnitError(f"found {shown(text)}", _LENGTH_WANT)
    feet, inches = imperial["feet"], imperial["inches"]
    if feet is None:
        return sign * _mixed(inches, text)
    if inches is None:
        return sign * IN_PER_FT * _mixed(feet, text)
    return sign * _feet_and_inches(feet, inches, text)


_MILLIMETRES = {"mm": 1.0, "mi": 1.0, "cm": 10.0, "ce": 10.0, "m": 1000.0, "me": 1000.0}


def _feet_and_inches(feet: str, inches: str, text: str) -> float:
    """Inches of whole feet and fewer than 12 inches."""
    rest = _mixed(inches, text)
    if not feet.isdigit():
        raise UnitError(f"found {shown(text)}", "whole feet where inches follow")
    if rest >= IN_PER_FT:
        raise UnitError(f"found {shown(text)}", "fewer than 12 inches after the feet")
    return IN_PER_FT * int(feet) + rest


def _mixed(number: str, text: str) -> float:
    """The value of ``4``, ``4.5``, ``1/2``, ``4 1/2`` or ``4-1/2``."""
    whole, _, fraction = number.replace("-", " ").rpartition(" ")
    top, slash, bottom = fraction.partition("/")
    if not slash:
        return float(number)
    if int(bottom) == 0:
        raise UnitError(f"found {shown(text)}", "a fraction with a bottom other than 0")
    if whole.strip() and int(top) >= int(bottom):
        raise UnitError(f"found {shown(text)}", "a fraction under 1 after the whole inches")
    return (int(whole) if whole.strip() else 0) + int(top) / int(bottom)


def tape(inches: float, *, sixteenths: int = 16) -> str:
    """A length as a tape reads, to the nearest part of an inch: ``12' 4 1/2"``.

    Parameters
    ----------
    inches : float
        The length. [in]
    sixteenths : int
        Parts of an inch that the tape shows: 16, or 8 or 32 or 64. [1/in]

    Raises
    ------
    UnitError
        A ValueError, if the length is not finite.
    """
    sign, feet, whole, fraction = _tape_parts(inches, sixteenths)
    inch_text = " ".join(part for part in (str(whole) if whole else "", fraction) if part)
    if feet and not inch_text:
        return f"{sign}{feet}'"
    if feet:
        return f"{sign}{feet}' {inch_text}\""
    return f'{sign}{inch_text or "0"}"'


def tape_words(inches: float, *, sixteenths: int = 16) -> str:
    """A length as a tape reads, with words for marks: ``12 ft 4 1/2 in`` (easy inside quotes)."""
    return tape(inches, sixteenths=sixteenths).replace("'", " ft").replace('"', " in")


def _tape_parts(inches: float, parts_per_inch: int) -> tuple[str, int, int, str]:
    """Sign, feet, whole inches and the reduced fraction as text."""
    if not math.isfinite(inches):
        raise UnitError(f"found {inches}", "a finite length")
    parts = math.floor(abs(inches) * parts_per_inch + 0.5)
    sign = "-" if inches < 0 and parts else ""
    whole_inches, rest = divmod(parts, parts_per_inch)
    feet, whole = divmod(whole_inches, int(IN_PER_FT))
    shared = math.gcd(rest, parts_per_inch)
    fraction = f"{rest // shared}/{parts_per_inch // shared}" if rest else ""
    return sign, feet, whole, fraction


def _quantity(
    value: float | int | str, factors: dict[str, float], want: str, *, most: float
) -> float:
    """A number times the factor of its unit; a bare number or another unit is an error."""
    if not isinstance(value, str):
        raise UnitError(f"found {shown(value)} without a unit", want)
    match = _QUANTITY.fullmatch(_tidy(value, want))
    if match is None:
        bare = re.fullmatch(rf"-?{_DECIMAL}", _tidy(value, want))
        raise UnitError(f"found {shown(value)}{' without a unit' if bare else ''}", want)
    unit = _plain_unit(match["unit"])
    if unit not in factors:
        raise UnitError(f"found {shown(value)}, whose unit is not one of this kind", want)
    number = match["number"]
    if number.startswith("-"):
        raise UnitError(f"found {shown(value)}, which is negative", want)
    amount = _mixed(number, value) * factors[unit]
    if amount > most:
        raise UnitError(f"found {shown(value)}, which is more than there can be", want)
    return amount


def _plain_unit(unit: str) -> str:
    """A unit without spaces and stops, 'per' as a stroke, long words short."""
    text = unit.replace(" per ", "/").replace(" an ", "/").replace(" a ", "/")
    text = text.replace(".", "").replace(" ", "").replace("^", "").replace("²", "2")
    for long, short in _SHORT_WORDS:
        text = text.replace(long, short)
    return text


_SHORT_WORDS = (
    ("inches", "in"), ("inch", "in"), ("hours", "h"), ("hour", "h"), ("hr", "h"),
    ("years", "y"), ("year", "y"), ("yr", "y"), ("lbs", "lb"), ("lbf", "lb"), ("pounds", "lb"),
    ("feet", "ft"), ("foot", "ft"), ("sqft", "ft2"), ("sft", "ft2"), ("kph", "km/h"),
    ("knots", "kt"),
)  # fmt: skip


def parse_rain(value: float | int | str) -> float:
    """Rain intensity in mm/h from ``4 in/h`` or ``100 mm/h``; a bare number is an error.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a negative number.
    """
    want = 'rain with its unit, such as "4 in/h" or "100 mm/h"'
    return _quantity(
        value, {"in/h": MM_PER_IN, "mm/h": 1.0, "l/m2/h": 1.0}, want, most=MOST_RAIN_MM_PER_H
    )


def parse_area_rate(value: float | int | str) -> float:
    """A year's rain in mm from ``44 in`` or ``1100 mm``; a bare number is an error.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a negative number.
    """
    want = 'a year\'s rain with its unit, such as "44 in" or "1100 mm"'
    factors = {"in": MM_PER_IN, "mm": 1.0, "cm": 10.0, "l/m2": 1.0}
    yearly = {f"{unit}/y": factor for unit, factor in factors.items()}
    text = value.replace('"', " in") if isinstance(value, str) else value
    return _quantity(text, factors | yearly, want, most=MOST_RAIN_MM_A_YEAR)


def parse_speed(value: float | int | str) -> float:
    """Wind speed in m/s from ``25 mph``, ``12 m/s`` or ``40 km/h``; a bare number is an error.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a negative number.
    """
    want = 'a speed with its unit, such as "25 mph", "12 m/s" or "40 km/h"'
    factors = {"mph": MPS_PER_MPH, "m/s": 1.0, "km/h": 1 / 3.6, "kt": 1852 / 3600}
    return _quantity(value, factors, want, most=MOST_SPEED_MPS)


_DEGREES = re.compile(rf"(?P<number>-?{_DECIMAL}) ?(?:°|deg(?:rees)?\.? ?)?(?P<unit>[fc])")


def parse_temperature(value: float | int | str) -> float:
    """A temperature in degrees Celsius from ``50 F`` or ``10 C``; a bare number is an error.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a temperature that no site has.
    """
    want = 'a temperature with its unit, such as "50 F" or "10 C"'
    number, unit = _degrees(value, want)
    celsius = number if unit == "c" else (number - 32.0) / 1.8
    if not -60.0 <= celsius <= 80.0:
        raise UnitError(f"found {shown(value)}, which no wood on a site has", want)
    return celsius


def parse_warming(value: float | int | str) -> float:
    """A difference of temperature in K from ``15 F`` or ``8 C``; a bare number is an error.

    Raises
    ------
    UnitError
        A ValueError: no unit, or another kind of unit.
    """
    want = 'a difference of temperature with its unit, such as "15 F" or "8 C"'
    number, unit = _degrees(value, want)
    return number if unit == "c" else number / 1.8


def _degrees(value: object, want: str) -> tuple[float, str]:
    """A number of degrees and whether they are "f" or "c"."""
    if not isinstance(value, str):
        raise UnitError(f"found {shown(value)} without a unit", want)
    match = _DEGREES.fullmatch(_tidy(value, want))
    if match is None:
        raise UnitError(f"found {shown(value)}", want)
    return float(match["number"]), match["unit"]


_LOAD_FACTORS = {
    LoadKind.AREA: {
        "psf": 1.0, "lb/ft2": 1.0, "ksf": 1000.0, "pa": 1 / PA_PER_PSF, "kpa": 1000 / PA_PER_PSF,
        "n/m2": 1 / PA_PER_PSF, "kn/m2": 1000 / PA_PER_PSF,
    },
    LoadKind.LINE: {
        "plf": 1.0, "lb/ft": 1.0, "klf": 1000.0, "n/m": 1 / N_PER_M_PER_PLF,
        "kn/m": 1000 / N_PER_M_PER_PLF,
    },
    LoadKind.POINT: {
        "lb": 1.0, "kip": 1000.0, "kips": 1000.0, "n": 1 / N_PER_LB, "kn": 1000 / N_PER_LB,
    },
}  # fmt: skip
_LOAD_WANT = {
    LoadKind.AREA: 'a load on an area, such as "30 psf" or "1.4 kPa"',
    LoadKind.LINE: 'a load along a line, such as "200 plf" or "2.9 kN/m"',
    LoadKind.POINT: 'a load at a point, such as "1200 lb" or "5.3 kN"',
}


def parse_load(value: float | int | str, *, kind: LoadKind) -> float:
    """A load in psf, plf or lb, by its kind, from text with a unit of that kind.

    Parameters
    ----------
    value : str
        ``30 psf``, ``1.4 kPa``; ``200 plf``, ``2.9 kN/m``; ``1200 lb``, ``5.3 kN``.
    kind : LoadKind
        What the load acts on.

    Returns
    -------
    float
        The load. [psf, plf or lb]

    Raises
    ------
    UnitError
        A ValueError: no unit, a unit of another kind, or a negative number.
    """
    return _quantity(value, _LOAD_FACTORS[kind], _LOAD_WANT[kind], most=MOST_LOAD)


def millimetres(inches: float) -> str:
    """A length in whole millimetres, as metric drawings print it: ``3200 mm``."""
    return f"{inches * MM_PER_IN:.0f} mm"


def rain_text(mm_per_h: float, *, metric: bool = False) -> str:
    """Rain intensity for a paper: ``4 in/h``, or ``102 mm/h``."""
    return f"{mm_per_h:.3g} mm/h" if metric else f"{mm_per_h / MM_PER_IN:.3g} in/h"


def speed_text(m_per_s: float, *, metric: bool = False) -> str:
    """A wind speed for a paper: ``25 mph``, or ``11.2 m/s``."""
    return f"{m_per_s:.3g} m/s" if metric else f"{m_per_s / MPS_PER_MPH:.3g} mph"


def load_text(load: float, *, kind: LoadKind, metric: bool = False) -> str:
    """A load in psf, plf or lb for a paper, or in kPa, kN/m or kN."""
    unit, metric_unit, factor = {
        LoadKind.AREA: ("psf", "kPa", PA_PER_PSF),
        LoadKind.LINE: ("plf", "kN/m", N_PER_M_PER_PLF),
        LoadKind.POINT: ("lb", "kN", N_PER_LB),
    }[kind]
    return f"{load * factor / 1000:.3g} {metric_unit}" if metric else f"{load:,.0f} {unit}"


def gallons(litres: float) -> float:
    """US gallons of litres. [gal]"""
    return litres / L_PER_GAL
