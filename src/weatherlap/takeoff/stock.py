"""What can be bought by length, coil, sheet and roll: the tool's own table, or the firm's."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from weatherlap.errors import InputError
from weatherlap.takeoff.cutting.coil import Coil
from weatherlap.takeoff.cutting.model import BarStock
from weatherlap.takeoff.cutting.rolls import Roll
from weatherlap.takeoff.cutting.sheets import SheetStock
from weatherlap.units import tape

IN_PER_FT = 12
KINDS = ("bars", "coils", "sheets", "rolls")


@dataclass(frozen=True, slots=True)
class Stock:
    """Stock by its name in the table; ``coil_widths_in`` holds the width of each coil. [in]"""

    bars: dict[str, tuple[BarStock, ...]]
    coils: dict[str, Coil]
    coil_widths_in: dict[str, float]
    sheets: dict[str, SheetStock]
    rolls: dict[str, Roll]


@cache
def stock() -> Stock:
    """The stock that comes with the tool; its prices are invented.

    Sources
    -------
    M-039 : sizes.
    """
    return read_stock((files("weatherlap.takeoff") / "data" / "stock.toml").read_text("utf-8"))


def read_stock(text: str) -> Stock:
    """Stock from the text of a TOML file with tables ``bars``, ``coils``, ``sheets``, ``rolls``.

    Prices are named ``usd`` (``usd_per_ft`` for bars), or ``invented_usd`` where they are.

    Raises
    ------
    InputError
        If the text is not TOML, or a size or price is missing or cannot be.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("stock", str(error), "a TOML file") from None
    wrong = sorted(set(tables) - set(KINDS))
    if wrong:
        raise InputError("stock", f"a table {wrong[0]!r}", f"tables {', '.join(KINDS)}")
    rows = {kind: tables.get(kind, {}) for kind in KINDS}
    return Stock(
        bars={name: _bars(name, row) for name, row in rows["bars"].items()},
        coils={
            name: Coil(name, _size(name, row, "length_in"), _price(name, row, ""))
            for name, row in rows["coils"].items()
        },
        coil_widths_in={name: _size(name, row, "width_in") for name, row in rows["coils"].items()},
        sheets={
            name: SheetStock(
                name,
                _size(name, row, "width_in"),
                _size(name, row, "length_in"),
                _price(name, row, ""),
            )
            for name, row in rows["sheets"].items()
        },
        rolls={
            name: Roll(
                name,
                _size(name, row, "width_in"),
                _size(name, row, "length_in"),
                _price(name, row, ""),
            )
            for name, row in rows["rolls"].items()
        },
    )


def _bars(name: str, row: dict[str, Any]) -> tuple[BarStock, ...]:
    """One stock for each length, priced by the foot."""
    per_ft = _price(name, row, "_per_ft")
    lengths = row.get("lengths_in")
    if not isinstance(lengths, list) or not lengths:
        raise InputError(f"[bars.{name}]", f"lengths_in = {lengths!r}", "a list of inches")
    return tuple(
        BarStock(f"{name} {tape(length)}", length, round(per_ft * length / IN_PER_FT, 2))
        for length in (_number(name, "lengths_in", one) for one in lengths)
    )


def _size(name: str, row: dict[str, Any], key: str) -> float:
    return _number(name, key, row.get(key))


def _price(name: str, row: dict[str, Any], per: str) -> float:
    key = f"usd{per}" if f"usd{per}" in row else f"invented_usd{per}"
    return _number(name, key, row.get(key))


def _number(name: str, key: str, value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise InputError(f"[{name}]", f"{key} = {value!r}", "a number")
    return float(value)
