"""Loads and sizes of lumber as a job file gives them."""

from __future__ import annotations

import re

from weatherlap.units import LoadKind, UnitError, parse_length, parse_load, shown

_DRESSED = {
    2: 1.5, 3: 2.5, 4: 3.5, 5: 4.5, 6: 5.5, 8: 7.25, 10: 9.25, 12: 11.25, 14: 13.25, 16: 15.25,
}  # fmt: skip
_THINNEST_TIMBER = 5
_TIMBER_OFF_IN = 0.5
_MOST_PLIES = 6
_SIZE_WANT = (
    'a size of lumber, such as "2x10", "2-2x10" for two plies, or measured, such as '
    '"1 5/8 in x 9 1/2 in"'
)
_PLIES = re.compile(r"(?P<plies>[0-9])\s*-\s*(?P<rest>.+)")
_NOMINAL = re.compile(r"(?P<thick>[0-9]{1,2})\s*x\s*(?P<wide>[0-9]{1,2})")


def parse_psf(value: float | int | str) -> float:
    """A load on an area in psf, from ``30 psf`` or ``1.4 kPa``.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a negative number.
    """
    return parse_load(value, kind=LoadKind.AREA)


def parse_pounds(value: float | int | str) -> float:
    """A load at a point in lb, from ``1200 lb`` or ``5.3 kN``.

    Raises
    ------
    UnitError
        A ValueError: no unit, another kind of unit, or a negative number.
    """
    return parse_load(value, kind=LoadKind.POINT)


def parse_size(text: str) -> tuple[int, float, float]:
    """Plies, thickness and depth of lumber from ``2-2x10``. [-, in, in]

    Nominal sizes are dressed: under 5 in thick as dimension lumber, above as timber.

    Raises
    ------
    UnitError
        A ValueError: no size of lumber.
    """
    plain = text.strip().lower().replace("×", "x")
    match = _PLIES.fullmatch(plain)
    plies = int(match["plies"]) if match else 1
    rest = match["rest"] if match else plain
    if not 1 <= plies <= _MOST_PLIES:
        raise UnitError(f"found {shown(text)}", f"1 to {_MOST_PLIES} plies")
    nominal = _NOMINAL.fullmatch(rest)
    if nominal:
        thick, wide = int(nominal["thick"]), int(nominal["wide"])
        if thick in _DRESSED and wide in _DRESSED:
            return plies, *_dressed(thick, wide)
        raise UnitError(f"found {shown(text)}", _SIZE_WANT)
    parts = rest.split("x")
    if len(parts) != 2:
        raise UnitError(f"found {shown(text)}", _SIZE_WANT)
    try:
        thick_in, wide_in = (parse_length(part.strip()) for part in parts)
    except UnitError:
        raise UnitError(f"found {shown(text)}", _SIZE_WANT) from None
    if min(thick_in, wide_in) <= 0:
        raise UnitError(f"found {shown(text)}", "sizes over 0")
    return plies, thick_in, wide_in


def _dressed(thick: int, wide: int) -> tuple[float, float]:
    """Dressed sizes of nominal ones. [in]"""
    if min(thick, wide) >= _THINNEST_TIMBER:
        return thick - _TIMBER_OFF_IN, wide - _TIMBER_OFF_IN
    return _DRESSED[thick], _DRESSED[wide]


def checked_size(value: object) -> object:
    """A size of lumber as it was written, if it can be read."""
    if not isinstance(value, str):
        raise UnitError(f"found {shown(value)}", _SIZE_WANT)
    parse_size(value)
    return value
