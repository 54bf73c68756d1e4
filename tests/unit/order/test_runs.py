"""Runs: laid out between marks, lap by lap, with the bite in the channels."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.job.model import Run
from weatherlap.order.runs import (
    BELLY_GUST_M_PER_S,
    at_least,
    at_most,
    belly_shortening_in,
    lay_out,
    needed_bite_in,
)


def run(**more: Any) -> Run:
    """Eight foot of panels that can show 11 3/4 to 12 1/4 in."""
    usual = {"id": "s", "face": "f", "start": 0, "end": 96, "least": 11.75, "most": 12.25}
    return Run.model_validate(usual | more)


def laid(run_: Run, count: int) -> Any:
    """The layout in the gust that bellies by 1/20."""
    return lay_out(run_, count, gust_m_per_s=BELLY_GUST_M_PER_S)


def test_laps_are_drawn_out_and_closed_to_land_on_the_mark() -> None:
    """With the fourth joint taped at 48 1/2 in, four laps open 1/8 in and four close 1/8 in."""
    layout = laid(run(marks=[{"after": 4, "at": 48.5}]), 8)
    assert layout.places[3].end_in == 48.5
    assert [p.stretch_in for p in layout.places] == [0.125] * 4 + [-0.125] * 4
    assert layout.places[-1].end_in == 96


@given(st.integers(1, 12), st.integers(1, 12), st.floats(-1, 1), st.floats(-1, 1))
def test_each_stretch_is_filled_evenly(a: int, b: int, x: float, y: float) -> None:
    """Joints land on every mark, pieces follow without a gap, all within what they can show."""
    mark = a * (12 + 0.25 * x)
    end = mark + b * (12 + 0.25 * y)
    layout = laid(run(end=end, marks=[{"after": a, "at": mark}]), a + b)
    places = layout.places
    assert places[a - 1].end_in == pytest.approx(mark)
    assert places[-1].end_in == pytest.approx(end)
    assert all(p.end_in == pytest.approx(q.start_in) for p, q in pairwise(places))
    assert all(11.75 - 1e-6 <= p.end_in - p.start_in <= 12.25 + 1e-6 for p in places)


def test_lengths_creep_with_the_opening() -> None:
    """Where the channels stand 13 in apart at one end and 14 at the other, cuts grow evenly."""
    layout = laid(run(opening=[13, 14], gap=0.25), 8)
    assert [p.cut_in for p in layout.places] == pytest.approx([13 + k / 8 - 0.25 for k in range(8)])
    # Worst bite: 3/4 in of channel less the wider side's slack, 1/8 in of creep and 1/4 in of gap.
    assert [p.bite_in for p in layout.places] == pytest.approx([0.75 - 0.375] * 8)


def test_a_piece_put_back_in_the_wrong_place_falls_out_or_does_not_go_in() -> None:
    """The shortest piece at the wide end keeps too little; the longest does not go in before."""
    lengths = [12.75 + k / 8 for k in range(8)]
    lengths[0], lengths[7] = lengths[7], lengths[0]
    layout = laid(run(opening=[13, 14], channel=1.0, lengths=lengths), 8)
    assert [p.falls_out for p in layout.places] == [False] * 7 + [True]
    assert layout.warnings[0].startswith("Piece 1 is 1' 1 5/8\" long and its place 1' 1\" wide")
    assert layout.warnings[1].startswith("Piece 8 can fall out in wind")
    assert len(layout.warnings) == 2


def test_the_bite_that_is_needed() -> None:
    """3/8 in, the draw of a belly of 1/20, and shrinking by 80 degrees F of vinyl, by hand."""
    length = 12.0
    belly = 8 * (length / 20) ** 2 / (3 * length)
    cold = length * 36e-6 * 80
    need = needed_bite_in(run(), length, gust_m_per_s=BELLY_GUST_M_PER_S)
    assert need == pytest.approx(0.375 + belly + cold, abs=1e-12)
    stormy = needed_bite_in(run(), length, gust_m_per_s=1.2 * BELLY_GUST_M_PER_S)
    assert stormy - need == pytest.approx(belly * (1.2**4 - 1), rel=1e-9)


def test_draw_of_a_belly_against_the_arc_itself() -> None:
    """The series agrees with the length of the parabola to 1 % for a belly of 1/20."""
    span, belly, n = 14.0, 0.7, 20000
    x = [span * k / n for k in range(n + 1)]
    y = [4 * belly * a * (span - a) / span**2 for a in x]
    pairs = range(n)
    arc = sum(((x[k + 1] - x[k]) ** 2 + (y[k + 1] - y[k]) ** 2) ** 0.5 for k in pairs)
    assert belly_shortening_in(span, belly) == pytest.approx(arc - span, rel=0.01)


@given(st.floats(0, 50))
def test_sizes_are_rounded_to_the_careful_side(size: float) -> None:
    """What is kept is rounded down, what is needed up, by less than 1/32 in."""
    assert -1e-6 <= size - at_most(size) < 1 / 32 + 1e-6
    assert -1e-6 <= at_least(size) - size < 1 / 32 + 1e-6


@pytest.mark.parametrize(
    ("more", "count", "says"),
    [
        pytest.param({}, 7, "8 pieces would land on the marks", id="too-few"),
        pytest.param({}, 9, "8 pieces would land on the marks", id="too-many"),
        pytest.param(
        {"end": 30}, 3,
            r"each of 3 pieces would show 10\".*Rip the ends down by 5 1/4\" together",
            id="none-fits",
        ),
        pytest.param({}, 0, "no piece names it", id="empty"),
        pytest.param(
            {"marks": [{"after": 4, "at": 48}, {"after": 3, "at": 60}]}, 8,
            "Put the marks in order", id="marks-out-of-order",
        ),
        pytest.param(
            {"marks": [{"after": 4, "at": 97}]}, 8, "Put the marks in order", id="past-the-end"
        ),
        pytest.param({"least": 13}, 8, "the smaller one first", id="least-over-most"),
        pytest.param({"lengths": [12]}, 8, "8 pieces and 1 `lengths`", id="lengths"),
    ],
)  # fmt: skip
def test_marks_that_cannot_hold_the_pieces(more: dict[str, Any], count: int, says: str) -> None:
    """The message says what was found and the way out."""
    with pytest.raises(InputError, match=says):
        laid(run(**more), count)


def test_where_a_run_does_not_come_out_both_ends_are_ripped_alike() -> None:
    """Nine pieces on 100 in at 12 in: seven whole ones, and 8 in at each end."""
    done = laid(run(end=100, rip=4), 9)
    assert [p.rip_in for p in done.places] == [8, None, None, None, None, None, None, None, 8]
    assert [p.start_in for p in done.places] == [0, 8, 20, 32, 44, 56, 68, 80, 92]
    assert done.places[-1].end_in == 100


def test_whole_pieces_are_closed_before_an_end_gets_too_narrow() -> None:
    """Ends no narrower than 6 in leave 106 - 12 = 94 in for eight whole pieces, 11 3/4 in each."""
    done = laid(run(end=106, rip=6), 10)
    assert [p.rip_in for p in done.places if p.rip_in] == pytest.approx([6, 6])
    assert done.places[1].end_in - done.places[1].start_in == pytest.approx(11.75)


def test_with_a_mark_each_end_is_ripped_to_its_own() -> None:
    """A mark between them is landed on: the first stretch rips its first piece alone."""
    done = laid(run(end=100, rip=4, marks=[{"after": 4, "at": 40}]), 9)
    assert done.places[3].end_in == pytest.approx(40)
    assert done.places[0].rip_in == pytest.approx(4)
    assert [p.number for p in done.places if p.rip_in] == [1]


@given(st.integers(3, 20), st.floats(0, 1), st.floats(1, 11))
def test_ripped_or_not_a_run_fills_the_room(count: int, share: float, rip: float) -> None:
    """Pieces follow one another without a gap; whole ones keep their range, ends the least rip."""
    least, most = 11.75 * (count - 2) + 2 * rip, 12.25 * count
    end = least + share * (most - least)
    one = run(end=end, rip=rip)
    try:
        places = laid(one, count).places
    except InputError:
        return
    assert places[0].start_in == 0 and places[-1].end_in == pytest.approx(end)
    for a, b in pairwise(places):
        assert a.end_in == pytest.approx(b.start_in)
    for p in places:
        low = rip if p.rip_in is not None else one.least
        assert low - 1e-6 <= p.end_in - p.start_in <= one.most + 1e-6
    ends = [p.rip_in for p in places if p.rip_in is not None]
    assert len(ends) in (0, 2) and (not ends or ends[0] == pytest.approx(ends[1]))


def test_ends_that_would_get_too_narrow_are_refused() -> None:
    """Where not even ripped ends fit, the message says so and the way out."""
    with pytest.raises(InputError, match=r'not with ends ripped to 10" either.*Leave one piece'):
        laid(run(end=100, rip=10), 9)
