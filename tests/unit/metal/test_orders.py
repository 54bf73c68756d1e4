"""Bend order: against trying every order, and the geometry against finely stepped swings."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations, product

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import LineString, Polygon, affinity

from weatherlap.errors import InputError
from weatherlap.metal.edges import Hem, hemmed
from weatherlap.metal.model import Bend, End, Leg, Measure, Metal, Profile, Toward
from weatherlap.metal.orders import FLIP_COST, LATE_HEM_COST, SLIDE_COST, SPIN_COST, bend_order
from weatherlap.metal.pictures import Mark, block_words, step_pictures, step_words, strip_marks
from weatherlap.metal.posture import Bench
from weatherlap.metal.remedies import Remedy, remedies
from weatherlap.metal.section import crossing_legs
from weatherlap.metal.sweep import first_contact
from weatherlap.metal.tables import brakes

BACK, FINISH = Toward.BACK, Toward.FINISH
COIL = Metal("coil", 0.019, 0.4)
BRAKE = brakes()["example"]

bends_of = st.builds(
    Bend, st.sampled_from([30.0, 45.0, 90.0, 120.0]), st.sampled_from([BACK, FINISH])
)
legs_of = st.builds(Leg, st.sampled_from([0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 5.0]))


@st.composite
def profiles(draw, most=4):
    """Profiles of up to some bends, hems among them."""
    count = draw(st.integers(1, most))
    legs = tuple(draw(legs_of) for _ in range(count + 1))
    profile = Profile("drawn", legs, tuple(draw(bends_of) for _ in range(count)))
    if draw(st.booleans()) and count < most:
        profile = hemmed(profile, end=draw(st.sampled_from(list(End))), hem=Hem(0.5, BACK))
    assume(not crossing_legs(profile, metal=COIL))
    return profile


def cheapest_of_all(profile):
    """Least handling over every order and every edge in front; None if none can be made."""
    bench = Bench(profile, COIL, BRAKE)
    costs = []
    count = len(profile.bends)
    for order in permutations(range(count)):
        for ends in product(End, repeat=count):
            cost, made, up, front = 0.0, 0, None, None
            for bend, end in zip(order, ends, strict=True):
                if bench.why_not(bend, end=end, made=made):
                    break
                hems = any(b.is_hem and not made >> n & 1 for n, b in enumerate(profile.bends))
                cost += LATE_HEM_COST * (hems and not profile.bends[bend].is_hem)
                now = profile.bends[bend].toward is FINISH
                cost += FLIP_COST * (up is not None and up is not now)
                cost += SPIN_COST * (front is not None and front is not end)
                cost += SLIDE_COST * bench.slides_in(bend, end=end, made=made)
                up, front, made = now, end, made | 1 << bend
            else:
                costs.append(cost)
    return min(costs, default=None)


@settings(max_examples=60)
@given(profiles())
def test_the_search_finds_what_trying_everything_finds(profile):
    """An order is found exactly where one exists, and none needs less handling."""
    plan = bend_order(profile, metal=COIL, brake=BRAKE)
    least = cheapest_of_all(profile)
    assert plan.possible is (least is not None)
    if least is not None:
        assert plan.handling == pytest.approx(least)
        assert sorted(step.bend for step in plan.steps) == list(range(1, len(profile.bends) + 1))


@settings(max_examples=60)
@given(profiles(most=5), st.data())
def test_contacts_are_those_of_a_finely_stepped_swing(profile, data):
    """A swing meets the bar, or the part behind, where turning it in small steps shows overlap.

    The drawn outlines are made a little smaller and a little larger, so that mere touching may be
    seen either way.
    """
    bench = Bench(profile, COIL, BRAKE)
    bend = data.draw(st.integers(0, len(profile.bends) - 1))
    made = data.draw(st.integers(0, (1 << len(profile.bends)) - 1)) & ~(1 << bend)
    end = data.draw(st.sampled_from(list(End)))
    front = bench.lie(bend, end=end, made=made, front=True)
    swing = bench.swing_of(bend)
    bar = (*BRAKE.bar(), (0.0, 0.0))
    exact = first_contact(front, bar, swing_deg=swing) is not None
    line, solid = LineString(front), Polygon(BRAKE.bar())
    steps = [affinity.rotate(line, swing * n / 150, origin=(0, 0)) for n in range(1, 150)]
    core = solid.buffer(-0.05)
    if any(step.intersects(core) for step in steps):
        assert exact or core.intersects(line)
    if exact:
        assert any(step.distance(solid) < 0.2 for step in steps)


def test_a_fascia_cover_is_hemmed_first(coil, brake):
    """A hem is made while the sheet is flat, without turning the piece over."""
    fascia = hemmed(
        Profile("fascia", (Leg(5.5), Leg(1.5)), (Bend(90, BACK),)),
        end=End.START,
        hem=Hem(0.5, BACK),
    )
    plan = bend_order(fascia, metal=coil, brake=brake)
    assert [step.bend for step in plan.steps] == [1, 2]
    assert plan.handling == 0
    assert plan.steps[0].press
    assert not plan.steps[0].tongs


def narrow_u():
    """A channel narrower than the clamp bar is deep."""
    return Profile("U", (Leg(4), Leg(1), Leg(4)), (Bend(90, BACK),) * 2)


def test_a_narrow_channel_is_blocked_with_its_reasons(coil, brake):
    """A U that the bar does not fit into is proven impossible; the blocking bend says why."""
    plan = bend_order(narrow_u(), metal=coil, brake=brake)
    assert not plan.possible
    assert plan.blocked.bends == (2,)
    texts = " ".join(reason.text for reason in plan.blocked.reasons)
    assert "clamp bar" in texts
    assert plan.states == 5


def test_the_proof_is_printed_line_by_line(coil, brake):
    """A blocked profile says how many states were tried, and why, for each edge in front."""
    lines = block_words(bend_order(narrow_u(), metal=coil, brake=brake))
    assert "all 5 half-made states" in lines[0]
    assert [line.split(":")[0] for line in lines[1:]] == [
        "Bend 2 with the start edge in front",
        "Bend 2 with the end edge in front",
    ]
    plain = Profile("L", (Leg(3), Leg(3)), (Bend(90, BACK),))
    assert block_words(bend_order(plain, metal=coil, brake=brake)) == ()


def test_remedies_are_proven_by_their_own_plans(coil, brake):
    """Each remedy of a blocked channel comes with profiles that the brake can make."""
    found = remedies(narrow_u(), metal=coil, brake=brake).changes
    assert [change.remedy for change in found] == [
        Remedy.CLOSED_BY_HAND, Remedy.BY_HAND, Remedy.TWO_PIECES,
    ]  # fmt: skip
    for change in found:
        assert all(plan.possible for plan in change.plans)
        for profile, plan in zip(change.profiles, change.plans, strict=True):
            left = frozenset() if plan.part is not None else frozenset(plan.by_hand)
            again = bend_order(profile, metal=coil, brake=brake, by_hand=left, part=plan.part)
            assert again == plan


def test_a_wider_channel_is_made(coil, brake):
    """With room for the bar and a back short enough to swing past it, the U is made."""
    wide = Profile("U", (Leg(1), Leg(4), Leg(1)), (Bend(90, BACK),) * 2)
    assert bend_order(wide, metal=coil, brake=brake).possible


def test_a_flange_too_narrow_is_offered_wider(coil, brake):
    """A quarter-inch edge leg is refused by the leaf, and the width that would do is offered."""
    narrow = Profile("edge", (Leg(3), Leg(0.25)), (Bend(90, BACK),))
    plan = bend_order(narrow, metal=coil, brake=brake)
    assert "the leaf needs" in plan.blocked.reasons[1].text
    wider = next(
        c
        for c in remedies(narrow, metal=coil, brake=brake).changes
        if c.remedy is Remedy.WIDER_FLANGE
    )
    assert wider.profiles[0].legs[1].length_in >= brake.least_flange_in


def test_a_hem_beyond_the_swing_is_offered_open(coil, brake):
    """Where the leaf does not swing far enough for a closed hem, an open one is offered."""
    short = replace(brake, swing_deg=110)
    edge = hemmed(Profile("edge", (Leg(7),), ()), end=End.START, hem=Hem(0.5, BACK))
    assert not bend_order(edge, metal=coil, brake=short).possible
    ways = remedies(edge, metal=coil, brake=short).changes
    change = next(c for c in ways if c.remedy is Remedy.OPEN_HEM)
    (step,) = change.plans[0].steps
    assert step.tongs
    assert not step.press
    assert "close it to its gap by hand" in step_words(step)


def test_a_hem_with_legs_in_the_way_cannot_be_pressed(coil, brake):
    """A hem between legs that stand under the bar on both sides is not pressed flat."""
    bends = (Bend(90, FINISH), Bend(180, BACK), Bend(90, FINISH))
    bench = Bench(Profile("T", (Leg(4), Leg(1), Leg(1), Leg(4)), bends), coil, brake)
    reason = bench._hem(1, End.END, 0b101)
    assert "pressed" in reason
    assert bench._hem(1, End.END, 0) == ""


def test_the_throat_blocks_what_is_too_deep(coil, brake):
    """A line that has more metal behind it than the throat takes, from both edges, is blocked."""
    deep = Profile("deep", (Leg(20), Leg(20)), (Bend(90, BACK),))
    plan = bend_order(deep, metal=coil, brake=brake)
    assert all('the throat takes 18"' in reason.text for reason in plan.blocked.reasons)


def test_an_angle_beyond_the_swing_is_said(coil, brake):
    """A bend sharper than the leaf can swing says both angles."""
    sharp = Profile("sharp", (Leg(3), Leg(3)), (Bend(150, BACK),))
    plan = bend_order(sharp, metal=coil, brake=brake)
    assert "needs a swing of 155 degrees, the leaf turns 135" in plan.blocked.reasons[0].text


def test_bends_left_to_the_hand_are_not_in_the_steps(coil, brake):
    """A bend named for hand tongs is left flat on the brake."""
    plan = bend_order(narrow_u(), metal=coil, brake=brake, by_hand=frozenset({2}))
    assert [step.bend for step in plan.steps] == [1]
    assert plan.by_hand == (2,)
    with pytest.raises(InputError, match="bend 9 by hand or part-open"):
        bend_order(narrow_u(), metal=coil, brake=brake, by_hand=frozenset({9}))


def test_too_many_bends_and_too_thick_metal_are_refused(brake):
    """Fifteen bends, or metal thicker than the brake takes, are refused with a way out."""
    many = Profile(
        "many", (Leg(3),) * 16, (Bend(10, BACK), Bend(10, FINISH)) * 7 + (Bend(10, BACK),)
    )
    with pytest.raises(InputError, match=r"15 bends; expected at most 14.*two pieces"):
        bend_order(many, metal=COIL, brake=brake)
    thick = Metal("plate", 0.125, 0.4, 0.125)
    with pytest.raises(InputError, match=r"at most 0.032"):
        bend_order(narrow_u(), metal=thick, brake=brake)


def test_marks_run_from_one_edge_with_their_order(coil, brake):
    """The strip has its cuts at 0 and the girth, and each bend's side, angle and order."""
    profile = Profile("Z", (Leg(4), Leg(1.5), Leg(3)), (Bend(90, BACK), Bend(90, FINISH)))
    plan = bend_order(profile, metal=coil, brake=brake)
    marks = strip_marks(profile, metal=coil, plan=plan)
    assert [m.mark for m in marks] == [Mark.CUT, Mark.BEND_DOWN, Mark.BEND_UP, Mark.CUT]
    assert sorted(m.orders for m in marks) == [(), (), (1,), (2,)]
    assert [m.at_in for m in marks] == sorted(m.at_in for m in marks)


