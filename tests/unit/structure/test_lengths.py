"""Lengths to cut, shims, seat cuts and shrinkage."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.structure.lengths import (
    Level,
    PostStack,
    beam_cut_in,
    highest_line,
    jack_stud_in,
    post_cut,
    seat_cut,
    shims,
    target_level,
)
from weatherlap.structure.shrinkage import set_high, shrinkage


def test_post_between_base_and_cap():
    """Beam bottom 96, footing -3 1/4, base 1, cap 1/8, shim 1/8: 98 in."""
    cut = post_cut("p1", beam_bottom_in=96, footing=Level("pier 1", -3.25),
                   stack=PostStack(1.0, 0.125, 0.125))  # fmt: skip
    assert cut.length_in == pytest.approx(98.0)
    assert cut.figured.result == cut.length_in


@given(st.floats(40, 120), st.floats(-20, 20), st.floats(0, 3), st.floats(0, 1), st.floats(0, 1))
def test_what_is_stacked_fills_the_space(beam, footing, base, cap, shim):
    """Footing, base, post, cap and shim end exactly under the beam."""
    cut = post_cut("p", beam_bottom_in=beam, footing=Level("f", footing),
                   stack=PostStack(base, cap, shim))  # fmt: skip
    assert footing + base + cut.length_in + cap + shim == pytest.approx(beam)


def test_a_post_that_stays_gets_a_shim_or_loses_length():
    """An existing post is shimmed if short, cut if long, and refused if far too short."""
    level = Level("f", 0.0)
    short = post_cut("p", beam_bottom_in=96, footing=level, stack=PostStack(1, 0, 0, 94.5))
    assert short.shim_in == pytest.approx(0.5) and short.length_in == 94.5
    long = post_cut("p", beam_bottom_in=96, footing=level, stack=PostStack(1, 0, 0, 95.25))
    assert long.length_in == pytest.approx(95.0) and "cut 0.250" in long.note
    with pytest.raises(InputError, match="Make a new post"):
        post_cut("p", beam_bottom_in=96, footing=level, stack=PostStack(1, 0, 0, 90))


def test_falling_line_and_shims():
    """A line that falls 1/8 in a foot clears every bearing; the highest one needs no shim."""
    levels = tuple(
        Level(f"p{k}", h, plan_in=(x, 0))
        for k, (h, x) in enumerate(((10.0, 0), (10.1, 96), (9.5, 192)))
    )
    line = highest_line(levels, fall_per_ft=0.125)
    found = shims(levels, target_in=line)
    assert min(s.shim_in for s in found) == pytest.approx(0.0, abs=1e-9)
    assert line[0] - line[2] == pytest.approx(2.0)
    assert target_level(levels[0], along_in=96, fall_per_ft=0.125) == pytest.approx(9.0)


def test_shims_that_cannot_be_are_refused():
    """A bearing over its line, and a stack over 1 1/2 in, are named."""
    with pytest.raises(InputError, match="above its target"):
        shims((Level("p", 10.0),), target_in=(9.5,))
    with pytest.raises(InputError, match="cut block"):
        shims((Level("p", 10.0),), target_in=(12.0,))


def test_jack_stud_and_beam_lengths():
    """A jack stud from plate to header; a beam from pocket to pocket with air."""
    assert jack_stud_in(header_bottom_in=82.5, plate_top_in=1.5) == 81.0
    assert beam_cut_in(100, bearings_in=(3.5, 3.5), end_gap_in=0.5) == 106.0
    with pytest.raises(InputError, match="header above the plate"):
        jack_stud_in(header_bottom_in=1.0, plate_top_in=1.5)
    with pytest.raises(InputError, match="at least 1 1/2 in"):
        beam_cut_in(100, bearings_in=(1.5, 3.5), end_gap_in=0.5)


def test_seat_cut_of_a_2x6_at_6_in_12():
    """A 3 1/2 in seat at 6 in 12: heel 1.75 in, 28 % of the depth: over the quarter."""
    cut = seat_cut(depth_in=5.5, rise_per_12=6, seat_in=3.5)
    assert cut.heel_in == pytest.approx(1.75)
    assert cut.share == pytest.approx(3.5 * 0.4472136 / 5.5, rel=1e-6)
    assert not cut.keeps_rule
    assert seat_cut(depth_in=7.25, rise_per_12=6, seat_in=3.5).keeps_rule


def test_wet_2x10_dries_down_beside_a_dry_one():
    """A 9 1/4 in Southern Pine beam from 28 % to 12 %: between radial and tangential, about 0.3."""
    new = shrinkage(9.25, species="SP", from_percent=28, to_percent=12)
    assert new.least_in == pytest.approx(9.25 * 16 / 30 * 0.048)
    assert new.most_in == pytest.approx(9.25 * 16 / 30 * 0.074)
    assert 0.25 < new.likely_in < 0.35
    old = shrinkage(9.25, species="SPF", from_percent=12, to_percent=12)
    final = set_high(new, neighbour=old, step_now_in=0.0)
    assert final.step_after_in == pytest.approx(-new.likely_in)
    assert "low" in final.words


def test_above_fibre_saturation_nothing_shrinks():
    """From 60 % to 35 % nothing moves; a rising moisture content is refused."""
    assert shrinkage(9.25, species="HF", from_percent=60, to_percent=35).likely_in == 0
    with pytest.raises(InputError, match="falls"):
        shrinkage(9.25, species="HF", from_percent=12, to_percent=19)
