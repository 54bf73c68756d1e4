"""Flat patterns cut into what brake and coil can take."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.ends import EndCut, Tab
from weatherlap.metal.fits import split_run
from weatherlap.metal.flat import flat_pattern
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import Bend, Leg, Profile, Toward
from weatherlap.metal.parts import across_girth, along_run, middle_of_leg, runs_of

FASCIA = Profile("fascia", (Leg(7), Leg(5), Leg(1)), (Bend(90, Toward.BACK),) * 2)


@given(st.floats(20, 600), st.floats(10, 130))
def test_runs_lap_one_another_and_cover_the_whole(length, longest):
    """Pieces begin at 0, end at the run's end, and each laps the next by the lap."""
    lengths = split_run(length, longest_in=longest, lap_in=1.0)
    runs = runs_of(lengths, length_in=length)
    assert runs[0][0] == 0
    assert runs[-1][1] == approx(length)
    assert all(b - a <= longest + 1e-6 for a, b in runs)
    assert all(a[1] - b[0] == approx(1.0) for a, b in pairwise(runs))


def test_tabs_go_with_the_end_pieces(coil):
    """Of two lengths, the first keeps the near tab and the second has none."""
    near = EndCut(tabs=(Tab(1, 1.0, Toward.FINISH),))
    flat = flat_pattern(FASCIA, metal=coil, length_in=100, near=near)
    first, second = along_run(flat, ((0, 50.5), (49.5, 100)), length_in=100)
    assert first.blank_in[0] == approx(51.5, abs=0.05)
    assert second.blank_in[0] == approx(50.5)
    assert [line.bend for line in first.bend_lines].count(0) == 1
    assert [line.bend for line in second.bend_lines] == [1, 2]
    assert first.area_in2 + second.area_in2 == approx(flat.area_in2 + 1.0 * flat.girths_in[0])


def test_halves_lap_on_their_leg(coil):
    """Cut across a leg, both halves are as wide as the profiles that are bent from them."""
    flat = flat_pattern(FASCIA, metal=coil, length_in=40)
    strip = lay_flat(FASCIA, metal=coil)
    first, second = across_girth(flat, (middle_of_leg(strip, 1),), lap_in=1.0)
    assert first.blank_in[1] + second.blank_in[1] == approx(strip.girth_in + 1.0)
    assert [line.bend for line in first.bend_lines] == [1]
    assert [line.bend for line in second.bend_lines] == [2]
    assert second.bend_lines[0].start[1] == approx(second.blank_in[1] - 1, abs=0.02)


def test_a_run_beside_the_pattern_is_refused(coil):
    """A length that lies beyond the metal is an error with its place."""
    flat = flat_pattern(FASCIA, metal=coil, length_in=40)
    with pytest.raises(InputError, match="piece 2: no metal lies there"):
        along_run(flat, ((0, 40), (60, 70)), length_in=100)
