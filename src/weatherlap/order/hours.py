"""Hours of the work, at each piece and besides, from a small table that the firm can edit."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib.resources import files

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.order.putback import TRADES, trade_of
from weatherlap.order.tasks import Hours, Per

IN2_PER_FT2 = 144.0


@dataclass(frozen=True, slots=True)
class TradeHours:
    """Hours of one person for a piece. [h, h, h/ft2]"""

    off: float
    on: float
    on_per_ft2: float


@dataclass(frozen=True, slots=True)
class Spread:
    """The low and the high figure as parts of the likely one. [-, -]"""

    low: float = 1.0
    high: float = 1.0

    def around(self, likely_h: float) -> Hours:
        """Hours around a likely figure."""
        return Hours(likely_h * self.low, likely_h, likely_h * self.high)


@dataclass(frozen=True, slots=True)
class WorkRate:
    """Hours of one person for one of what work is counted per; ``crew`` work together."""

    hours: Hours
    per: Per
    trade: str
    crew: int


@dataclass(frozen=True, slots=True)
class CrewHours:
    """The table: the crew's day and the hours of each trade. [h, persons, days]

    ``work`` holds what belongs to no piece, by its name in the table.
    """

    hours_a_day: float
    crew: float
    wet_days_a_year: float
    of: Mapping[str, TradeHours]
    spread: Spread = Spread()
    work: Mapping[str, WorkRate] = field(default_factory=dict)

    @property
    def day(self) -> float:
        """Hours of work in a day of the whole crew. [h]"""
        return self.hours_a_day * self.crew


def read_hours(text: str) -> CrewHours:
    """The table in a text (TOML).

    The spread and kinds of work that it leaves out are those that come with the program.

    Raises
    ------
    InputError
        If a trade is missing, or a figure is not a number of 0 or more.
    """
    shipped = invented_hours()
    table = _read(text)
    spread = table.spread if _tables(text).get("spread") else shipped.spread
    work = {**shipped.work, **table.work}
    return CrewHours(table.hours_a_day, table.crew, table.wet_days_a_year, table.of, spread, work)


def _tables(text: str) -> dict[str, object]:
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("hours", str(error), "TOML that can be read") from None


def _read(text: str) -> CrewHours:
    data = _tables(text)
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
    return CrewHours(day, crew, wet, rows, _spread(data.get("spread")), _work(data.get("work")))


def _spread(row: object) -> Spread:
    if row is None:
        return Spread()
    if not isinstance(row, Mapping):
        raise InputError("hours: spread", f"found {row!r}", "a table with low and high")
    low, high = _figure(row, "low", " of spread"), _figure(row, "high", " of spread")
    if not low <= 1.0 <= high:
        raise InputError("hours: spread", f"found {low:g} and {high:g}", "low <= 1 <= high")
    return Spread(low, high)


def _work(rows: object) -> dict[str, WorkRate]:
    if rows is None:
        return {}
    if not isinstance(rows, Mapping):
        raise InputError("hours: work", f"found {rows!r}", "tables such as [work.paint]")
    return {str(name): _work_rate(str(name), row) for name, row in rows.items()}


def _work_rate(name: str, row: object) -> WorkRate:
    where = f"hours: work.{name}"
    if not isinstance(row, Mapping):
        raise InputError(where, f"found {row!r}", "a table with hours, per, trade and crew")
    figures = row.get("hours")
    if not isinstance(figures, list) or len(figures) != 3:
        raise InputError(where, f"hours are {figures!r}", "three figures: low, likely, high")
    named = dict(zip(("low", "likely", "high"), figures, strict=True))
    hours = Hours(*(_figure(named, key, f" of work.{name}") for key in named))
    per, trade, crew = row.get("per"), row.get("trade"), row.get("crew", 1)
    if per not in tuple(Per):
        raise InputError(where, f"per is {per!r}", f"one of {', '.join(Per)}")
    if not isinstance(trade, str) or not trade:
        raise InputError(where, f"trade is {trade!r}", "the name of a trade")
    if not isinstance(crew, int) or isinstance(crew, bool) or not 1 <= crew <= 20:
        raise InputError(where, f"crew is {crew!r}", "a whole number from 1 to 20")
    return WorkRate(hours, Per(per), trade, crew)


def _figure(row: Mapping[str, object], key: str, where: str) -> float:
    value = row.get(key)
    plain = isinstance(value, int | float) and not isinstance(value, bool)
    if not plain or not math.isfinite(float(str(value))) or float(str(value)) < 0:
        raise InputError(f"hours: {key}{where}", f"found {value!r}", "a number of 0 or more")
    return float(str(value))


@cache
def invented_hours() -> CrewHours:
    """The invented table that comes with the program."""
    return _read((files("weatherlap.order") / "data" / "hours.toml").read_text("utf-8"))


def hours_off(corner: Corner, piece: int, table: CrewHours) -> float:
    """Hours to take a piece off. [h]"""
    return table.of[trade_of(corner, piece)].off


def hours_on(corner: Corner, piece: int, table: CrewHours) -> float:
    """Hours to lay a piece. [h]"""
    row = table.of[trade_of(corner, piece)]
    return float(row.on + row.on_per_ft2 * area_ft2(corner, piece))


def area_ft2(corner: Corner, piece: int) -> float:
    """Area of all panels of a piece. [ft2]"""
    own = corner.pieces[piece].panels
    return float(sum(corner.panels[p].polygon.area for p in own)) / IN2_PER_FT2
