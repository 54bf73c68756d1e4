"""Checks guillotine patterns against M-203: published optima of gcut1, gcut5 and gcut9."""

from __future__ import annotations

import numpy as np
import pytest
from pytest import approx

from weatherlap.takeoff.cutting.guillotine import Rect, grid_of, pattern_of, worth_table

GCUT1 = (
    (167, 184), (114, 118), (167, 152), (83, 140), (70, 86), (143, 166), (120, 160), (66, 148),
    (87, 141), (69, 165),
)  # fmt: skip
GCUT5 = (
    (198, 205), (179, 155), (364, 236), (272, 147), (352, 145), (343, 245), (132, 174),
    (164, 250), (282, 356), (342, 151),
)  # fmt: skip
GCUT9 = (
    (310, 426), (673, 468), (426, 463), (325, 498), (555, 540), (292, 455), (343, 341),
    (362, 491), (305, 688), (459, 607),
)  # fmt: skip


@pytest.mark.parametrize(
    ("sheet", "sizes", "turned", "best"),
    [
        pytest.param(250, GCUT1, False, 56460, id="gcut1"),
        pytest.param(250, GCUT1, True, 58136, id="gcut1r"),
        pytest.param(500, GCUT5, False, 246000, id="gcut5"),
        pytest.param(500, GCUT5, True, 246000, id="gcut5r"),
        pytest.param(1000, GCUT9, False, 971100, id="gcut9"),
    ],
)
def test_best_area_of_one_sheet(sheet, sizes, turned, best):
    """M-203: the best pattern covers the published area exactly, and its pieces add up to it."""
    rects = [Rect(n, w, h) for n, (w, h) in enumerate(sizes)]
    if turned:
        rects += [Rect(n, h, w) for n, (w, h) in enumerate(sizes)]
    worth = np.array([float(w * h) for w, h in sizes])
    grid = grid_of(tuple(rects), counts=(99,) * len(sizes), across=sheet, along=sheet)
    assert grid is not None
    table = worth_table(grid, worth)
    assert table[-1, -1] == approx(best, abs=0.5)
    pattern = pattern_of(grid, table, worth, across=sheet, along=sheet)
    assert sum(worth[rect.size] for rect, _, _ in pattern.places) == approx(best, abs=0.5)
