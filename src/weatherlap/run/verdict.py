"""The verdict on a corner, in one sentence."""

from __future__ import annotations

from weatherlap.water.trace import Trace
from weatherlap.water.wording import amount


def verdict(trace: Trace) -> str:
    """Whether the corner drains, and if not, at how many places and how much goes wrong."""
    if trace.clean:
        return "All the rain that lands here runs off clear or into a gutter, on both layers."
    wrong = sum(row.per_year_l for row in trace.ends if row.end.is_trouble)
    count = len(trace.findings)
    noun = "place" if count == 1 else "places"
    return f"Water gets in, or cannot get out, at {count} {noun}: {amount(wrong)} in a usual year."
