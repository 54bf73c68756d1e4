"""Adjustment factors, stability and combinations."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.structure.combos import asd_combinations, strength_combinations
from weatherlap.structure.factors import (
    bearing_area_factor,
    strength,
    temperature_factors,
)
from weatherlap.structure.model import Case, Member, Service, Stock, Use
from weatherlap.structure.stability import (
    beam_effective_length,
    beam_slenderness,
    beam_stability,
    column_stability,
    needs_no_brace,
)


def member(stock, **kw):
    """A beam of a stock."""
    return Member("b", Use.BEAM, (0, 0, 0), (120, 0, 0), stock, **kw)


def test_wet_cliff_makes_fir_weaker_than_hemlock():
    """Wet 2x6: SPF and Hem-Fir lose nothing in bending, DF-L falls to 0.85 and below Hem-Fir."""
    wet = {
        sp: strength(member(Stock(1.5, 5.5, 1, sp, "No.2"), service=Service(wet=True)), duration=1)
        for sp in ("DF-L", "HF", "SPF")
    }
    assert wet["SPF"].fb_star.value == pytest.approx(875 * 1.3)
    assert wet["DF-L"].fb_star.value == pytest.approx(900 * 1.3 * 0.85)
    assert wet["DF-L"].fb_star.value < wet["HF"].fb_star.value


def test_duration_leaves_bearing_and_stiffness_alone():
    """Load duration moves strength, not Fc-perp, E or Emin."""
    m = member(Stock(1.5, 9.25, 2, "HF", "No.2"))
    short, long = strength(m, duration=1.6), strength(m, duration=0.9)
    assert short.fb_star.value / long.fb_star.value == pytest.approx(1.6 / 0.9)
    for one, other in ((short.fc_perp, long.fc_perp), (short.e, long.e), (short.emin, long.emin)):
        assert one.value == other.value


def test_product_of_lines_is_the_adjusted_value():
    """The lines of the appendix multiply to the adjusted value, factors of 1 left out."""
    m = member(Stock(1.5, 9.25, 1, "DF-L", "No.2"), repetitive=True, service=Service(incised=True))
    fb = strength(m, duration=1.15).fb_star
    *parts, result = fb.lines
    product = 1.0
    for part in parts:
        product *= part.value
    assert product == pytest.approx(result.value) == pytest.approx(900 * 1.15 * 1.1 * 0.8 * 1.15)


def test_flat_and_stud_and_deep_timber_factors():
    """Flat use 1.15 for a flat 2x8; Stud 2x4 1.1; a 13 1/2 in timber loses by (12/d)^(1/9)."""
    assert strength(member(Stock(1.5, 7.25, 1, "HF", "No.2"), flat=True), duration=1).flat == 1.15
    stud = strength(member(Stock(1.5, 3.5, 1, "SPF", "Stud")), duration=1)
    assert stud.fb_star.value == pytest.approx(675 * 1.1)
    deep = strength(member(Stock(9.5, 13.5, 1, "DF-L", "No.1")), duration=1)
    assert deep.fb_star.value == pytest.approx(1350 * (12 / 13.5) ** (1 / 9))


@pytest.mark.parametrize(
    ("length", "factor"), [(0.5, 1.75), (1.0, 1.38), (1.5, 1.25), (3.0, 1.13), (6.0, 1.0)]
)
def test_bearing_area_factor(length, factor):
    """Cb as the short table prints it, and 1.0 near the end."""
    assert bearing_area_factor(length, from_end_in=4.0) == pytest.approx(factor, abs=0.006)
    assert bearing_area_factor(length, from_end_in=2.9) == 1.0


def test_heat_and_engineered_wet_are_refused():
    """Over 150 F is refused; engineered lumber is not worked out wet without leave."""
    with pytest.raises(InputError, match="at most 150 F"):
        temperature_factors(160.0, wet=False)
    assert temperature_factors(120.0, wet=True) == (0.9, 0.7)


@given(st.floats(5.0, 400.0), st.floats(3.0, 14.0), st.floats(1.5, 6.0), st.floats(500.0, 3000.0))
def test_beam_stability_is_a_share(unbraced, depth, width, fb):
    """CL is between 0 and 1 and never gains from a longer unbraced length."""
    rb = beam_slenderness(
        beam_effective_length(unbraced, depth_in=depth), depth_in=depth, width_in=width
    )
    if rb > 50:
        with pytest.raises(InputError, match="at most 50"):
            beam_stability(fb, emin_psi=500000, slenderness=rb)
        return
    cl = beam_stability(fb, emin_psi=500000, slenderness=rb)
    assert 0 < cl <= 1
    assert beam_stability(fb, emin_psi=500000, slenderness=min(50, rb * 1.2)) <= cl + 1e-12


@given(st.floats(1.0, 75.0), st.floats(300.0, 3000.0), st.floats(3e5, 1e6))
def test_column_stability_is_a_share_below_both_limits(slender, fc, emin):
    """CP is at most 1 and at most the buckling share."""
    cp = column_stability(fc, emin_psi=emin, slenderness=slender)
    assert 0 < cp <= 1
    assert cp <= 0.822 * emin / slender**2 / fc + 1e-9


def test_depth_to_width_of_four_needs_no_brace():
    """2-2x10 (10 to 4 nominal) stands by itself with its ends held; a single 2x10 does not."""
    assert needs_no_brace(9.25, width_in=3.0)
    assert not needs_no_brace(9.25, width_in=1.5)


def test_allowable_combinations_and_their_durations():
    """Dead, live, roof live, snow and wind make the code's sums, each with its shortest load."""
    cases = frozenset(
        {Case.DEAD, Case.LIVE, Case.ROOF_LIVE, Case.SNOW, Case.WIND_UP, Case.WIND_DOWN}
    )
    made = {c.id: c.duration for c in asd_combinations(cases)}
    assert made["D"] == 0.9
    assert made["D + L"] == 1.0
    assert made["D + Lr"] == 1.25
    assert made["D + S"] == 1.15
    assert made["D + 0.75 L + 0.75 S"] == 1.15
    assert made["D + 0.75 L + 0.75 S + 0.45 Wd"] == 1.6
    assert made["0.6 D + 0.6 Wu"] == 1.6


def test_strength_level_snow_takes_0_7():
    """Snow of ASCE 7-22 counts 0.7 in allowable combinations."""
    made = asd_combinations(frozenset({Case.DEAD, Case.SNOW}), snow_is_strength_level=True)
    assert made[1].factor(Case.SNOW) == 0.7


def test_strength_combinations_lift_with_0_9_dead():
    """Anchors are lifted by 0.9 D + 1.0 W and pressed by 1.2 D + 1.6 S."""
    made = {c.id for c in strength_combinations(frozenset({Case.SNOW, Case.WIND_UP, Case.DEAD}))}
    assert {"1.4 D", "1.2 D + 1.6 S", "0.9 D + Wu"} <= made


def test_later_snow_takes_1_0_in_strength_combinations():
    """Snow of ASCE 7-22 counts 1.0 with dead and 0.3 beside wind; roof live stays 1.6."""
    cases = frozenset({Case.DEAD, Case.SNOW, Case.ROOF_LIVE, Case.WIND_DOWN})
    made = {c.id for c in strength_combinations(cases, snow_is_strength_level=True)}
    assert {"1.2 D + S", "1.2 D + 1.6 Lr", "1.2 D + Wd + 0.3 S"} <= made
