"""Records of cutting bars: stock, pieces, the saw, and the plan that comes out.

Lengths are inches and are worked out in 64ths: pieces and kerf rounded up, stock rounded down.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError
from weatherlap.units import tape

PARTS = 64
MOST_PIECES = 5000
MOST_SIZES = 400
LONGEST_IN = 3600.0
MOST_WORK = 30_000_000
DEAREST_USD = 100_000.0


class Way(StrEnum):
    """How a cut is made: a saw takes its kerf away, snips and a shear take nothing."""

    SAW = "saw"
    SHEAR = "shear"


@dataclass(frozen=True, slots=True)
class CutRules:
    """How pieces come off a bar. [in]

    ``end_trim_in`` is squared off each end of new stock; leftovers from ``keep_in`` on are worth
    keeping.
    """

    kerf_in: float = 1 / 8
    way: Way = Way.SAW
    end_trim_in: float = 0.0
    keep_in: float = 24.0

    def __post_init__(self) -> None:
        if self.way is Way.SAW and not 0 < self.kerf_in <= 1:
            do = "Measure a cut, or say that it is sheared."
            raise InputError("kerf", _shown(self.kerf_in), 'more than 0" and at most 1"', do)
        if self.way is Way.SHEAR and self.kerf_in != 0:
            raise InputError("kerf", _shown(self.kerf_in), '0" where it is sheared')
        bounded("end trim", self.end_trim_in, least=0.0, most=24.0)
        bounded("shortest leftover to keep", self.keep_in, least=0.0, most=LONGEST_IN)


@dataclass(frozen=True, slots=True)
class BarStock:
    """A length that can be bought, or a leftover on hand. [in, US$]

    ``on_hand`` is how many there are; None for as many as are wanted.
    """

    id: str
    length_in: float
    price_usd: float
    on_hand: int | None = None

    def __post_init__(self) -> None:
        bounded(f"stock {self.id}", self.length_in, least=1.0, most=LONGEST_IN)
        bounded(f"price of {self.id}", self.price_usd, least=0.0, most=DEAREST_USD, unit="US$")
        if self.on_hand is not None:
            whole(f"{self.id} on hand", self.on_hand, least=0)


@dataclass(frozen=True, slots=True)
class BarPiece:
    """Pieces of one length to cut. [in]"""

    id: str
    length_in: float
    count: int = 1

    def __post_init__(self) -> None:
        bounded(f"piece {self.id}", self.length_in, least=1 / 16, most=LONGEST_IN)
        whole(f"count of {self.id}", self.count, least=1)


@dataclass(frozen=True, slots=True)
class CutBar:
    """One bar, or several cut alike. [in, US$]

    ``piece_ids`` are in the order of cutting, ``marks_in`` where each ends, measured along the
    bar from its squared end, so that the kerf before it is allowed for.
    """

    stock_id: str
    stock_in: float
    price_usd: float
    times: int
    piece_ids: tuple[str, ...]
    lengths_in: tuple[float, ...]
    marks_in: tuple[float, ...]
    leftover_in: float
    keep: bool


@dataclass(frozen=True, slots=True)
class BarPlan:
    """A cutting plan with its bound. [US$, in]

    No plan can cost less than ``least_usd``; where nothing has a price that is None, and no plan
    can use less stock than ``least_stock_in``.
    """

    bars: tuple[CutBar, ...]
    cost_usd: float
    stock_in: float
    pieces_in: float
    least_usd: float | None
    least_stock_in: float | None

    @property
    def count(self) -> int:
        """How many bars are used."""
        return sum(bar.times for bar in self.bars)

    @property
    def proven(self) -> bool:
        """Whether no cheaper plan exists."""
        return self.gap <= 1e-9

    @property
    def gap(self) -> float:
        """How far cost (or stock) may be above the least possible, as a part of it. [-]"""
        if self.least_usd is not None:
            return max(0.0, (self.cost_usd - self.least_usd) / max(self.cost_usd, 0.01))
        return max(0.0, (self.stock_in - (self.least_stock_in or 0.0)) / self.stock_in)

    @property
    def wasted(self) -> float:
        """Part of the stock used that is neither piece nor leftover worth keeping. [-]"""
        kept = sum(bar.leftover_in * bar.times for bar in self.bars if bar.keep)
        return 1 - (self.pieces_in + kept) / self.stock_in

    def bound_words(self) -> str:
        """The proof or the gap in words, as a cut list prints it."""
        if self.proven:
            return "Proven: no plan costs less."
        return f"Not proven least: at most {100 * self.gap:.1f} % could be saved."


def bounded(where: str, value: float, *, least: float, most: float, unit: str = "in") -> None:
    """Nothing if a value is a number within bounds.

    Raises
    ------
    InputError
        If it is not finite or out of bounds.
    """
    real = isinstance(value, int | float) and not isinstance(value, bool)
    if not (real and math.isfinite(value) and least <= value <= most):
        raise InputError(where, f"{value!r}", f"{least:g} to {most:g} {unit}")


def whole(where: str, value: int, *, least: int) -> None:
    """Nothing if a count is a whole number within bounds.

    Raises
    ------
    InputError
        If it is not.
    """
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= MOST_PIECES:
        raise InputError(where, f"{value!r}", f"a whole number from {least} to {MOST_PIECES}")


def distinct(where: str, ids: Iterable[str]) -> None:
    """Nothing if no id comes twice.

    Raises
    ------
    InputError
        If one does; names it.
    """
    seen: set[str] = set()
    for one in ids:
        if one in seen:
            raise InputError(where, f"{one!r} twice", "each id once", "Add the counts up.")
        seen.add(one)


def not_too_many(counts: list[int], sizes: int) -> None:
    """Nothing if a plan of this size can be worked out.

    Raises
    ------
    InputError
        If there are no pieces, too many of them, or too many sizes.
    """
    if not counts:
        raise InputError("pieces", "none", "at least one piece to cut")
    if sum(counts) > MOST_PIECES:
        raise InputError("pieces", f"{sum(counts)} of them", f"at most {MOST_PIECES} in one plan")
    if sizes > MOST_SIZES:
        raise InputError("pieces", f"{sizes} sizes", f"at most {MOST_SIZES} in one plan")


def not_too_fine(capacity: int, sizes: int) -> None:
    """Nothing if tables over every place of the stock can be held.

    Raises
    ------
    InputError
        If long stock is to be cut to many sizes that have no common measure.
    """
    if capacity * sizes > MOST_WORK:
        raise InputError(
            "stock",
            f"{sizes} sizes on stock of {capacity} steps",
            f"at most {MOST_WORK} steps in all",
            "Round the sizes to sixteenths, or plan fewer sizes or shorter stock at a time.",
        )


def up(inches: float) -> int:
    """64ths, rounded up."""
    return math.ceil(inches * PARTS - 1e-6)


def down(inches: float) -> int:
    """64ths, rounded down."""
    return math.floor(inches * PARTS + 1e-6)


def _shown(inches: float) -> str:
    return tape(inches, sixteenths=64) if math.isfinite(inches) else f"{inches}"
