"""Bends left part-open: against trying every way, and the swing against small steps."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, affinity

from weatherlap.errors import InputError
from weatherlap.metal.model import Bend, End, Leg, Metal, Profile, Toward
from weatherlap.metal.orders import PartBend, bend_order
from weatherlap.metal.partopen import LEAST_LEFT_DEG, part_open
from weatherlap.metal.pictures import hand_words, step_pictures, step_words, strip_marks
from weatherlap.metal.posture import Bench
from weatherlap.metal.remedies import Remedy, remedies
from weatherlap.metal.section import crossing_legs
from weatherlap.metal.tables import brakes

BACK, FINISH = Toward.BACK, Toward.FINISH
COIL = Metal("coil", 0.019, 0.4)
BRAKE = brakes()["example"]
SLIM = replace(
    BRAKE, swing_deg=150.0, nose_deg=25.0, bar_depth_in=0.3, bar_height_in=0.1, leaf_depth_in=0.2,
    bed_depth_in=0.5, least_clamp_in=0.1, least_flange_in=0.1,
)  # fmt: skip

turns_of = st.builds(Bend, st.sampled_from([60.0, 90.0, 135.0]), st.sampled_from([BACK, FINISH]))
legs_of = st.builds(Leg, st.sampled_from([0.5, 0.75, 1.0, 2.0, 4.0]))


@st.composite
def profiles(draw, most=3):
    """Profiles of up to some bends that do not cross themselves."""
    count = draw(st.integers(1, most))
    legs = tuple(draw(legs_of) for _ in range(count + 1))
    profile = Profile("drawn", legs, tuple(draw(turns_of) for _ in range(count)))
    assume(not crossing_legs(profile, metal=COIL))
    return profile


def ways_of_all(bench, count, bend):
    """Whether a bend left open can be closed on the brake, or left to the hand: by every way."""
    whole = (1 << count) - 1
    ends = set()

    def go(made, gone_open):
        ends.add((made, gone_open))
        for one in range(count):
            if made >> one & 1:
                continue
            choices = [False]
            if one == bend and not gone_open:
                choices.append(True)
            for part in choices:
                if any(not bench.why_not(one, end=e, made=made, part=part) for e in End):
                    go(bench.after(one, made=made, part=part), gone_open or part)

    go(0, False)
    left = (whole & ~(1 << bend)) | bench.opened(bend)
    return (whole, True) in ends, (left, True) in ends


@settings(max_examples=60)
@given(profiles(), st.sampled_from([BRAKE, SLIM]))
def test_what_may_be_left_open_is_what_trying_everything_finds(profile, brake):
    """Each bend and angle is named exactly where some way of bending leads to the end."""
    assume(not bend_order(profile, metal=COIL, brake=brake).possible)
    found = part_open(profile, metal=COIL, brake=brake)
    for angle in found.angles_deg:
        bench = Bench(profile, COIL, brake, angle)
        for number, bend in enumerate(profile.bends, 1):
            if bend.angle_deg < angle + LEAST_LEFT_DEG:
                continue
            on_brake, by_hand = ways_of_all(bench, len(profile.bends), number - 1)
            assert (PartBend(number, angle) in found.on_brake) is on_brake
            assert (PartBend(number, angle, by_hand=True) in found.by_hand) is by_hand


def test_a_narrow_channel_goes_as_far_as_the_bar_lets_it(coil, brake):
    """A U of 1 in between legs of 4 in: 75 degrees on the brake, the last 15 by hand.

    Drawn by hand: the leg 1 in before the hinge meets the bar's upper corner at 88 degrees.
    """
    channel = Profile("U", (Leg(4), Leg(1), Leg(4)), (Bend(90, BACK),) * 2)
    ways = remedies(channel, metal=coil, brake=brake)
    change = ways.changes[0]
    assert change.remedy is Remedy.CLOSED_BY_HAND
    assert "to 75 degrees, and close it to 90 at the end, by hand over a straight" in change.text
    (plan,) = change.plans
    assert [(step.bend, step.angle_deg) for step in plan.steps] == [(2, 90), (1, 75)]
    assert plan.steps[-1].stays_open
    assert "bend 75 degrees only (set 80), leave it open" in step_words(plan.steps[-1])
    assert hand_words(plan, channel) == "Last, by hand: close bend 1 from 75° to 90°."
    assert ways.parts_deg == (75, 60, 45, 30)


def closed_later():
    """A section that a slim brake makes only with its first bend open for a while."""
    legs = tuple(Leg(length) for length in (3.0, 1.5, 1.0, 3.0, 3.0))
    turns = ((135, BACK), (120, FINISH), (135, BACK), (90, FINISH))
    return Profile("Z", legs, tuple(Bend(angle, side) for angle, side in turns))


def test_a_bend_is_left_open_and_closed_on_the_brake():
    """Where no order in whole bends exists, one bend is opened first and closed later."""
    profile = closed_later()
    assert not bend_order(profile, metal=COIL, brake=SLIM).possible
    change = remedies(profile, metal=COIL, brake=SLIM).changes[0]
    assert change.remedy is Remedy.PART_OPEN
    (plan,) = change.plans
    visits = [step for step in plan.steps if step.bend == plan.part.bend]
    assert [step.stays_open for step in visits] == [True, False]
    assert visits[1].from_deg == visits[0].angle_deg == plan.part.angle_deg
    assert plan.by_hand == ()
    assert f"bend from {plan.part.angle_deg:g} to 135 degrees" in step_words(visits[1])
    marks = strip_marks(profile, metal=COIL, plan=plan)
    assert marks[plan.part.bend].orders == tuple(step.number for step in visits)


def test_the_picture_of_closing_begins_where_it_was_left():
    """The leg that is closed stands at its angle before the swing and at the full one after."""
    profile = closed_later()
    (plan,) = remedies(profile, metal=COIL, brake=SLIM).changes[0].plans
    pictures = step_pictures(profile, metal=COIL, brake=SLIM, plan=plan)
    closing = next(p for p in pictures if p.step.from_deg)
    assert LineString(closing.before[:2]).length > 0
    swung = affinity.rotate(
        LineString(closing.before), closing.step.angle_deg - closing.step.from_deg, origin=(0, 0)
    )
    assert swung.equals_exact(LineString(closing.after), 1e-9)


@settings(max_examples=60)
@given(profiles(most=4), st.data())
def test_closing_meets_what_a_finely_stepped_swing_meets(profile, data):
    """Closing from an angle is refused where turning it in small steps shows overlap."""
    angle = 45.0
    bench = Bench(profile, COIL, BRAKE, angle)
    bend = data.draw(st.integers(0, len(profile.bends) - 1))
    assume(profile.bends[bend].angle_deg > angle)
    made = data.draw(st.integers(0, (1 << len(profile.bends)) - 1)) & ~(1 << bend)
    made |= bench.opened(bend)
    end = data.draw(st.sampled_from(list(End)))
    if bench.why_not(bend, end=end, made=made):
        return
    front = LineString(bench.lie(bend, end=end, made=made, front=True))
    core = Polygon(BRAKE.bar()).buffer(-0.05)
    swing = bench.swing_of(bend)
    for k in range(101):
        turn = angle + (swing - angle) * k / 100
        assert not affinity.rotate(front, turn, origin=(0, 0)).intersects(core)


def test_a_bend_that_is_not_there_cannot_be_left_open(coil, brake):
    """The bend to leave open is one of the profile's."""
    edge = Profile("L", (Leg(3), Leg(3)), (Bend(90, BACK),))
    with pytest.raises(InputError, match="bend 3 by hand or part-open"):
        bend_order(edge, metal=coil, brake=brake, part=PartBend(3, 45.0))
