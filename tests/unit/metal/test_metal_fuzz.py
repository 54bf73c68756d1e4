"""Whatever numbers come in, bending either answers or says what is wrong."""

from __future__ import annotations

import math

from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Polygon

from weatherlap.errors import InputError
from weatherlap.metal.edges import Hem, hemmed
from weatherlap.metal.ends import EndCut, Notch, Tab
from weatherlap.metal.flat import flat_pattern
from weatherlap.metal.model import Bend, End, Leg, Measure, Metal, Profile, Toward
from weatherlap.metal.orders import bend_order
from weatherlap.metal.remedies import remedies
from weatherlap.metal.tables import brakes

WILD = (float("nan"), float("inf"), -math.inf, -1.0, 0.0, 1e-9, 1e9)
DRAWS = 100


@st.composite
def rows(draw, *lists):
    """Lists of sound numbers, of which at most one is spoiled."""
    found = [draw(numbers) for numbers in lists]
    places = [(n, k) for n, row in enumerate(found) for k in range(len(row))]
    if places and draw(st.integers(0, 2)) == 0:
        n, k = draw(st.sampled_from(places))
        found[n][k] = draw(st.sampled_from(WILD))
    return found


def lengths(low, high, count):
    """So many sound numbers."""
    return st.lists(st.floats(low, high), min_size=count, max_size=count)


@st.composite
def profiles(draw):
    """The numbers and choices of a profile of two to five legs, at most one number wrong."""
    count = draw(st.integers(1, 4))
    numbers = draw(
        rows(lengths(0.75, 6, count + 1), lengths(15, 150, count), lengths(0.014, 0.04, 1),
             lengths(0.3, 0.5, 1))
    )  # fmt: skip
    ways = draw(st.lists(st.sampled_from(list(Toward)), min_size=count, max_size=count))
    measures = draw(st.lists(st.sampled_from(list(Measure)), min_size=count + 1,
                             max_size=count + 1))  # fmt: skip
    return (*numbers, ways, measures)


def test_any_profile():
    """Any profile gets an order, a proof that there is none, or a refusal; most get an order."""
    reached = []

    @settings(max_examples=DRAWS)
    @given(profiles())
    def one(drawn):
        legs, angles, (thick,), (k,), ways, measures = drawn
        try:
            profile = Profile(
                "any",
                tuple(Leg(x, m) for x, m in zip(legs, measures, strict=True)),
                tuple(Bend(a, t) for a, t in zip(angles, ways, strict=True)),
            )
            profile = hemmed(profile, end=End.START, hem=Hem(0.5, Toward.BACK))
            plan = bend_order(profile, metal=Metal("m", thick, k), brake=brakes()["example"])
        except InputError as error:
            assert len(str(error)) > 20
            return
        reached.append(plan.possible)
        assert plan.possible is bool(plan.steps)
        if plan.possible:
            assert {step.bend for step in plan.steps} == set(range(1, 1 + len(profile.bends)))
        else:
            remedies(profile, metal=Metal("m", thick, k), brake=brakes()["example"])
            assert all(reason.text for reason in plan.blocked.reasons)

    one()
    assert len(reached) > DRAWS / 10 and {True, False} <= set(reached)


def test_any_flat_pattern():
    """Any ends give one whole outline with a finite area, or a refusal; many give an outline."""
    reached = []
    end = rows(lengths(6, 60, 1), lengths(0.1, 1, 2), lengths(0, 30, 1), lengths(-1, 1, 1))

    @settings(max_examples=DRAWS)
    @given(lengths(2, 12, 2), end, st.integers(0, 3), st.booleans())
    def one(legs, drawn, leg, notched):
        (length,), (out, inset), (taper,), (slope,) = drawn
        profile = Profile("any", tuple(Leg(x) for x in legs), (Bend(90, Toward.BACK),))
        try:
            cut = EndCut(
                per_x=slope,
                tabs=() if notched else (Tab(leg, out, Toward.BACK, inset_in=inset,
                                             taper_deg=taper),),
                notches=(Notch(leg, leg, inset),) if notched else (),
            )  # fmt: skip
            flat = flat_pattern(profile, metal=Metal("m", 0.019, 0.4), length_in=length, far=cut)
        except InputError as error:
            assert len(str(error)) > 20
            return
        reached.append(notched)
        shape = Polygon(flat.outline)
        assert shape.is_valid
        assert math.isfinite(shape.area)
        assert shape.area > 0

    one()
    assert len(reached) > DRAWS / 10
