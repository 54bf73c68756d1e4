"""Hours of the work at each piece, from a small table that the firm can edit."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.order.putback import TRADES, trade_of

IN2_PER_FT2 = 144.0


@dataclass(frozen=True, slots=True)
class TradeHours:
    """Hours of one person for a piece. [h, h, h/ft2]"""

    off: float
    on: float
    on_per_ft2: float


@dataclass(frozen=True, slots=True)
class CrewHours:
    """The table: the crew's day and the hours of each trade. [h, persons, days]"""

    hours_a_day: float
    crew: float
    wet_days_a_year: float
    of: Mapping[str, TradeHours]

    @property
    def day(self) -> float:
        """Hours of work in a day of the whole crew. [h]"""
        return self.hours_a_day * self.crew


def read_hours(text: str) -> CrewHours:
    """The table in a text (TOML).

    Raises
    ------
    InputError
        If a trade is missing, or a figure is not a number of 0 or more.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("hours", str(error), "TOML that can be read") from None
    rows: dict[str, TradeHours] = {}
    for trade, _ in TRADES:
        row = data.get(trade)
        if not isinstance(row, Mapping):
            raise InputError("hours", f"no table [{trade}]", "one for each trade")
        keys = ("off", "on", "on_per_ft2")
        rows[trade] = TradeHours(*(_figure(row, key, f" of {trade}") for key in keys))
    day, crew, wet = (_figure(data, k, "") for k in ("hours_a_day", "crew", "wet_days_a_year"))
    if min(day, crew, wet) <= 0:
        found = f"found {min(day, crew, wet):g}"
        raise InputError("hours: the crew's day", found, "a number above 0")
    return CrewHours(day, crew, wet, rows)


def _figure(row: Mapping[str, object], key: str, where: str) -> float:
    value = row.get(key)
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    if not plain or not math.isfinite(float(str(value))) or float(str(value)) < 0:
        raise InputError(f"hours: {key}{where}", f"found {value!r}", "a number of 0 or more")
    return float(str(value))


@cache
def invented_hours() -> CrewHours:
    """The invented table that comes with the program."""
    return read_hours((files("weatherlap.order") / "data" / "hours.toml").read_text("utf-8"))


def hours_off(corner: Corner, piece: int, table: CrewHours) -> float:
    """Hours to take a piece off. [h]"""
    return table.of[trade_of(corner, piece)].off


def hours_on(corner: Corner, piece: int, table: CrewHours) -> float:
    """Hours to lay a piece. [h]"""
    row = table.of[trade_of(corner, piece)]
    area = sum(corner.panels[p].polygon.area for p in corner.pieces[piece].panels)
    return float(row.on + row.on_per_ft2 * area / IN2_PER_FT2)
