"""What a change costs, from a small table that the firm can edit."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from weatherlap.building.corner import Corner
from weatherlap.building.laps import overlaps
from weatherlap.errors import InputError
from weatherlap.job.model import Change, Do
from weatherlap.water.newpieces import Remedy, moved_strip

IN_PER_FT = 12.0


@dataclass(frozen=True, slots=True)
class ChangeCost:
    """Cost of one kind of change. [h, h/ft, USD/ft]"""

    hours: float
    hours_per_ft: float
    material_per_ft: float


@dataclass(frozen=True, slots=True)
class MendCosts:
    """The whole table. [USD/h, h for each covering piece]"""

    rate_per_hour: float
    reach_hours: float
    of: Mapping[Do, ChangeCost]


def read_costs(text: str) -> MendCosts:
    """The table in a text (TOML).

    Raises
    ------
    InputError
        If a kind of change is missing, or a figure is not a number of 0 or more.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("mend costs", str(error), "TOML that can be read") from None
    rows = {do: _row(data, do.value) for do in Do}
    return MendCosts(_figure(data, "rate_per_hour", ""), _figure(data, "reach_hours", ""), rows)


def _row(data: Mapping[str, object], name: str) -> ChangeCost:
    row = data.get(name)
    if not isinstance(row, Mapping):
        raise InputError("mend costs", f"no table [{name}]", "one for each kind of change")
    keys = ("hours", "hours_per_ft", "material_per_ft")
    return ChangeCost(*(_figure(row, key, f" of [{name}]") for key in keys))


def _figure(row: Mapping[str, object], key: str, where: str) -> float:
    value = row.get(key)
    number = isinstance(value, int | float) and not isinstance(value, bool)
    if not number or not math.isfinite(float(str(value))) or float(str(value)) < 0:
        raise InputError(f"mend costs: {key}{where}", f"found {value!r}", "a number of 0 or more")
    return float(str(value))


@cache
def invented_costs() -> MendCosts:
    """The invented table that comes with the program."""
    place = files("weatherlap.water") / "data" / "mend_costs.toml"
    return read_costs(place.read_text("utf-8"))


class Pricer:
    """Prices remedies on one corner."""

    def __init__(self, corner: Corner, costs: MendCosts) -> None:
        self._corner = corner
        self._costs = costs
        self._covers: dict[int, set[int]] = {}
        for i, j in overlaps(corner):
            a, b = corner.panels[i].piece, corner.panels[j].piece
            outer, inner = (a, b) if corner.outside(a, b) else (b, a)
            self._covers.setdefault(inner, set()).add(outer)

    def cost(self, remedy: Remedy) -> float:
        """What a remedy costs, with what must come off to reach its pieces. [USD]"""
        named = {self._corner.piece_named[p].index for p in remedy.pieces()}
        off: set[int] = set()
        for change in remedy.changes:
            for name in {change.piece, change.over} - {None}:
                off |= self._in_the_way(change, self._corner.piece_named[name or ""].index)
        off -= named
        behind = {b for c in remedy.changes if c.new is not None for b in c.new.behind}
        reach = self._costs.reach_hours * (len(off) + len(behind)) * self._costs.rate_per_hour
        return reach + sum(self._own(change) for change in remedy.changes)

    def _in_the_way(self, change: Change, piece: int) -> set[int]:
        """What covers a piece; where it is only trimmed, what covers the strip that goes."""
        covers = self._covers.get(piece, set())
        if change.do is not Do.EXTEND or change.by is None or change.by > 0:
            return covers
        strips = [
            moved_strip(panel.polygon, change.side, change.by)
            for panel in map(self._corner.panels.__getitem__, self._corner.pieces[piece].panels)
            if self._corner.faces[panel.face].id == change.face
        ]
        return {
            c
            for c in covers
            for p in self._corner.pieces[c].panels
            if self._corner.faces[self._corner.panels[p].face].id == change.face
            and any(self._corner.panels[p].polygon.intersects(strip) for strip in strips)
        }

    def _own(self, change: Change) -> float:
        row = self._costs.of[change.do]
        feet = self._length_in(change) / IN_PER_FT
        hours = row.hours + row.hours_per_ft * feet
        return hours * self._costs.rate_per_hour + row.material_per_ft * feet

    def _length_in(self, change: Change) -> float:
        if change.new is not None:
            return max((p.rect[2] - p.rect[0] for p in change.new.on if p.rect), default=0.0)
        piece = self._corner.piece_named[change.subject]
        widths = (self._corner.panels[p].polygon.bounds for p in piece.panels)
        return max((b[2] - b[0] for b in widths), default=0.0)
