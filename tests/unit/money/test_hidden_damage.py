"""Hidden damage and what one more look is worth."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.money.damage import Covered, Push, Sign, before_looking, hidden_damage, turned_by
from weatherlap.money.looking import LEAVE, PLAN, Stakes, best_course, worth_of_look


def covered(*signs, litres=20.0, material="osb", **more):
    """A covered sheet of 32 sq ft of which 4 lie in the water's way."""
    sizes = {"wet_ft2": 4.0, "wet": 4.0, "whole": 32.0, "unit": "sq ft", "years": 10.0} | more
    return Covered("sheet", "sheet", "sheathing", material, litres, signs=signs, **sizes)


def test_more_water_means_more_rot():
    """The chance grows with the water, and is never 0 nor 1 before anybody looked."""
    rows = [hidden_damage(covered(litres=x)).chance for x in (0, 5, 50, 500, 50_000)]
    assert rows == sorted(rows)
    assert 0 < rows[0] < 0.05
    assert rows[-1] < 1


def test_treated_wood_lasts_longer():
    """The same water is less to be feared in treated wood than in sheathing."""
    assert before_looking(300, "treated")[2] < before_looking(300, "osb")[2]


@given(st.floats(min_value=0, max_value=1e5), st.sampled_from(Push))
def test_chances_stay_chances(dose, push):
    """After any sign the three chances are from 0 to 1 and make 1."""
    now = before_looking(dose, "softwood")
    after = turned_by(now, hidden_seen(push))
    assert sum(now) == pytest.approx(1)
    assert sum(after) == pytest.approx(1)
    assert min(*now, *after) >= 0


def hidden_seen(push):
    """How often an awl says so."""
    from weatherlap.money.damage import PUSH_SEEN

    return PUSH_SEEN[push]


def test_signs_turn_the_chance_the_right_way():
    """A firm awl and a dry meter lower it, a rotten awl and a wet meter raise it."""
    plain = hidden_damage(covered()).chance
    assert hidden_damage(covered(Sign("awl", push=Push.FIRM))).chance < plain
    assert hidden_damage(covered(Sign("meter", percent=11))).chance < plain
    assert hidden_damage(covered(Sign("awl", push=Push.ROTTEN))).chance > plain
    assert hidden_damage(covered(Sign("meter", percent=38))).chance > plain


def test_order_of_signs_does_not_matter():
    """Two signs give the same chance whichever comes first."""
    a, b = Sign("meter", percent=27), Sign("awl", push=Push.SOFT)
    first, then = hidden_damage(covered(a, b)), hidden_damage(covered(b, a))
    assert first.after == pytest.approx(then.after)


def test_a_sign_beyond_the_wet_part_only_bounds_it():
    """A dry reading elsewhere leaves the chance alone; what was found dry is not counted."""
    far = Sign("meter", percent=11, in_wet=False)
    plain, told = hidden_damage(covered()), hidden_damage(covered(far, clear=26.0))
    assert told.chance == plain.chance
    assert told.extent.high == pytest.approx(6.0)
    assert plain.extent.high == pytest.approx(8.0)


def test_a_reading_that_is_none_is_refused():
    """A reading over 100 % is refused by its words."""
    with pytest.raises(InputError, match="from 0 to 100"):
        hidden_damage(covered(Sign("at the sill", percent=140)))


def test_the_cheaper_course_is_chosen():
    """Below the break-even chance it is left closed, above it is planned."""
    stakes = Stakes(planned_usd=100, late_usd=400, look_usd=10)
    assert best_course(0.24, stakes) == (LEAVE, pytest.approx(96))
    assert best_course(0.26, stakes) == (PLAN, 100)


@given(
    st.floats(min_value=0, max_value=1000),
    st.floats(min_value=0, max_value=1e4),
    st.floats(min_value=0, max_value=1e4),
)
def test_a_look_never_saves_less_than_nothing(litres, planned, late):
    """Knowing more is never worth less than nothing, nor more than knowing all."""
    hidden = hidden_damage(covered(litres=litres))
    worth = worth_of_look(hidden, Stakes(planned, late, 5.0))
    knowing_all = worth.blind_usd - hidden.chance * min(planned, late)
    assert -1e-9 <= worth.saved_usd <= knowing_all + 1e-6
