"""The cost book: wages, goods, equipment, overhead and profit, from a plain table of the firm."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files
from typing import Any

from weatherlap.errors import InputError
from weatherlap.money.amounts import Three, sure


class ProfitIs(StrEnum):
    """What the figure for profit is a part of."""

    MARKUP = "markup"
    MARGIN = "margin"


class TaxOn(StrEnum):
    """What sales tax is reckoned on."""

    PRICE = "price"
    GOODS = "goods"


@dataclass(frozen=True, slots=True)
class Equipment:
    """What is hired or worn out for one kind of task. [USD]"""

    text: str
    usd: Three


@dataclass(frozen=True, slots=True)
class MendCost:
    """What one unit of hidden damage takes: hours of one person and goods. [h, USD]"""

    unit: str
    hours: Three
    goods_usd: Three


@dataclass(frozen=True, slots=True)
class OnTop:
    """What comes on top of the cost, in order: contingency, overhead, profit, tax. [-, USD]

    ``carry`` is the chance that the visible work costs no more than is carried for it, or None.
    """

    carry: float | None
    overhead: float
    profit: float
    profit_is: ProfitIs
    tax: float
    tax_on: TaxOn
    round_to_usd: float


@dataclass(frozen=True, slots=True)
class LookCost:
    """One more hole or reading, and what it costs to be surprised. [h, h, -]"""

    hours: float
    surprise_hours: float
    late_factor: float


@dataclass(frozen=True, slots=True)
class CostBook:
    """The whole book. [USD/h, -, USD, USD/lb]"""

    name: str
    wages_usd: Mapping[str, float]
    burden: Mapping[str, float]
    billed_share: float
    goods_spread: Three
    small_things: float
    equipment: Mapping[str, Equipment]
    disposal_per_lb: Three
    disposal_least: Three
    permit_fee: Three
    inspection_fee: Three
    on_top: OnTop
    together_visible: float
    together_hidden: float
    mend: Mapping[str, MendCost]
    look: LookCost

    @property
    def burden_share(self) -> float:
        """All burden on a dollar of wages. [-]"""
        return math.fsum(self.burden.values())

    def hour_usd(self, trade: str) -> float:
        """What an hour on the job costs the firm. [USD/h]"""
        wage = self.wages_usd.get(trade, self.wages_usd["other"])
        return hour_cost_usd_per_h(wage, self.burden_share, self.billed_share)

    def mend_of(self, role: str) -> MendCost:
        """What one unit of damage costs on a piece of a role."""
        return self.mend.get(role, self.mend["other"])


def hour_cost_usd_per_h(wage: float, burden: float, billed_share: float) -> float:
    """What an hour on the job costs: wage with burden, over the share of hours on jobs. [USD/h]

    Parameters
    ----------
    wage : float
        What an hour pays. [USD/h]
    burden : float
        What is paid on each dollar of wages besides. [-]
    billed_share : float
        Hours on jobs out of hours paid. [-]

    Sources
    -------
    E-004 : billing rate = wage (1 + burden) / utilisation.
    """
    return wage * (1.0 + burden) / billed_share


class _Rows:
    """A table of the book that is read key by key, with errors that name the place."""

    def __init__(self, data: Mapping[str, Any], where: str) -> None:
        self.data, self.where = data, where

    def table(self, key: str) -> _Rows:
        row = self.data.get(key)
        if not isinstance(row, Mapping):
            raise InputError(self._at(key), "it is missing", f"a table [{self._name(key)}]")
        return _Rows(row, self._at(key))

    def number(self, key: str, *, least: float = 0.0, most: float = 1e9) -> float:
        value = self.data.get(key)
        plain = isinstance(value, int | float) and not isinstance(value, bool)
        if not plain or not math.isfinite(float(str(value))):
            raise InputError(self._at(key), f"found {value!r}", "a number")
        if not least <= float(str(value)) <= most:
            want = f"a number from {least:g} to {most:g}" if most < 1e9 else f"{least:g} or more"
            raise InputError(self._at(key), f"found {value!r}", want)
        return float(str(value))

    def three(self, key: str) -> Three:
        value = self.data.get(key)
        if not isinstance(value, list):
            return sure(self.number(key))
        if len(value) != 3:
            raise InputError(self._at(key), f"found {value!r}", "three numbers: low, likely, high")
        row = _Rows(dict(zip(("low", "likely", "high"), value, strict=True)), self._at(key))
        low, likely, high = (row.number(name) for name in ("low", "likely", "high"))
        if not low <= likely <= high:
            raise InputError(self._at(key), f"found {value!r}", "the low one first, the high last")
        return Three(low, likely, high)

    def text(self, key: str) -> str:
        value = self.data.get(key)
        if not isinstance(value, str) or not value or len(value) > 300:
            raise InputError(self._at(key), f"found {value!r}", "a short text")
        return value

    def numbers(self, *, most: float) -> dict[str, float]:
        return {str(key): self.number(str(key), most=most) for key in self.data}

    def only(self, *names: str) -> None:
        for key in self.data:
            if key not in names:
                raise InputError(self._at(str(key)), "no such key", f"one of {', '.join(names)}")

    def _name(self, key: str) -> str:
        return f"{self.where}.{key}".removeprefix("cost book.").removeprefix("cost book: ")

    def _at(self, key: str) -> str:
        head = self.where if self.where != "cost book" else ""
        return f"{head}.{key}" if head else f"cost book: {key}"


_TABLES = (
    "name", "wages", "burden", "hours", "goods", "equipment", "disposal", "fees", "on_top",
    "together", "mend", "look",
)  # fmt: skip


def read_costbook(text: str) -> CostBook:
    """The cost book in a text (TOML).

    Raises
    ------
    InputError
        If a table or figure is missing, out of its range, or not known.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("cost book", str(error), "TOML that can be read") from None
    rows = _Rows(data, "cost book")
    rows.only(*_TABLES)
    goods, disposal, fees = rows.table("goods"), rows.table("disposal"), rows.table("fees")
    together, look = rows.table("together"), rows.table("look")
    wages = rows.table("wages").numbers(most=2000)
    mend = {key: _mend(rows.table("mend").table(key)) for key in rows.table("mend").data}
    _must_have(wages, "wages")
    _must_have(mend, "mend")
    return CostBook(
        name=rows.text("name"),
        wages_usd=wages,
        burden=rows.table("burden").numbers(most=3.0),
        billed_share=rows.table("hours").number("billed_share", least=0.05, most=1.0),
        goods_spread=goods.three("spread"),
        small_things=goods.number("small_things", most=1.0),
        equipment=_equipment(rows),
        disposal_per_lb=disposal.three("usd_per_lb"),
        disposal_least=disposal.three("least"),
        permit_fee=fees.three("permit"),
        inspection_fee=fees.three("inspection"),
        on_top=_on_top(rows.table("on_top")),
        together_visible=together.number("visible", most=0.99),
        together_hidden=together.number("hidden", most=0.99),
        mend=mend,
        look=LookCost(
            look.number("hours"), look.number("surprise_hours"),
            look.number("late_factor", least=1.0, most=20.0),
        ),
    )  # fmt: skip