def test_pictures_show_the_piece_as_it_lies(coil, brake):
    """Each step has a picture; after the last, front and back together are the whole girth."""
    profile = Profile("Z", (Leg(4), Leg(1.5), Leg(3)), (Bend(90, BACK), Bend(90, FINISH)))
    plan = bend_order(profile, metal=coil, brake=brake)
    pictures = step_pictures(profile, metal=coil, brake=brake, plan=plan)
    assert len(pictures) == 2
    girth = strip_marks(profile, metal=coil, plan=plan)[-1].at_in
    for picture in pictures:
        length = LineString(picture.after).length + LineString(picture.held).length
        assert length == pytest.approx(girth)
        assert LineString(picture.after).length == pytest.approx(LineString(picture.before).length)


def test_words_say_what_is_done_with_the_piece(coil, brake):
    """A step that turns the piece over says so, with the side up and the size from the edge."""
    profile = Profile("Z", (Leg(4), Leg(1.5), Leg(3)), (Bend(90, BACK), Bend(90, FINISH)))
    plan = bend_order(profile, metal=coil, brake=brake)
    text = step_words(plan.steps[1])
    assert text.startswith("Turn it over")
    assert "bend to 90 degrees (set 95)" in text


@settings(max_examples=40)
@given(profiles(most=5))
def test_a_profile_read_from_its_other_edge_is_as_easy(profile):
    """Walking the same profile from the other edge changes nothing that the brake could see."""
    back = Profile("back", profile.legs[::-1], tuple(
        replace(b, toward=b.toward) for b in profile.bends[::-1]
    ))  # fmt: skip
    one = bend_order(profile, metal=COIL, brake=BRAKE)
    two = bend_order(back, metal=COIL, brake=BRAKE)
    assert one.possible is two.possible
    assert one.handling == pytest.approx(two.handling)


def test_the_bar_holds_over_a_line_that_is_not_bent_yet(coil, brake):
    """A kick of 3/8 in with a hem: the hem is made first, held over the kick's flat line."""
    kick = Profile(
        "kick",
        (Leg(6), Leg(0.375), Leg(0.375, Measure.OUTSIDE)),
        (Bend(45, FINISH), Bend(180, BACK)),
    )
    plan = bend_order(kick, metal=coil, brake=brake)
    assert [step.bend for step in plan.steps] == [2, 1]


def test_a_flange_short_by_less_than_a_tape_tells_is_taken(coil, brake):
    """A leg of the least flange, less what the bend takes of it, is folded; 1/32 less is not."""
    for short, possible in ((1 / 128, True), (1 / 32, False)):
        leg = Leg(brake.least_flange_in - short, Measure.BACK)
        edge = Profile("edge", (Leg(3), leg), (Bend(90, BACK),))
        assert bend_order(edge, metal=coil, brake=brake).possible is possible
