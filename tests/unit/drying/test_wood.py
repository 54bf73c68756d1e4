"""Wood and water: equilibrium, meters, bands."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from weatherlap.drying.wood import (
    Species,
    Wetness,
    bound_water_diffusivity_m2_s,
    corrected_reading,
    equilibrium_pct,
    humidity_for_pct,
    slab_wetness_left,
    species_corrected_pct,
    temperature_corrected_pct,
    wetness,
)
from weatherlap.errors import InputError


@given(humidity=st.floats(1.0, 99.0), celsius=st.floats(-10.0, 50.0), more=st.floats(0.1, 1.0))
def test_wood_is_wetter_in_damper_air(humidity: float, celsius: float, more: float) -> None:
    """Equilibrium moisture rises with humidity at every temperature."""
    low = equilibrium_pct(humidity, temperature_c=celsius)
    assert equilibrium_pct(humidity + more, temperature_c=celsius) > low > 0.0


@given(content=st.floats(1.0, 24.0), celsius=st.floats(0.0, 40.0))
def test_humidity_turns_equilibrium_round(content: float, celsius: float) -> None:
    """The humidity found for a content gives that content back."""
    humidity = humidity_for_pct(content, temperature_c=celsius)
    assert equilibrium_pct(humidity, temperature_c=celsius) == pytest.approx(content, abs=1e-6)


def test_wet_wood_is_with_saturated_air() -> None:
    """Wood above fibre saturation is at rest only with air at 100 %."""
    assert humidity_for_pct(60.0, temperature_c=20.0) == 100.0


@pytest.mark.parametrize("humidity", [-1.0, 100.5, float("nan")])
def test_impossible_humidity_is_refused(humidity: float) -> None:
    """Humidity below 0, over 100 or not a number is refused."""
    with pytest.raises(InputError, match="expected 0 to 100 percent"):
        equilibrium_pct(humidity, temperature_c=20.0)


@pytest.mark.parametrize(
    ("content", "want"),
    [
        (12.0, Wetness.DRY),
        (16.0, Wetness.WATCH),
        (19.0, Wetness.WET),
        (26.0, Wetness.AT_RISK),
        (30.0, Wetness.DECAYING),
        (80.0, Wetness.DECAYING),
    ],
)
def test_bands(content: float, want: Wetness) -> None:
    """Each band begins at its bound."""
    assert wetness(content) is want


@pytest.mark.parametrize(("celsius", "want"), [(20.0, 18.0), (5.0, 19.5), (35.0, 16.5)])
def test_meter_rule_for_temperature(celsius: float, want: float) -> None:
    """Half a point more for each 5 C below 20, half a point less for each above."""
    assert temperature_corrected_pct(18.0, wood_c=celsius) == pytest.approx(want)


def test_species_line_is_near_the_reading_for_douglas_fir() -> None:
    """A meter set for Douglas-fir reads Douglas-fir at 20 C right within half a point."""
    got = species_corrected_pct(16.0, wood_c=20.0, species=Species.DOUGLAS_FIR)
    assert got == pytest.approx(16.0, abs=0.5)


def test_spruce_is_wetter_than_it_reads() -> None:
    """Spruce holds more than a meter set for Douglas-fir shows."""
    assert species_corrected_pct(16.0, wood_c=20.0, species=Species.SPRUCE) > 17.0


def test_reading_in_words() -> None:
    """A reading is answered in one sentence, with the sources of the rule."""
    found = corrected_reading(28.0, wood_c=5.0)
    assert found.sentence == "A reading of 28 % at 5 C means 29.5 %."
    assert found.trusted and found.source_keys == ("D-005",)


def test_readings_of_soaked_wood_are_not_trusted() -> None:
    """Above fibre saturation the answer says that pins only show very wet wood."""
    found = corrected_reading(45.0, wood_c=20.0, points=1.5)
    assert found.moisture_pct == pytest.approx(46.5)
    assert not found.trusted and "very wet" in found.sentence


@pytest.mark.parametrize(
    ("reading", "celsius", "want"),
    [(2.0, 20.0, "4 to 120 percent"), (15.0, 95.0, "-30 to 70 C")],
)
def test_impossible_readings_are_refused(reading: float, celsius: float, want: str) -> None:
    """A reading or a temperature no meter gives is refused with what would be right."""
    with pytest.raises(InputError, match=want):
        corrected_reading(reading, wood_c=celsius)


def test_slab_refuses_no_thickness() -> None:
    """A slab without thickness is refused."""
    with pytest.raises(InputError, match="thickness and diffusivity above 0"):
        slab_wetness_left(10.0, thickness_m=0.0, diffusivity_m2_s=1e-10)


def test_sealed_face_takes_four_times_as_long() -> None:
    """One face sealed is twice the thickness, four times the time."""
    both = slab_wetness_left(1e5, thickness_m=0.038, diffusivity_m2_s=2e-10)
    one = slab_wetness_left(4e5, thickness_m=0.076, diffusivity_m2_s=2e-10)
    assert one == pytest.approx(both)


def test_bound_water_moves_faster_warm_and_wet() -> None:
    """Diffusivity of bound water rises with temperature and with moisture."""
    base = bound_water_diffusivity_m2_s(10.0, temperature_c=10.0)
    assert bound_water_diffusivity_m2_s(10.0, temperature_c=30.0) > 2.0 * base
    assert bound_water_diffusivity_m2_s(20.0, temperature_c=10.0) > 2.0 * base
