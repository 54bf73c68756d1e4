"""Movement, gaps and splices."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError, NoSolution
from weatherlap.sources.register import sources
from weatherlap.takeoff.movement import (
    EXPANSION,
    Run,
    RunEnd,
    Season,
    gutter_expansion_joints,
    joint_room,
    movement_in,
    siding_gap_in,
    splice_run,
)


def test_a_joint_needs_less_gap_the_warmer_the_day():
    """Laid at its hottest it needs no gap for growth, laid at its coldest no lap for shrinking."""
    hot = joint_room(126, material="aluminum", day_f=150)
    cold = joint_room(126, material="aluminum", day_f=-20)
    assert hot.gap_in == 0
    assert cold.lap_in == approx(1.0)
    assert hot.lap_in - 1 == approx(cold.gap_in) == approx(126 * 13.1e-6 * 170)


def test_the_rule_holds_where_it_asks_for_more():
    """A gap by rule is kept where growth needs less."""
    assert joint_room(10, material="steel", day_f=140, least_gap_in=0.25).gap_in == 0.25


def test_coefficients_cite_the_register():
    """Each coefficient has sources that are in the register, and its low is not above its high."""
    for row in EXPANSION.values():
        assert 0 < row.low_per_f <= row.high_per_f
        assert row.source_keys
        assert all(key in sources() for key in row.source_keys)


def test_vinyl_gaps_grow_in_the_cold():
    """Siding is cut shorter below 40 degrees F."""
    assert (siding_gap_in(70), siding_gap_in(39.9)) == (0.25, 0.375)


@pytest.mark.parametrize(
    ("feet", "fixed", "joints"),
    [
        (50, 0, 0),
        (51, 0, 1),
        (25, 1, 0),
        (26, 1, 1),
        (75, 1, 1),
        (76, 1, 2),
        (50, 2, 1),
        (51, 2, 2),
    ],
)
def test_gutter_joints_by_rule(feet, fixed, joints):
    """Joints are no more than 50 ft apart and 25 ft from a fixed corner."""
    assert gutter_expansion_joints(12 * feet, fixed_ends=fixed) == joints


@given(
    st.floats(10, 2000),
    st.floats(30, 150),
    st.floats(0, 6),
    st.lists(st.tuples(st.floats(0, 2000), st.floats(1, 20)), max_size=3),
)
def test_splices_keep_every_rule(length, longest, lap, clear):
    """Pieces reach, none is too long, no lap lies where none may be, and they are the fewest."""
    stretches = tuple((a, a + w) for a, w in clear)
    run = Run("r", length, longest, lap, keep_clear=stretches)
    try:
        plan = splice_run(run)
    except NoSolution:
        assume(False)
    assert max(plan.lengths_in) <= longest + 1e-6
    assert min(plan.lengths_in) > 0
    assert sum(plan.lengths_in) - lap * len(plan.splices) == approx(length)
    for splice in plan.splices:
        assert splice.to_in - splice.from_in == approx(lap)
        for a, b in stretches:
            assert splice.to_in <= a + 1e-6 or splice.from_in >= b - 1e-6
    if not stretches:
        count = len(plan.lengths_in)
        assert count == 1 or (length + (count - 2) * lap) / (count - 1) > longest - 1e-6
        assert max(plan.lengths_in) - min(plan.lengths_in) < 1e-6


@pytest.mark.parametrize(
    ("low", "seen", "over", "why"),
    [
        (RunEnd.END, RunEnd.END, RunEnd.START, "upstream"),
        (RunEnd.START, RunEnd.START, RunEnd.END, "upstream"),
        (RunEnd.NEITHER, RunEnd.END, RunEnd.END, "look"),
        (RunEnd.NEITHER, RunEnd.NEITHER, RunEnd.START, "same way"),
    ],
)
def test_laps_shed_first_and_hide_second(low, seen, over, why):
    """With a fall the upstream piece lies over; level, the edge faces away from the walk."""
    plan = splice_run(Run("r", 300, 126, 1, low_end=low, seen_from=seen))
    assert {splice.over for splice in plan.splices} == {over}
    assert why in plan.splices[0].why


def test_no_place_for_a_lap_is_said():
    """Where every reachable place is kept clear there is no plan, with what to do."""
    with pytest.raises(NoSolution, match="take longer pieces or allow a lap"):
        splice_run(Run("r", 300, 100, 1, keep_clear=((0.0, 120.0),)))


@pytest.mark.parametrize(
    ("make", "words"),
    [
        pytest.param(lambda: Run("r", -1, 100, 1), "run r", id="negative-run"),
        pytest.param(lambda: Run("r", 200, 100, 100), "a lap shorter", id="lap"),
        pytest.param(
            lambda: Run("r", 200, 100, 1, keep_clear=((5, 4),)), "from < to", id="stretch"
        ),
        pytest.param(
            lambda: joint_room(10, material="lead", day_f=50), "one of aluminum", id="what"
        ),
        pytest.param(lambda: joint_room(10, material="pvc", day_f=200), "-20 to 150", id="day"),
        pytest.param(lambda: joint_room(10, material="pvc", day_f=math.nan), "day", id="nan"),
        pytest.param(
            lambda: joint_room(10, material="pvc", day_f=5, rule_lap_in=-1), "joint", id="l"
        ),
        pytest.param(lambda: Season(100, 50), "a colder and a hotter", id="season"),
        pytest.param(lambda: movement_in(-1, per_f=1e-6, change_f=1), "movement", id="length"),
        pytest.param(lambda: gutter_expansion_joints(0, fixed_ends=1), "gutter", id="gutter"),
        pytest.param(lambda: gutter_expansion_joints(10, fixed_ends=3), "0 to 2", id="ends"),
        pytest.param(lambda: siding_gap_in(math.inf), "day", id="siding"),
    ],
)
def test_absurd_input_is_refused(make, words):
    """Values that cannot be are refused by name."""
    with pytest.raises(InputError, match=words):
        make()
