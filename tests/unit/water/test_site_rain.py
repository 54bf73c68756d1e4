"""Rain of a site: assumptions are stated, faces get what they should, bad values are named."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.job.model import Site
from weatherlap.sources.register import sources
from weatherlap.water.rain import L_PER_MM_IN2, by_bearing, site_rain

FULL = {
    "rain_design": "100 mm/h", "rain_year": "1000 mm", "wind_design": "8 m/s",
    "wind_in_rain": "5 m/s", "wind_pressure": "20 m/s",
}  # fmt: skip


def changed(**values):
    """A site with values that no job file would let through."""
    return Site().model_copy(update=values)


def test_a_silent_site_says_what_was_taken():
    """Each value that the site leaves out is a sentence with a source of the register."""
    rain = site_rain(Site())
    text = " ".join(a.text for a in rain.assumptions)
    for words in ("4 in/h is taken", "44 in is taken", "22.4 mph", "8.95 mph", "50 mph", "5 mm/h"):
        assert words in text
    assert all(a.source in sources() and a.text.endswith(".") for a in rain.assumptions)
    assert rain.usual_share == approx(5 / 101.6)
    assert rain.gust_m_per_s == approx(22.352)


def test_a_full_site_takes_nothing_for_it():
    """What the site gives is not assumed."""
    rain = site_rain(Site(**FULL))
    assert not [a for a in rain.assumptions if "is taken." in a.text]
    assert rain.design_lph_per_in2(0, 0) == approx(100 * L_PER_MM_IN2)
    assert rain.design_lph_per_in2(180, 90) == approx(0.2 * 0.35 * 8 * 100 * L_PER_MM_IN2)
    assert rain.year_l_per_in2(180, 90) == approx(0.2 * 0.35 * 5 * 1000 / math.pi * L_PER_MM_IN2)


def test_a_square_metre_takes_a_litre_for_each_millimetre():
    """One mm on one square metre is one litre."""
    square_inches = (1000 / 25.4) ** 2
    assert square_inches * L_PER_MM_IN2 == approx(1.0)


@pytest.mark.parametrize("tilt", [0.0, 9.46, 18.43, 33.7, 45.0])
def test_roofs_take_their_plan_area(tilt):
    """Up to 12-in-12 a roof takes exactly its plan area of rain, whichever way it falls."""
    rain = site_rain(Site(**FULL, above_wall="runoff", exposure="severe"))
    plan = math.cos(math.radians(tilt)) * L_PER_MM_IN2
    assert rain.design_lph_per_in2(77, tilt) == approx(100 * plan)
    assert rain.year_l_per_in2(203, tilt) == approx(1000 * plan)


@given(st.floats(0, 360), st.floats(0, 180))
def test_no_face_takes_less_than_nothing(facing, tilt):
    """Every face takes a finite amount, none if it looks down, at least its plan area else."""
    rain = site_rain(Site(**FULL))
    for got, level in (
        (rain.design_lph_per_in2(facing, tilt), 100.0),
        (rain.year_l_per_in2(facing, tilt), 1000.0),
    ):
        assert 0 <= got < math.inf
        if tilt > 90.01:
            assert got == 0
        else:
            assert got >= level * math.cos(math.radians(tilt)) * L_PER_MM_IN2 * (1 - 1e-12) - 1e-15


def test_steep_faces_run_on_into_walls():
    """Just short of upright a face takes as much as the wall beside it."""
    rain = site_rain(Site(**FULL))
    assert rain.design_lph_per_in2(0, 89.99) == approx(rain.design_lph_per_in2(0, 90), rel=1e-3)


def test_iso_walls_follow_the_index():
    """ISO: the airfield index of a bearing times C_R, C_T, O and W."""
    site = Site(
        **FULL, driving_rain="iso-15927-3", airfield_index={"180": 300.0, "270": 400.0},
        terrain="farmland", obstacle_distance="30 m", wall_factor=0.5, topography=1.2,
        height="10 m",
    )  # fmt: skip
    factor = 0.19 * math.log(10 / 0.05) * 1.2 * 0.5 * 0.5
    rain = site_rain(site)
    assert rain.year_l_per_in2(180, 90) == approx(300 * factor * L_PER_MM_IN2)
    assert rain.year_l_per_in2(225, 90) == approx(350 * factor * L_PER_MM_IN2)
    hour = 2 / 9 * 8 * 100 ** (8 / 9)
    assert rain.design_lph_per_in2(180, 90) == approx(hour * factor * L_PER_MM_IN2)
    assert any("severe thunderstorms" in a.text for a in rain.assumptions)


def test_iso_without_an_index_says_so():
    """Without an airfield index one is estimated and the sentence says how."""
    rain = site_rain(Site(**FULL, driving_rain="iso-15927-3"))
    assert any("No airfield index is given" in a.text for a in rain.assumptions)
    assert any("unsheltered" in a.text for a in rain.assumptions)
    assert 10 < rain.year_l_per_in2(90, 90) / L_PER_MM_IN2 < 400


def test_index_with_the_other_standard_is_used_for_the_year():
    """An airfield index beside the ASHRAE factors still tells the walls apart over a year."""
    rain = site_rain(Site(**FULL, airfield_index={"0": 100.0, "180": 300.0}))
    assert rain.year_l_per_in2(180, 90) == approx(3 * rain.year_l_per_in2(0, 90))


@given(st.floats(-720, 720))
def test_bearings_go_round(facing):
    """Between bearings values run straight, round through north."""
    rows = ((10.0, 1.0), (100.0, 4.0), (350.0, 2.0))
    got = by_bearing(rows, facing_deg=facing)
    assert 1.0 <= got <= 4.0
    assert got == approx(by_bearing(rows, facing_deg=facing + 360), abs=1e-9)
    assert by_bearing(rows, facing_deg=0) == approx(1.5)


@pytest.mark.parametrize(
    ("site", "words"),
    [
        (changed(rain_design=0.0), "site, rain_design: 0; expected above 0"),
        (changed(rain_design=math.nan), "site, rain_design: nan"),
        (changed(rain_year=4e6), r"site, rain_year: 4e\+06"),
        (changed(wind_design=900.0), "site, wind_design"),
        (changed(wind_pressure=-1.0), "site, wind_pressure: -1"),
        (changed(airfield_index={"south": 3.0}), "'south': not a bearing; expected 0 to 360"),
        (changed(airfield_index={"400": 3.0}), "'400': not a bearing"),
        (changed(airfield_index={"nan": 3.0}), "'nan': not a bearing"),
        (changed(airfield_index={"90": -3.0}), "'90': -3; expected 0 or more"),
        (changed(airfield_index={"0": 3.0, "360": 4.0}), "this bearing stands twice"),
    ],
)
def test_values_beyond_this_earth_are_named(site, words):
    """A value that cannot be is named with its key."""
    with pytest.raises(InputError, match=words):
        site_rain(site)


@pytest.mark.parametrize(("facing", "tilt"), [(math.nan, 90), (0, -1), (0, 181), (0, math.nan)])
def test_a_face_that_cannot_be_is_named(facing, tilt):
    """A facing or tilt that is no angle is refused."""
    rain = site_rain(Site())
    with pytest.raises(InputError, match=r"facing_deg|tilt_deg"):
        rain.design_lph_per_in2(facing, tilt)
