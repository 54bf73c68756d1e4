"""True flat patterns: square, mitred, tapered, notched, with tabs."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely import LineString, Point, Polygon

from weatherlap.errors import InputError
from weatherlap.metal.ends import EndCut, Notch, Tab, mitred
from weatherlap.metal.flat import flat_pattern
from weatherlap.metal.girth import girth_in
from weatherlap.metal.model import Bend, Leg, Metal, Profile, Toward

BACK, FINISH = Toward.BACK, Toward.FINISH
PAPER = Metal("paper", 0.004, 0.0)


def angle_iron(first=3.0, second=4.0):
    """Two legs with a square bend over the back."""
    return Profile("L", (Leg(first), Leg(second)), (Bend(90, BACK),))


def test_a_square_piece_is_a_rectangle(coil):
    """Without cuts the pattern is girth by length with one bend line right across."""
    flat = flat_pattern(angle_iron(), metal=coil, length_in=20)
    assert Polygon(flat.outline).area == approx(20 * girth_in(angle_iron(), metal=coil))
    assert flat.blank_in == approx((20, girth_in(angle_iron(), metal=coil)))
    (line,) = flat.bend_lines
    assert (line.start[0], line.end[0]) == approx((0, 20))


def test_a_mitre_on_one_leg_leaves_the_other_square():
    """A 45-degree mitre across the second leg lengthens that leg alone by its width."""
    profile = angle_iron()
    flat = flat_pattern(
        profile, metal=PAPER, length_in=20, far=mitred(profile, metal=PAPER, leg=2, angle_deg=45)
    )
    corners = {(round(x, 1), round(y, 1)) for x, y in flat.outline}
    assert {(20.0, 0.0), (20.0, 3.0), (24.0, 7.0), (0.0, 7.0)} <= corners


def test_two_mitred_wraps_meet_edge_to_edge():
    """The right end of one wrap and the left end of the next are cut along one line."""
    profile = angle_iron()
    far = flat_pattern(
        profile, metal=PAPER, length_in=20, far=mitred(profile, metal=PAPER, leg=1, angle_deg=30)
    )
    near = flat_pattern(
        profile, metal=PAPER, length_in=20, near=mitred(profile, metal=PAPER, leg=1, angle_deg=30)
    )
    right = sorted((round(y, 6), round(x - 20, 6)) for x, y in far.outline if x > 10)
    left = sorted((round(y, 6), round(-x, 6)) for x, y in near.outline if x < 10)
    assert right == left


@given(st.floats(2, 8), st.floats(2, 8), st.floats(2, 8), st.floats(2, 8), st.floats(20, 100))
def test_a_tapered_piece_keeps_every_true_length(a, b, c, d, length):
    """In the flat each edge and bend line is as long as it is in space; areas agree too.

    The near end has legs a, b, the far one c, d; the fold stays level.
    """
    flat = flat_pattern(
        angle_iron(a, b),
        metal=PAPER,
        length_in=length,
        far_profile=angle_iron(c, d),
        hold=2,
    )
    edge = LineString(flat.outline[:2]).length
    in_space = math.hypot(length, c - a)
    sides = [
        LineString(pair).length
        for pair in zip(flat.outline, (*flat.outline[1:], flat.outline[0]), strict=True)
    ]
    assert edge > 0
    assert min(abs(side - in_space) for side in sides) < 0.01
    assert min(abs(side - math.hypot(length, d - b)) for side in sides) < 0.01
    assert flat.area_in2 == approx(length * (a + b + c + d) / 2, rel=0.005)
    (line,) = flat.bend_lines
    assert LineString((line.start, line.end)).length == approx(length, abs=0.02)


def test_an_end_dam_is_a_tab_with_its_own_line(coil):
    """A tab adds metal beyond one leg, bent on a line at the end of the piece."""
    dam = EndCut(tabs=(Tab(1, 0.75, FINISH),))
    plain = flat_pattern(angle_iron(), metal=coil, length_in=20)
    flat = flat_pattern(angle_iron(), metal=coil, length_in=20, far=dam)
    assert flat.blank_in[0] == approx(20.75, abs=0.02)
    assert flat.area_in2 - plain.area_in2 == approx((3 - 0.125) * 0.75, abs=0.1)
    line = flat.bend_lines[-1]
    assert (line.bend, line.toward) == (0, FINISH)
    assert line.start[0] == approx(20, abs=0.02)
    assert LineString((line.start, line.end)).length == approx(3 - 0.125)


def test_a_tapered_tab_narrows(coil):
    """A tab with taper is narrower outside than at its bend."""
    flat = flat_pattern(
        angle_iron(), metal=coil, length_in=20, near=EndCut(tabs=(Tab(2, 1, BACK, taper_deg=30),))
    )
    tip = [y for x, y in flat.outline if x < -0.9]
    assert max(tip) - min(tip) == approx(4 - 0.125 - 2 * math.tan(math.radians(30)), abs=0.03)


def test_a_notch_takes_a_leg_away_and_its_bend_line_with_it(coil):
    """Over the depth of a notch neither the leg nor its bend line is there."""
    flat = flat_pattern(
        angle_iron(), metal=coil, length_in=20, far=EndCut(notches=(Notch(2, 2, 2.5),))
    )
    shape = Polygon(flat.outline)
    assert shape.contains(Point(19, 1))
    assert not shape.contains(Point(19, 5))
    assert shape.contains(Point(17, 5))
    both = flat_pattern(
        angle_iron(), metal=coil, length_in=20, far=EndCut(notches=(Notch(1, 2, 2.5),))
    )
    assert both.blank_in[0] == approx(17.5)
    assert both.bend_lines[0].end[0] == approx(17.5)


def test_bend_lines_stay_on_the_metal(coil):
    """Every bend line lies on the pattern it is drawn on."""
    profile = Profile("U", (Leg(1), Leg(6), Leg(2)), (Bend(90, BACK), Bend(45, FINISH)))
    flat = flat_pattern(
        profile,
        metal=coil,
        length_in=30,
        near=mitred(profile, metal=coil, leg=2, angle_deg=20, notches=(Notch(1, 1, 2),)),
        far=EndCut(tabs=(Tab(2, 0.5, BACK),)),
    )
    shape = Polygon(flat.outline).buffer(1e-6)
    assert shape.is_valid
    assert len(flat.bend_lines) == 3
    assert all(shape.contains(LineString((b.start, b.end))) for b in flat.bend_lines)


@pytest.mark.parametrize(
    ("cut", "words"),
    [
        pytest.param(
            EndCut(tabs=(Tab(3, 1, BACK),)), "leg 3; expected a leg from 1 to 2", id="leg"
        ),
        pytest.param(EndCut(tabs=(Tab(1, -1, BACK),)), "tab length", id="negative"),
        pytest.param(EndCut(tabs=(Tab(1, 3, BACK, taper_deg=60),)), "less taper", id="taper"),
        pytest.param(EndCut(notches=(Notch(2, 1, 1),)), "nearer the start edge", id="backward"),
        pytest.param(EndCut(notches=(Notch(1, 2, 30),)), "the notches part the piece", id="all"),
        pytest.param(EndCut(per_x=-9.0), "flatter mitres", id="mitres-meet"),
    ],
)
def test_ends_that_cannot_be_are_refused(coil, cut, words):
    """A cut that the piece cannot have is refused in words."""
    with pytest.raises(InputError, match=words):
        flat_pattern(angle_iron(), metal=coil, length_in=20, far=cut)


def test_a_taper_needs_the_same_bends(coil):
    """The far end of a tapered piece has other legs, not other bends."""
    other = Profile("L", (Leg(3), Leg(4)), (Bend(45, BACK),))
    with pytest.raises(InputError, match="the same bends at both ends"):
        flat_pattern(angle_iron(), metal=coil, length_in=20, far_profile=other)


@pytest.mark.parametrize("length", [0, -3, math.nan, math.inf, 1e7])
def test_absurd_lengths_are_refused(coil, length):
    """A piece is 1/4 in to 100 ft long."""
    with pytest.raises(InputError, match="length"):
        flat_pattern(angle_iron(), metal=coil, length_in=length)
