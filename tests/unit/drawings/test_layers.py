"""Layers are drawn apart in their true lap order."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drawings.cutting import cut_at
from weatherlap.drawings.layers import Break, Scale, Stacking, Stop, layers_of


def drawn_in_order(cut, stacking, scale_of):
    """Every pair of layers that overlap on a strip: (inner, outer, least air between them)."""
    for strip in cut.strips:
        scale = scale_of(strip)
        layers = layers_of(stacking, strip, scale)
        for k, outer in enumerate(layers):
            for inner in layers[:k]:
                low = max(inner.low, outer.low) + 0.5
                high = min(inner.high, outer.high) - 0.5
                if high > low:
                    at = np.arange(np.ceil(low), high) + 0.5
                    at = at[(at > low) & (at < high)]
                    air = [outer.off(t) - inner.off(t) - inner.thickness for t in at]
                    if air:
                        yield inner, outer, min(air)


@pytest.mark.parametrize("per_in", [0.7, 2.0, 6.0])
@pytest.mark.parametrize("which", ["wrong_lap", "porch", "porch_reversed"])
def test_an_outer_layer_stands_outside_an_inner_one(request, which, per_in):
    """Wherever two pieces lap, the outer one is drawn outside the inner one, with air between."""
    corner = request.getfixturevalue(which).corner
    cut = cut_at(corner, 0, 40.0)
    rows = list(drawn_in_order(cut, Stacking(corner), lambda _: Scale(per_in)))
    assert rows
    for inner, outer, air in rows:
        assert corner.outside(outer.band.piece, inner.band.piece)
        assert air > 1.0, (corner.pieces[inner.band.piece].id, corner.pieces[outer.band.piece].id)


def test_heights_are_true_away_from_folds(wrong_lap):
    """A layer begins and ends where its piece does, at the drawing's scale."""
    strip = cut_at(wrong_lap.corner, 0, 40.0).strips[0]
    for layer in layers_of(Stacking(wrong_lap.corner), strip, Scale(4.0)):
        assert (layer.low, layer.high) == (4 * layer.band.start, 4 * layer.band.end)


def test_a_sheet_steps_out_over_a_lap_and_back(wrong_lap):
    """The lower sheet stands further out where it laps over the upper one than at its foot."""
    strip = cut_at(wrong_lap.corner, 0, 40.0).strips[0]
    upper, lower = layers_of(Stacking(wrong_lap.corner), strip, Scale(4.0))[1:]
    assert lower.off(4 * 50.0) > upper.off(4 * 50.0) + upper.thickness
    assert lower.off(10.0) == pytest.approx(upper.off(4 * 90.0))


@given(
    st.lists(st.tuples(st.floats(1, 99), st.floats(0, 40)), max_size=4),
    st.lists(st.floats(2, 90), max_size=3, unique=True),
    st.floats(0.2, 10.0),
)
@settings(max_examples=60)
def test_a_scale_never_runs_backward(stops, starts, per_in):
    """Whatever is pulled apart and left out, what is higher on the strip is not drawn lower."""
    gaps = tuple(Break(a, a + 5.0) for a in sorted(starts) if all(abs(a - b) > 6 or a == b
                                                                  for b in starts))  # fmt: skip
    scale = Scale(per_in, tuple(Stop(*s) for s in stops), gaps)
    places = [scale.at(t, upper=u) for t in np.arange(0, 100, 0.5) for u in (False, True)]
    assert all(b >= a - 1e-9 for a, b in itertools.pairwise(places))


def test_a_stop_makes_room_above_its_place():
    """At a stop the lower side keeps its place and the upper side is moved by the room."""
    scale = Scale(2.0, (Stop(10.0, 30.0),))
    assert scale.at(10.0, upper=False) == 20.0
    assert scale.at(10.0, upper=True) == 50.0
    assert scale.at(12.0, upper=False) == 54.0


def test_a_break_takes_its_own_room_only():
    """A stretch that is left out stands as 20 units, whatever its length."""
    scale = Scale(4.0, (), (Break(10.0, 60.0),))
    assert scale.at(60.0, upper=False) - scale.at(10.0, upper=False) == pytest.approx(20.0)
    assert scale.at(70.0, upper=False) - scale.at(60.0, upper=False) == pytest.approx(40.0)
