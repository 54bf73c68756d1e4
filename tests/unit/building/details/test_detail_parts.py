"""Parts and courses that details are drawn from."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon, box

from weatherlap.building.details.courses import (
    BOARDS,
    SHINGLE_EXPOSURE_IN,
    lap_siding,
    shingles,
    steps,
)
from weatherlap.building.details.model import comment_rows
from weatherlap.building.details.parts import (
    Drawn,
    Slant,
    down_to_sixteenth,
    patches,
    sixteenth,
    up_to_sixteenth,
)
from weatherlap.job.model import Edge, PieceRecord

LENGTHS = st.floats(-500, 500, allow_nan=False)


def record(line: Drawn) -> PieceRecord:
    """The piece of a drawn line."""
    assert isinstance(line.record, PieceRecord)
    return line.record


def rects(lines: list[Drawn]) -> list[tuple[float, ...]]:
    """The rectangles of pieces with one panel each."""
    return [record(line).on[0].rect or () for line in lines]


@given(LENGTHS)
def test_lengths_go_to_the_marks_of_the_tape(inches: float) -> None:
    """Down, nearest and up are marks around the length, none further than a mark away."""
    low, near, high = down_to_sixteenth(inches), sixteenth(inches), up_to_sixteenth(inches)
    assert all((mark * 16).is_integer() for mark in (low, near, high))
    assert low - 1e-6 <= inches <= high + 1e-6
    assert high - low <= 1 / 16
    assert abs(near - inches) <= 1 / 32


@given(st.floats(0, 100), st.floats(0.2, 1.0))
def test_the_foot_of_a_slant_leaves_no_gap(across: float, slope: float) -> None:
    """A foot stands on its line or under it by less than a mark; square heights are kept."""
    line = Slant(10.0, 24.0, slope)
    u, v = line.foot(across)
    assert u == across
    assert -1e-6 <= line.at(across) - v < 1 / 16
    assert line.upright(4.0) >= 4.0 * (1 + slope**2) ** 0.5 - 1e-6


def test_siding_laps_each_course_over_the_one_below() -> None:
    """Courses of 7 in that lap 1 1/4 in fill a wall of 20 in with three boards."""
    lines = lap_siding("wall", box(0, 3, 48, 23), BOARDS)
    assert [record(line).id for line in lines] == ["siding-1", "siding-2", "siding-3"]
    assert rects(lines) == [(0, 3, 48, 11.25), (0, 10, 48, 18.25), (0, 17, 48, 23)]


def test_siding_is_cut_round_an_opening() -> None:
    """A course beside an opening has a panel on each side of it."""
    lines = lap_siding("wall", box(0, 0, 60, 21).difference(box(20, 5, 40, 16)), BOARDS)
    middle = record(lines[1])
    assert [panel.rect for panel in middle.on] == [(0, 7, 20, 15.25), (40, 7, 60, 15.25)]


def test_only_the_courses_asked_for_are_caulked() -> None:
    """A sealed course has a sealed lower edge, the others none."""
    lines = lap_siding("wall", box(0, 0, 48, 21), BOARDS, sealed=(2,))
    assert [record(line).sealed for line in lines] == [(), (Edge.BOTTOM,), ()]


def test_a_slanted_region_is_cut_to_the_tape() -> None:
    """The corners of a board along a roof line are marks of the tape."""
    region = Polygon([(0, 0), (0, 20), (30, 20), (30, 10.3)])
    for panel in patches("wall", region):
        assert panel.outline is not None
        assert all((value * 16).is_integer() for corner in panel.outline for value in corner)


def test_a_sliver_is_not_cut() -> None:
    """What is thinner than 1/8 in everywhere is left out."""
    assert not list(patches("wall", box(0, 0, 48, 0.1)))


@given(st.integers(16 * 16, 200 * 16))
def test_step_flashings_lap_two_inches_and_reach_the_top(sixteenths: int) -> None:
    """Each laps the one below by 2 in or more, and the last one ends with the roof."""
    found = steps(sixteenths / 16)
    assert found[0].low == 0
    assert found[-1].high == sixteenths / 16
    for below, this in pairwise(found):
        assert below.high - this.low >= 2.0
        assert this.low > below.low


def test_flashings_are_laid_alternately_with_the_courses() -> None:
    """The starter comes first, then flashing 0, course 1, flashing 1, course 2 and so on."""
    between = [Drawn(record(line).model_copy(update={"id": f"step-{k}"})) for k, line in
               enumerate(lap_siding("roof", box(0, 0, 8, 21), BOARDS))]  # fmt: skip
    order = [record(line).id for line in shingles("roof", (0, 36), 12.0, between=between)]
    assert order == ["starter", "step-0", "shingle-1", "step-1", "shingle-2", "step-2", "shingle-3"]


def test_shingles_show_their_exposure() -> None:
    """Each course begins an exposure above the one before and reaches 13 1/4 in up."""
    lines = [line for line in shingles("roof", (0, 36), 60.0) if "shingle" in record(line).id]
    found = rects(lines)
    assert [r[1] for r in found] == [k * SHINGLE_EXPOSURE_IN for k in range(11)]
    assert found[0][3] == 13.25
    assert found[-1][3] == 60.0


def test_comments_are_broken_into_rows() -> None:
    """A long comment becomes rows that each begin with the sign and stay under 97 letters."""
    rows = comment_rows("word " * 60)
    assert len(rows) > 2
    assert all(row.startswith("# ") and len(row) <= 96 for row in rows)


@pytest.mark.parametrize("text", ["", "one"])
def test_short_comments_take_one_row_at_most(text: str) -> None:
    """No text gives no row."""
    assert len(comment_rows(text)) == (1 if text else 0)
