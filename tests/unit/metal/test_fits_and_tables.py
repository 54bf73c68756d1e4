"""Whether a piece fits coil and brake, and the crew's own tables."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.metal.brake import Brake, turned
from weatherlap.metal.fits import check_fit, fit, split_run
from weatherlap.metal.girth import girth_in
from weatherlap.metal.model import Bend, Leg, Metal, Profile, Toward
from weatherlap.metal.tables import brakes, metals, read_brakes, read_metals
from weatherlap.metal.widths import strips_of
from weatherlap.sources.register import sources

BACK = Toward.BACK


def beam(side):
    """A wrap over a beam."""
    return Profile("beam", (Leg(side), Leg(3.5), Leg(side)), (Bend(90, BACK),) * 2)


def test_a_piece_that_fits_has_nothing_to_say(coil, brake):
    """Girth and length within coil and brake leave profile and length as they are."""
    found = fit(beam(9), metal=coil, length_in=120, coil_width_in=24, brake=brake)
    assert (found.too_wide, found.too_long) == ("", "")
    assert found.lengths_in == (120,)
    check_fit(beam(9), metal=coil, length_in=120, coil_width_in=24, brake=brake)


def test_a_girth_wider_than_the_coil_is_split_on_a_leg(coil, brake):
    """A wide wrap is offered as two profiles that each come out of the coil."""
    found = fit(beam(14), metal=coil, length_in=100, coil_width_in=24, brake=brake)
    assert "make 2 pieces" in found.too_wide
    assert all(girth_in(half, metal=coil) <= 24 for half in found.profiles)
    with pytest.raises(InputError, match=r"a girth of 2' 7 1/2.*at most the coil's 2'.*2 pieces"):
        check_fit(beam(14), metal=coil, length_in=100, coil_width_in=24, brake=brake)


def test_a_piece_longer_than_the_brake_is_split_with_laps(coil, brake):
    """A long piece is offered as equal pieces that the brake takes."""
    with pytest.raises(InputError, match=r"at most the brake's 10' 6.*make 2 of 8' 4 1/2"):
        check_fit(beam(5), metal=coil, length_in=200, coil_width_in=24, brake=brake)


def test_a_girth_beyond_two_widths_is_made_of_more(coil, brake):
    """Legs wider than the coil are cut twice: the fewest strips, lapped, none wider than it."""
    found = fit(beam(40), metal=coil, length_in=20, coil_width_in=24, brake=brake)
    widths = [girth_in(part, metal=coil) for part in found.profiles]
    assert len(widths) == 4
    assert max(widths) <= 24
    assert sum(widths) == approx(found.girth_in + 3)
    assert [bend for part in found.profiles for bend in part.bends] == list(beam(40).bends)
    assert 'make 4 pieces that lap 1" on leg 1, leg 2, leg 3' in found.too_wide


def test_a_girth_without_room_for_laps_is_refused(coil, brake):
    """Many narrow legs between bends take no lap, and it is said."""
    comb = Profile(
        "comb", (Leg(1),) * 12, (Bend(20, BACK), Bend(20, Toward.FINISH)) * 5 + (Bend(20, BACK),)
    )
    with pytest.raises(InputError, match=r"no legs wide enough for laps.*a wider coil"):
        fit(comb, metal=coil, length_in=20, coil_width_in=6, brake=brake)


@given(st.lists(st.floats(2, 30), min_size=1, max_size=6), st.floats(8, 30), st.floats(0.5, 1.5))
def test_strips_make_the_girth_and_are_the_fewest(lengths, wide, lap):
    """Strips less their laps make the girth; none is wider than the coil, one fewer is too few."""
    metal = Metal("coil", 0.019, 0.4)
    bends = tuple(Bend(30, BACK if n % 2 else Toward.FINISH) for n in range(len(lengths) - 1))
    whole = Profile("p", tuple(Leg(x) for x in lengths), bends)
    girth = girth_in(whole, metal=metal)
    found = strips_of(whole, metal=metal, coil_width_in=wide, lap_in=lap)
    widths = [girth_in(part, metal=metal) for part in found.profiles]
    count = len(widths)
    assert max(widths) <= wide + 1e-6
    assert sum(widths) - (count - 1) * lap == approx(girth)
    assert sum(len(part.bends) for part in found.profiles) == len(bends)
    marks = [0.0, *found.middles_in, girth]
    assert marks == sorted(marks)


@given(st.floats(1, 5000), st.floats(20, 150), st.floats(0, 10))
def test_split_pieces_make_the_run_and_are_the_fewest(length, longest, lap):
    """Pieces less their laps add up to the run; one piece fewer would be too long."""
    parts = split_run(length, longest_in=longest, lap_in=lap)
    count = len(parts)
    assert sum(parts) - (count - 1) * lap == approx(length)
    assert max(parts) <= longest + 1e-6
    if count > 1:
        assert (length + (count - 2) * lap) / (count - 1) > longest - 1e-6


def test_a_lap_longer_than_the_piece_is_refused():
    """A lap that eats the whole piece is refused."""
    with pytest.raises(InputError, match="lap"):
        split_run(100, longest_in=10, lap_in=10)


def test_the_brake_that_comes_along_is_marked_invented():
    """The one brake is invented and says so; metals cite sources that are in the register."""
    assert [brake.invented for brake in brakes().values()] == [True]
    assert all(key in sources() for metal in metals().values() for key in metal.source_keys)


def test_a_crew_adds_its_own_brake_and_metal():
    """Tables are read from text, field by field."""
    row = brakes()["example"]
    text = "[mine]\n" + "\n".join(f"{n} = {json.dumps(getattr(row, n))}" for n in Brake.__slots__)
    assert read_brakes(text) == {"mine": row}
    assert read_metals('[m]\nname = "m"\nthickness_in = 0.02\nk_factor = 0.4')["m"].radius_in == 0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param("[", "expected a TOML file", id="not-toml"),
        pytest.param("a = 1", "tables such as", id="no-table"),
        pytest.param("[a]\nfoo = 1", "the fields of Brake", id="unknown"),
    ],
)
def test_a_wrong_table_is_refused(text, words):
    """Text that is no table of brakes says what would be."""
    with pytest.raises(InputError, match=words):
        read_brakes(text)


@pytest.mark.parametrize(
    ("field", "value"),
    [("throat_in", -1), ("swing_deg", 400), ("nose_deg", 80), ("length_in", float("nan"))],
)
def test_a_brake_that_cannot_be_is_refused(brake, field, value):
    """Sizes out of bounds are refused by the brake itself."""
    with pytest.raises(InputError, match="brake example"):
        replace(brake, **{field: value})


def test_outlines_run_counter_clockwise(brake):
    """Bar, bed and leaf are wound one way, as the test of what lies inside them needs."""
    for outline in (brake.bar(), brake.bed(), brake.table(), brake.leaf(), brake.leaf(90)):
        pairs = zip(outline, (*outline[1:], outline[0]), strict=True)
        assert sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs) > 0
    assert turned((1, 0), 90) == approx((0, 1))