def _must_have(rows: Mapping[str, object], table: str) -> None:
    if "other" not in rows:
        raise InputError(f"cost book: {table}.other", "it is missing", "a row for all the rest")


def _equipment(rows: _Rows) -> dict[str, Equipment]:
    if "equipment" not in rows.data:
        return {}
    table = rows.table("equipment")
    kinds = {key: table.table(key) for key in table.data}
    return {key: Equipment(row.text("text"), row.three("usd")) for key, row in kinds.items()}


def _mend(row: _Rows) -> MendCost:
    return MendCost(row.text("unit"), row.three("hours"), row.three("goods"))


def _on_top(row: _Rows) -> OnTop:
    row.only("carry", "overhead", "profit", "profit_is", "tax", "tax_on", "round_to")
    carry = None if row.data.get("carry") == "none" else row.number("carry", least=0.5, most=0.99)
    kinds, taxed = tuple(ProfitIs), tuple(TaxOn)
    if row.data.get("profit_is") not in kinds:
        want = 'profit_is = "markup" (part of cost) or "margin" (part of the price)'
        found = f"found {row.data.get('profit_is')!r}"
        raise InputError("cost book: on_top.profit_is", found, want)
    if row.data.get("tax_on") not in taxed:
        found = f"found {row.data.get('tax_on')!r}"
        raise InputError("cost book: on_top.tax_on", found, f"one of {', '.join(taxed)}")
    return OnTop(
        carry=carry,
        overhead=row.number("overhead", most=3.0),
        profit=row.number("profit", most=3.0 if row.data["profit_is"] == "markup" else 0.95),
        profit_is=ProfitIs(row.data["profit_is"]),
        tax=row.number("tax", most=0.5),
        tax_on=TaxOn(row.data["tax_on"]),
        round_to_usd=row.number("round_to", least=0.01, most=10000),
    )


@cache
def invented_costbook() -> CostBook:
    """The invented cost book that comes with the program."""
    return read_costbook(invented_text())


@cache
def invented_text() -> str:
    """The text of the invented cost book, to be copied and edited."""
    return (files("weatherlap.money") / "data" / "costbook.toml").read_text("utf-8")
