"""Picking stock and what the tables say beside it."""

from dataclasses import replace

import pytest

from weatherlap.errors import InputError, NoSolution
from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import Case, Stock
from weatherlap.structure.picker import beam_stocks, pick_stock, post_stocks, weight_plf
from weatherlap.structure.prescriptive import (
    deck_beam,
    deck_joist,
    deck_post_height,
    full_height_studs,
    porch_girder,
    table_size,
    wall_header,
)
from weatherlap.structure.staging import as_found


def test_the_lightest_that_works_is_picked(make_beam):
    """Every lighter stock fails when it is put in; the pick holds every check."""
    framing = make_beam(
        Stock(1.5, 9.25, 2, "SPF", "No.2"), 120, [(Case.DEAD, 80), (Case.SNOW, 200)]
    )
    stocks = beam_stocks("SPF", "No.2")
    pick = pick_stock(framing, "b", stocks)
    assert all(c.holds for c in pick.checks)
    for stock in stocks:
        if weight_plf(stock, member=framing.members[0]) < pick.weight_plf - 1e-9:
            trial = replace(framing, members=(replace(framing.members[0], stock=stock),))
            try:
                found, _ = check_stage(trial, as_found(trial))
            except InputError:
                continue
            assert any(not c.holds for c in found if c.about == "b")


def test_the_table_stands_beside_the_pick(make_beam):
    """What the porch table says of the same stock is printed beside it."""
    framing = make_beam(Stock(1.5, 9.25, 2, "SP", "No.2"), 110, [(Case.DEAD, 40), (Case.SNOW, 120)])
    pick = pick_stock(
        framing, "b", (Stock(1.5, 9.25, 2, "SP", "No.2"),),
        beside=lambda s: porch_girder(table_size(s), species=s.species, porch_depth_ft=8,
                                      ground_snow_psf=30),
    )  # fmt: skip
    assert pick.table.length_in == 148
    assert "12' 4\"" in pick.sentence


def test_nothing_that_works_is_no_solution(make_beam):
    """A span too long for all stocks has no plan."""
    framing = make_beam(Stock(1.5, 9.25, 2, "SPF", "No.2"), 230, [(Case.SNOW, 900)])
    with pytest.raises(NoSolution, match="none of"):
        pick_stock(framing, "b", beam_stocks("SPF", "No.2"))
    assert post_stocks("SP", "No.2")[0].width_in == 3.5


def test_table_rows_and_their_ends():
    """Depths between columns are interpolated, outside them and above 70 psf nothing is said."""
    said = porch_girder("2-2x10", species="SP", porch_depth_ft=11, ground_snow_psf=20)
    assert said.length_in == pytest.approx((148 + 112) / 2)
    assert porch_girder("2-2x10", species="SP", porch_depth_ft=15, ground_snow_psf=20) is None
    assert porch_girder("2-2x10", species="SP", porch_depth_ft=8, ground_snow_psf=80) is None
    assert porch_girder("2-2x10", species="oak", porch_depth_ft=8, ground_snow_psf=30) is None
    assert porch_girder("2-2x8", species="SP", porch_depth_ft=8, ground_snow_psf=30) is None


def test_headers_with_jack_studs_and_unbraced_tops():
    """2-2x10 at 24 ft, 30 psf: 6-10 on two jack studs; 0.70 of it with an unbraced top."""
    said = wall_header("2-2x10", species="HF", building_width_ft=24, ground_snow_psf=25)
    assert (said.length_in, said.jack_studs) == (82, 2)
    cripple = wall_header("2-2x10", species="HF", building_width_ft=24, ground_snow_psf=25,
                          braced_top=False)  # fmt: skip
    assert cripple.length_in == pytest.approx(0.7 * 82)
    assert full_height_studs(5, mild_wind=True) == 1
    with pytest.raises(InputError, match="over 0 to 18"):
        full_height_studs(19, mild_wind=False)


def test_deck_rows():
    """Deck beams by the next longer joist, joists by spacing, posts by area."""
    assert deck_beam("2-2x10", species="SP", joist_span_ft=9).length_in == 96
    assert deck_beam("2-2x10", species="SP", joist_span_ft=19) is None
    assert deck_joist("2x8", species="HF", spacing_in=16).length_in == 133
    assert deck_post_height("4x4", species="SP", area_ft2=60).length_in == 132
    assert deck_post_height("4x4", species="SP", area_ft2=150) is None
