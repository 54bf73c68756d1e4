"""The folded section and profiles that cross themselves."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.edges import (
    Hem,
    hemmed,
    hung_over,
    kicked,
    opened_hems,
    parted,
    returned,
    with_drip,
)
from weatherlap.metal.girth import girth_in
from weatherlap.metal.model import Bend, End, Leg, Measure, Profile, Toward
from weatherlap.metal.section import check_folds, crossing_legs, folded

BACK, FINISH = Toward.BACK, Toward.FINISH


def box(last):
    """Four legs wound into a square of 3 in."""
    return Profile("box", (Leg(3), Leg(3), Leg(3), Leg(last)), (Bend(90, BACK),) * 3)


def test_a_channel_stands_as_wide_as_it_is_measured(coil):
    """A U measured outside is that wide and high to the outside of the sheet."""
    legs = (Leg(2, Measure.OUTSIDE), Leg(5, Measure.OUTSIDE), Leg(2, Measure.OUTSIDE))
    section = folded(Profile("U", legs, (Bend(90, BACK),) * 2), metal=coil)
    assert section.height_in + coil.thickness_in == approx(5.0, abs=1e-6)
    assert section.width_in + coil.thickness_in / 2 == approx(2.0, abs=1e-6)


def test_a_box_that_closes_too_far_crosses(coil):
    """A leg that runs through the first one is found, a shorter one is not."""
    assert crossing_legs(box(3.5), metal=coil) == ((1, 4),)
    assert crossing_legs(box(2.9), metal=coil) == ()


def test_a_crossing_says_which_legs_and_what_to_do(coil):
    """The error names both legs and a way out."""
    with pytest.raises(InputError, match=r"leg 1 and leg 4 cross.*make two pieces"):
        check_folds(box(3.5), metal=coil)


def test_a_closed_hem_does_not_cross(coil):
    """Metal folded flat on itself lies beside itself, not in itself."""
    hem = hemmed(Profile("p", (Leg(4),), ()), end=End.END, hem=Hem(0.5, BACK))
    assert crossing_legs(hem, metal=coil) == ()


def test_a_hem_keeps_the_leg_and_adds_its_width(coil):
    """A hem adds its width and a little, and stands as wide as it was asked for."""
    plain = Profile("p", (Leg(4, Measure.OUTSIDE),), ())
    hem = hemmed(plain, end=End.START, hem=Hem(0.5, BACK))
    assert hem.legs[1] == plain.legs[0]
    assert folded(hem, metal=coil).width_in + coil.thickness_in / 2 == approx(4.0, abs=1e-3)
    assert girth_in(hem, metal=coil) == approx(4.5, abs=0.02)


def test_an_open_hem_leaves_its_gap(coil):
    """The two legs of an open hem are a gap and a thickness apart."""
    hem = hemmed(Profile("p", (Leg(4),), ()), end=End.END, hem=Hem(0.5, BACK, gap_in=0.25))
    assert folded(hem, metal=coil).height_in == approx(0.25 + coil.thickness_in, abs=1e-6)


def test_a_drip_turns_down_out_and_back(coil):
    """A drip is a leg down, a kick the other way and a hem."""
    drip = with_drip(
        Profile("head", (Leg(3),), ()), end=End.END, drop_in=1, toward=BACK, kick_in=0.5,
        hem=Hem(0.375, BACK),
    )  # fmt: skip
    assert [(b.angle_deg, b.toward) for b in drip.bends] == [(90, BACK), (45, FINISH), (180, BACK)]
    assert crossing_legs(drip, metal=coil) == ()


def test_returns_and_kicks_go_on_at_either_end():
    """Edge legs are added before the first or after the last leg."""
    base = Profile("p", (Leg(3),), ())
    both = kicked(returned(base, end=End.START, length_in=1, toward=BACK), end=End.END,
                  length_in=0.5, toward=FINISH)  # fmt: skip
    assert [leg.length_in for leg in both.legs] == [1, 3, 0.5]


def test_a_wrap_hangs_loose_over_each_box():
    """Only legs that span wood between two square bends over the back grow by the clearance."""
    wrap = Profile(
        "wrap", (Leg(1), Leg(9), Leg(3), Leg(9)), (Bend(90, FINISH), Bend(90, BACK), Bend(90, BACK))
    )
    assert [leg.length_in for leg in hung_over(wrap).legs] == [1, 9, 3.0625, 9]
    with pytest.raises(InputError, match="clearance"):
        hung_over(wrap, clearance_in=-1)


def test_two_halves_of_a_profile_share_a_lap():
    """Parts of a split profile have the leg between them and the lap twice."""
    one, two = parted(
        Profile("p", (Leg(4), Leg(6), Leg(4)), (Bend(90, BACK),) * 2), leg=1, lap_in=1
    )
    assert one.legs[-1].length_in + two.legs[0].length_in == approx(7)
    assert (len(one.bends), len(two.bends)) == (1, 1)
    with pytest.raises(InputError, match="no longer than the leg"):
        parted(Profile("p", (Leg(4), Leg(2), Leg(4)), (Bend(90, BACK),) * 2), leg=1, lap_in=3)


def test_hems_are_opened_all_at_once():
    """Closed hems get the gap, other bends stay."""
    hem = hemmed(Profile("p", (Leg(4), Leg(2)), (Bend(90, BACK),)), end=End.END, hem=Hem(0.5, BACK))
    assert [b.radius_in for b in opened_hems(hem, gap_in=0.04).bends] == [None, approx(0.02)]
    with pytest.raises(InputError, match="gap"):
        hemmed(hem, end=End.START, hem=Hem(0.5, BACK, gap_in=-1))
