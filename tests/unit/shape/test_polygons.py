"""Plain checks of polygons."""

from __future__ import annotations

import re

import pytest
from shapely import LineString, Polygon, box

from weatherlap.shape.polygons import outline_fault, overlaps, sticks_out, widened

NOTCHED = Polygon([(0, 0), (10, 0), (10, 10), (6, 10), (6, 4), (4, 4), (4, 10), (0, 10)])


@pytest.mark.parametrize(
    ("points", "words"),
    [
        ([(0, 0), (10, 10), (10, 0), (0, 10)], "crosses itself near \\[5, 5\\]"),
        ([(0, 0), (5, 0), (10, 0)], "no area"),
        ([(0, 0), (0, 0), (10, 0), (5, 5)], "corners 1 and 2"),
        ([(0, 0), (10, 0), (5, 5), (0, 0)], "corners 4 and 1"),
        ([(0, 0), (10, 0), (10, 0.05), (0, 0.05)], "thinner than 1/16"),
    ],
)
def test_an_unfit_outline_is_named(points: list[tuple[float, float]], words: str) -> None:
    """An outline that cannot be used must be answered with what is wrong."""
    fault = outline_fault(points)
    assert fault is not None
    assert re.search(words, fault)


@pytest.mark.parametrize("points", [[(0, 0), (9, 0), (0, 9)], list(NOTCHED.exterior.coords)[:-1]])
def test_a_good_outline_has_no_fault(points: list[tuple[float, float]]) -> None:
    """A good outline must pass in either direction."""
    assert outline_fault(points) is None
    assert outline_fault(points[::-1]) is None


def test_how_far_a_shape_sticks_out() -> None:
    """The farthest place beyond the edge must be measured, in notches too."""
    assert sticks_out(box(0, 0, 12.5, 5), box(0, 0, 10, 10))[0] == pytest.approx(2.5)
    assert sticks_out(box(1, 1, 2, 2), box(0, 0, 10, 10))[0] == 0
    beyond, (u, v) = sticks_out(box(3, 3, 7, 8), NOTCHED)
    assert beyond == pytest.approx(1.0)
    assert (u, v) == pytest.approx((5, 6), abs=2)
    assert sticks_out(LineString([(5, 5), (5, 13)]), box(0, 0, 10, 10))[0] == pytest.approx(3)


def test_a_widened_shape_takes_a_sixteenth_more() -> None:
    """A shape over the edge by 1/16 in must lie on the widened one, by more not."""
    wide = widened(box(0, 0, 10, 10))
    assert wide.covers(box(-1 / 16, -1 / 16, 10 + 1 / 16, 10))
    assert not wide.covers(box(-0.07, 0, 10, 10))


def test_overlaps_under_a_sixteenth_count_as_none() -> None:
    """Two shapes overlap only where they share a patch wider than 1/16 in."""
    assert overlaps(box(0, 0, 10, 10), box(9.9, 0, 20, 10))
    assert not overlaps(box(0, 0, 10, 10), box(9.95, 0, 20, 10))
    assert not overlaps(box(0, 0, 10, 10), box(11, 0, 20, 10))
