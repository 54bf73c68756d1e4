"""Checks bars against M-204: the cutting-stock problem of thirteen roll widths."""

from __future__ import annotations

from weatherlap.takeoff.cutting.covering import cover
from weatherlap.takeoff.cutting.knapsack import Holder, Sizes

WIDTHS = (1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200)
COUNTS = (22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20)


def test_the_demand_is_the_printed_one():
    """M-204: the widths times their counts are 407160 mm, at least 72.7 rolls of 5600 mm."""
    assert sum(w * c for w, c in zip(WIDTHS, COUNTS, strict=True)) == 407160


def test_seventy_three_rolls():
    """M-204: 73 rolls are enough, and proven to be least."""
    found = cover(Sizes(WIDTHS, COUNTS), holders=(Holder(5600, 1, len(WIDTHS)),))
    assert (found.cost, found.bound) == (73, 73)
    given = [0] * len(WIDTHS)
    for (_, fill), times in found.columns:
        assert sum(f * w for f, w in zip(fill, WIDTHS, strict=True)) <= 5600
        given = [g + f * times for g, f in zip(given, fill, strict=True)]
    assert all(g >= c for g, c in zip(given, COUNTS, strict=True))
