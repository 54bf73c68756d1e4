"""Amounts: three-point values, and dollars that are rounded once and add up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.errors import InputError

CENTS = 100


@dataclass(frozen=True, slots=True)
class Three:
    """An amount that is hardly ever less, most likely, hardly ever more: the ends of a triangle."""

    low: float
    likely: float
    high: float

    def __post_init__(self) -> None:
        """Refuse amounts that are out of order or below nothing."""
        if not (0 <= self.low <= self.likely <= self.high and math.isfinite(self.high)):
            raise InputError(
                "a three-point value",
                f"found {self.low:g}, {self.likely:g}, {self.high:g}",
                "three numbers of 0 or more, the low one first",
            )

    @property
    def mean(self) -> float:
        """Mean of the triangle, in the unit of the amount.

        Sources
        -------
        E-001 : triangular distribution.
        """
        return (self.low + self.likely + self.high) / 3.0

    @property
    def spread(self) -> float:
        """Standard deviation of the triangle, in the unit of the amount.

        Sources
        -------
        E-001 : triangular distribution.
        """
        a, m, b = self.low, self.likely, self.high
        return math.sqrt(max(a * a + m * m + b * b - a * m - a * b - m * b, 0.0) / 18.0)

    def times(self, factor: float) -> Three:
        """The same for so many. [-]"""
        return Three(self.low * factor, self.likely * factor, self.high * factor)

    def plus(self, other: Three) -> Three:
        """Both."""
        return Three(self.low + other.low, self.likely + other.likely, self.high + other.high)


NOTHING = Three(0.0, 0.0, 0.0)


def sure(amount: float) -> Three:
    """An amount that is known."""
    return Three(amount, amount, amount)


def in_cents(usd: float) -> int:
    """Dollars as whole cents, half a cent up."""
    return math.floor(usd * CENTS + 0.5)


def usd_text(cents: int) -> str:
    """Cents as dollars are written."""
    sign = "-" if cents < 0 else ""
    return f"{sign}${abs(cents) // CENTS:,}.{abs(cents) % CENTS:02d}"


def about_usd(usd: float) -> str:
    """Dollars without cents, for what is only reckoned."""
    return f"${usd:,.0f}" if usd >= 0 else f"-${-usd:,.0f}"


def shared_out(total: int, weights: Sequence[float]) -> tuple[int, ...]:
    """A whole number shared out by weights, so that the shares add up to it exactly.

    What is left by rounding down goes to the largest remainders, the first ones first.

    Raises
    ------
    InputError
        If the weights are negative or all nothing.
    """
    whole = math.fsum(weights)
    if not weights or min(weights) < 0 or whole <= 0:
        raise InputError(
            "shares", "weights below 0, or all of them 0", "weights of which one is more"
        )
    exact = [total * w / whole for w in weights]
    floors = [math.floor(x) for x in exact]
    left = total - sum(floors)
    order = sorted(range(len(exact)), key=lambda k: (floors[k] - exact[k], k))
    for k in order[:left]:
        floors[k] += 1
    return tuple(floors)
