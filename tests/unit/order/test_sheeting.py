"""Sheets of a cover: they hold all that is open, follow it, and go over one another."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st
from shapely import box, union_all

from weatherlap.order.sheeting import area, sheets

EDGE = (0.0, 0.0, 400.0, 240.0)
BOXES = st.lists(
    st.tuples(st.floats(0, 380), st.floats(0, 220), st.floats(1, 90), st.floats(1, 90)).map(
        lambda t: (t[0], t[1], min(t[0] + t[2], 400.0), min(t[1] + t[3], 240.0))
    ),
    min_size=1, max_size=6,
)  # fmt: skip


@given(BOXES)
def test_sheets_hold_all_that_is_open(boxes: list[tuple[float, float, float, float]]) -> None:
    """Every box, and 6 in round it as far as the face goes, lies under the sheets."""
    found = union_all([box(*s) for s in sheets(boxes, lap_in=6.0, edge=EDGE)])
    for b in boxes:
        wide = box(b[0] - 6, b[1] - 6, b[2] + 6, b[3] + 6).intersection(box(*EDGE))
        assert wide.difference(found.buffer(1e-6)).area < 1e-6


@given(BOXES)
def test_sheets_never_take_more_cloth_than_one_box(
    boxes: list[tuple[float, float, float, float]],
) -> None:
    """Without laps the sheets are no more than the box around everything."""
    whole = union_all([box(*b) for b in boxes]).envelope.area
    assert sum(area(s) for s in sheets(boxes, lap_in=0.0, edge=EDGE)) <= whole + 1e-6


def test_a_high_and_a_wide_opening_get_a_sheet_each() -> None:
    """A post 12 ft high beside a band 2 ft high: two sheets, 6 in over each other."""
    boxes = [(100.0, 20.0, 120.0, 164.0), (120.0, 20.0, 340.0, 44.0)]
    first, second = sheets(boxes, lap_in=6.0, edge=EDGE)
    assert first == (94.0, 14.0, 132.0, 170.0)
    assert second == (126.0, 14.0, 346.0, 50.0)


def test_small_steps_are_not_cut() -> None:
    """Where one box costs little more cloth than two sheets it is one."""
    assert len(sheets([(0, 0, 50, 60), (50, 0, 100, 50)], lap_in=6.0, edge=EDGE)) == 1
