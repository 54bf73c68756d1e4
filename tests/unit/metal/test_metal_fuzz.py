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

numbers = st.one_of(st.floats(), st.floats(0.1, 12), st.sampled_from([0.0, -1.0, 90.0, 180.0]))
legs = st.tuples(numbers, st.sampled_from(list(Measure)))
bends = st.tuples(numbers, st.sampled_from(list(Toward)), st.one_of(st.none(), numbers))


def made(leg_rows, bend_rows, thick, k):
    """A profile with its metal, or None where they are refused in words."""
    try:
        profile = Profile(
            "any",
            tuple(Leg(x, m) for x, m in leg_rows),
            tuple(Bend(a, t, r) for a, t, r in bend_rows),
        )
        return hemmed(profile, end=End.START, hem=Hem(0.5, Toward.BACK)), Metal("m", thick, k)
    except InputError as error:
        assert len(str(error)) > 20
        return None


@settings(max_examples=100)
@given(st.lists(legs, max_size=5), st.lists(bends, max_size=4), numbers, numbers)
def test_any_profile(leg_rows, bend_rows, thick, k):
    """Any profile gets an order, a proof that there is none, or a refusal."""
    found = made(leg_rows, bend_rows, thick, k)
    if found is None:
        return
    profile, metal = found
    try:
        plan = bend_order(profile, metal=metal, brake=brakes()["example"])
    except InputError as error:
        assert "any" in str(error)
        return
    assert plan.possible is bool(plan.steps)
    if not plan.possible:
        remedies(profile, metal=metal, brake=brakes()["example"])
        assert all(reason.text for reason in plan.blocked.reasons)


@settings(max_examples=100)
@given(
    st.floats(1, 12),
    st.floats(1, 12),
    numbers,
    st.lists(st.tuples(st.integers(0, 3), numbers, numbers, numbers), max_size=2),
    st.lists(st.tuples(st.integers(0, 3), st.integers(0, 3), numbers), max_size=2),
    numbers,
)
def test_any_flat_pattern(first, second, length, tabs, notches, slope):
    """Any ends give one whole outline with a finite area, or a refusal."""
    profile = Profile("any", (Leg(first), Leg(second)), (Bend(90, Toward.BACK),))
    cut = EndCut(
        per_x=slope if math.isfinite(slope) and abs(slope) < 10 else 0.0,
        tabs=tuple(Tab(n, x, Toward.BACK, inset_in=i, taper_deg=t) for n, x, i, t in tabs),
        notches=tuple(Notch(a, b, d) for a, b, d in notches),
    )
    try:
        flat = flat_pattern(profile, metal=Metal("m", 0.019, 0.4), length_in=length, far=cut)
    except InputError as error:
        assert len(str(error)) > 20
        return
    shape = Polygon(flat.outline)
    assert shape.is_valid
    assert math.isfinite(shape.area)
    assert shape.area > 0
