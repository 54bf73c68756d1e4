"""Checks bars against M-205: a textbook's cutting-stock problem of four widths."""

from __future__ import annotations

from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.model import BarPiece, BarStock, CutRules, Way

DEMAND = ((45, 97), (36, 610), (31, 395), (14, 211))


def test_least_number_of_raws():
    """M-205: 453 raws of 100 are least; the number is from memory, the demand was seen."""
    plan = plan_bars(
        tuple(BarPiece(f"{width}", width, count) for width, count in DEMAND),
        stock=(BarStock("raw", 100, 1.0),),
        rules=CutRules(0.0, Way.SHEAR),
    )
    assert plan.count == 453
    assert plan.proven
