"""Profiles that follow what they cover."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.along import profile_along
from weatherlap.metal.model import Measure, Metal, Toward
from weatherlap.metal.section import folded

PAPER = Metal("paper", 0.004, 0.4)


def test_a_wrap_round_a_beam_bends_over_its_back():
    """Up one side, across the bottom and up the other: two square bends over the wood."""
    beam = [(0, 9.25), (0, 0), (3.5, 0), (3.5, 9.25)]
    profile = profile_along("beam", beam, finish_on_left=False, names=("front", "under", "back"))
    assert [leg.length_in for leg in profile.legs] == approx([9.25, 3.5, 9.25])
    assert [leg.name for leg in profile.legs] == ["front", "under", "back"]
    assert {leg.measure for leg in profile.legs} == {Measure.BACK}
    assert [(b.angle_deg, b.toward) for b in profile.bends] == [(90, Toward.BACK)] * 2


def test_corners_that_go_straight_on_are_left_out():
    """Points on one line make one leg."""
    profile = profile_along("flat", [(0, 0), (2, 0), (5, 0), (5, 3)], finish_on_left=True)
    assert [leg.length_in for leg in profile.legs] == [5, 3]
    assert profile.bends[0].toward is Toward.FINISH


@given(
    st.lists(st.tuples(st.floats(1, 10), st.floats(-150, 150)), min_size=2, max_size=6),
    st.booleans(),
)
def test_the_folded_profile_lies_on_its_points(ways, left):
    """Folded again, the bends of a sharp thin sheet come to lie on the points."""
    points, heading = [(0.0, 0.0), (ways[0][0], 0.0)], 0.0
    for length, turn in ways[1:]:
        heading += math.radians(turn if abs(turn) > 2 else 5.0)
        x, y = points[-1]
        points.append((x + length * math.cos(heading), y + length * math.sin(heading)))
    profile = profile_along("any", points, finish_on_left=left)
    from_points = points if left else [(x, -y) for x, y in points]
    ends = folded(profile, metal=PAPER).points[-1]
    assert math.dist(ends, from_points[-1]) < 0.2


@pytest.mark.parametrize(
    ("points", "words"),
    [
        pytest.param([], "two or more", id="none"),
        pytest.param([(1, 1), (1, 1)], "two or more", id="one-place"),
        pytest.param([(0, 0), (math.nan, 1)], "finite points", id="nan"),
        pytest.param([(0, 0), (3, 0), (0, 0)], "Add the hem", id="straight-back"),
    ],
)
def test_points_that_make_no_profile_are_refused(points, words):
    """Too few points, no numbers, or a way straight back are refused in words."""
    with pytest.raises(InputError, match=words):
        profile_along("p", points, finish_on_left=True)
