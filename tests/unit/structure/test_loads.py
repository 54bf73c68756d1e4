"""Dead, live, snow, wind, tributary areas and whole roofs."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import InputError
from weatherlap.structure.dead import (
    LoadLayer,
    assembly_psf,
    dead_load,
    layer_psf,
    plan_psf,
    roof_live_psf,
)
from weatherlap.structure.model import Case, Framing, Member, Stock, Support, Use
from weatherlap.structure.roof_model import Deck, Roof, RoofWindAsk, UpperRoof, WindRoute
from weatherlap.structure.roofs import deck_loads, roof_loads
from weatherlap.structure.site import Exposure, Site, SnowEdition, Stated
from weatherlap.structure.snow import (
    drift_against_wall,
    flat_roof_snow,
    least_low_slope_snow,
    rain_on_snow_psf,
    sliding_snow_plf,
    slope_factor,
    unbalanced_gable,
)
from weatherlap.structure.tributary import (
    Area,
    Intensity,
    area_line_loads,
    tributary_ft2,
    tributary_strips,
)
from weatherlap.structure.wind import canopy_wind, open_roof_wind, tie_down_lb

STOCK = Stock(1.5, 5.5, 1, "SPF", "No.2")


def rafters(count=5, spacing=24.0, run=120.0, rise=0.0):
    """Parallel rafters along y."""
    members = tuple(
        Member(f"r{k}", Use.RAFTER, (spacing * k, 0, rise), (spacing * k, run, 0), STOCK)
        for k in range(count)
    )
    return Framing(members), tuple(m.id for m in members)


def test_dead_load_of_a_sloped_roof():
    """Shingles 2, half-inch plywood 1.6, felt 0.3 on 6 in 12: divided by the cosine."""
    layers = (LoadLayer("asphalt shingles"), LoadLayer("plywood", 0.5), LoadLayer("felt"))
    found = dead_load("roof", layers, slope_deg=26.565)
    assert found.result == pytest.approx(3.9 / 0.894427, rel=1e-5)
    assert assembly_psf("wood roof, asphalt shingles, gypsum ceiling") == 15.0


def test_a_layer_without_weight_is_refused():
    """An unknown layer, a sheet without thickness and a slope over 70 are refused."""
    with pytest.raises(InputError, match="not in the table of weights"):
        layer_psf(LoadLayer("lead"))
    with pytest.raises(InputError, match="no thickness"):
        layer_psf(LoadLayer("plywood"))
    with pytest.raises(InputError, match="0 to 70 degrees"):
        plan_psf(10, slope_deg=80)


@pytest.mark.parametrize(
    ("rise", "area", "psf"),
    [(3.9, 200, 20), (3.9, 201, 16), (3.9, 601, 12), (4, 100, 16), (8, 700, 12), (12, 50, 12)],
)
def test_roof_live_load(rise, area, psf):
    """R301.6 by slope and area."""
    assert roof_live_psf(rise, tributary_ft2=area) == psf


@pytest.mark.parametrize(
    ("slope", "thermal", "slippery", "factor"),
    [
        (30, 1.0, False, 1.0), (50, 1.0, False, 0.5), (70, 1.2, True, 0.0), (5, 1.0, True, 1.0),
        (37.5, 1.1, False, 1.0), (57.5, 1.2, False, 0.5), (15, 1.2, True, 1.0), (90, 1.0, False, 0),
    ],
)  # fmt: skip
def test_slope_factor(slope, thermal, slippery, factor):
    """Cs at its corners."""
    assert slope_factor(slope, thermal=thermal, slippery=slippery) == pytest.approx(factor)


def test_flat_snow_and_its_least():
    """pf = 0.7 x 1.0 x 1.2 x 1.0 x 40; least 20 Is over 20 psf."""
    assert flat_roof_snow(40, exposure=1, thermal=1.2, importance=1) == pytest.approx(33.6)
    assert least_low_slope_snow(40, importance=1) == 20
    assert least_low_slope_snow(15, importance=1.1) == pytest.approx(16.5)


def test_drift_rules():
    """No drift at a low step; a drift higher than the step is cut and widened to 8 hc."""
    none = drift_against_wall(2, windward_ft=0, balanced_psf=30, step_ft=1.8, density_pcf=18)
    assert none.peak_psf == 0
    free = drift_against_wall(2, windward_ft=0, balanced_psf=18, step_ft=8, density_pcf=18)
    assert (free.peak_psf, free.width_ft) == pytest.approx((36, 8))
    cut = drift_against_wall(3, windward_ft=0, balanced_psf=18, step_ft=3, density_pcf=18)
    assert (cut.peak_psf, cut.width_ft) == pytest.approx((36, 8 * 2))
    blown = drift_against_wall(1, windward_ft=4, balanced_psf=18, step_ft=8, density_pcf=18)
    assert blown.height_ft == pytest.approx(3.0)


def test_sliding_unbalanced_and_rain():
    """0.4 pf W only when steep enough; a narrow gable Is pg; rain only on flat light snow."""
    slide = {"upper_slope_deg": 20.0, "eave_to_ridge_ft": 15.0, "slippery": False}
    assert sliding_snow_plf(20, **slide) == pytest.approx(120)
    assert sliding_snow_plf(20, **{**slide, "upper_slope_deg": 9.0}) == 0
    narrow = unbalanced_gable(20, ground_psf=30, slope_deg=20, eave_to_ridge_ft=12, importance=1)
    assert narrow.leeward_psf == 30 and narrow.windward_psf == 0
    assert (
        unbalanced_gable(20, ground_psf=30, slope_deg=40, eave_to_ridge_ft=30, importance=1) is None
    )
    assert rain_on_snow_psf(20, slope_deg=0.1, eave_to_ridge_ft=10) == 5
    assert rain_on_snow_psf(25, slope_deg=0.1, eave_to_ridge_ft=10) == 0


def test_wind_routes_refuse_what_they_do_not_hold():
    """No coefficient is invented: steep open roofs, tall houses and other exposures are refused."""
    with pytest.raises(InputError, match="0 to 15 degrees"):
        open_roof_wind(20, slope_deg=16, obstructed=False)
    with pytest.raises(InputError, match="60 ft or less"):
        canopy_wind(20, up_coefficient=1, down_coefficient=1, house_height_ft=70)
    with pytest.raises(InputError, match="exposure B"):
        tie_down_lb(115, roof_span_ft=24, spacing_in=24, rise_per_12=4, exposure=Exposure.C,
                    roof_height_ft=20)  # fmt: skip
    with pytest.raises(InputError, match="110 to 140"):
        tie_down_lb(150, roof_span_ft=24, spacing_in=24, rise_per_12=4, exposure=Exposure.B,
                    roof_height_ft=20)  # fmt: skip


def test_open_roof_between_slopes():
    """Half way from 0 to 7.5 degrees, clear: windward up 0.85 q x 1.25, down 0.85 q x 1.05."""
    wind = open_roof_wind(10, slope_deg=3.75, obstructed=False)
    assert wind.up_psf[0] == pytest.approx(8.5 * 1.25)
    assert wind.down_psf[0] == pytest.approx(8.5 * 1.05)


def test_rectangle_is_shared_half_way():
    """Five rafters at 24 in: the inner ones carry 24 in, the outer ones half and the edge."""
    framing, names = rafters()
    area = Area("roof", ((-12, 0), (108, 0), (108, 120), (-12, 120)), names)
    strips = tributary_strips(area, framing)
    assert [s.start_width_in for s in strips["r2"]] == [24.0]
    assert tributary_ft2(strips["r0"], member=framing.member("r0")) == pytest.approx(20.0)


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.tuples(st.floats(0, 96), st.floats(0, 120)), min_size=3, max_size=7),
    st.floats(0.0, 40.0),
)
def test_what_lies_on_an_area_reaches_its_members(points, rise):
    """The line loads add up to area times load, for any convex outline, on sloped rafters too."""
    from shapely import MultiPoint

    hull = MultiPoint(points).convex_hull
    if hull.geom_type != "Polygon" or hull.area < 400:
        return
    framing, names = rafters(rise=rise)
    area = Area("roof", tuple(hull.exterior.coords[:-1]), names)
    loads = area_line_loads(area, framing, (Intensity(Case.DEAD, 10.0, "test", "S-066"),))
    total = 0.0
    for load in loads:
        m = framing.member(load.member)
        plan = (load.to_in - load.from_in) * m.plan_length_in / m.length_in / 12
        total += (load.start_plf + load.end_plf) / 2 * plan
    assert total == pytest.approx(10 * hull.area / 144, rel=1e-3, abs=0.5)


def test_drift_fades_from_the_wall():
    """A drift of 36 psf over 5 ft from the wall at y = 0: 36 x 60 / 2 in2 per inch of width."""
    framing, names = rafters()
    area = Area("roof", ((-12, 0), (108, 0), (108, 120), (-12, 120)), names, ((0, 0), (96, 0)))
    loads = area_line_loads(
        area, framing, (Intensity(Case.SNOW, 0.0, "drift", "S-031", 36.0, 60.0),)
    )
    mine = [x for x in loads if x.member == "r2"]
    assert len(mine) == 1
    assert (mine[0].start_plf, mine[0].end_plf, mine[0].to_in) == pytest.approx(
        (72, 0, 60), abs=0.01
    )


@pytest.mark.parametrize(
    ("outline", "carried", "words"),
    [
        pytest.param(((0, 0), (96, 0), (96, 150), (0, 150)), None, "past an end", id="too-long"),
        pytest.param(((0, 0), (96, 96), (96, 0), (0, 96)), None, "crosses itself", id="crossed"),
        pytest.param(((0, 0), (96, 0), (96, 99), (0, 99)), (), "no members", id="none"),
        pytest.param(((0, 0), (96, 0), (96, 99), (0, 99)), ("r0", "x"), "at an angle", id="skew"),
    ],
)
def test_areas_that_nothing_carries_are_refused(outline, carried, words):
    """Areas past their members, crossed outlines and skew members are refused."""
    framing, names = rafters()
    skew = Member("x", Use.RAFTER, (0, 0, 0), (96, 120, 0), STOCK)
    framing = Framing((*framing.members, skew))
    with pytest.raises(InputError, match=words):
        tributary_strips(Area("a", outline, names if carried is None else carried), framing)


def porch_roof(names, **kw):
    """A 2 in 12 porch roof against a house wall."""
    area = Area("porch", ((-12, 0), (108, 0), (108, 120), (-12, 120)), names, ((0, 0), (96, 0)))
    layers = (LoadLayer("asphalt shingles"), LoadLayer("plywood", 0.5))
    return Roof(area, 9.46, layers, eave_to_ridge_ft=10, lower_length_ft=10, **kw)


FULL = Site(
    Stated(30, "city"), wind_mph=Stated(115, "city"), exposure=Exposure.B, roof_height_ft=15
)


def test_missing_site_values_stop_the_check_and_say_whom_to_ask():
    """Without snow and wind values there is no snow or wind load, and both are asked for."""
    framing, names = rafters()
    found = roof_loads(porch_roof(names), framing, Site())
    cases = {x.case for x in found.line_loads}
    assert cases == {Case.DEAD, Case.ROOF_LIVE}
    asks = " ".join(m.ask for m in found.missing)
    assert "building department for the ground snow load" in asks
    assert "design wind speed" in asks


def test_whole_porch_roof_against_a_wall():
    """Snow 0.7 x 1.2 x 30 balanced, a drift at the wall, wind up and down, all on the rafters."""
    framing, names = rafters()
    roof = porch_roof(names, upper=UpperRoof(10, 30, 20, 15, falls_this_way=True))
    found = roof_loads(roof, framing, FULL)
    by = {f.what: f.result for f in found.figured}
    assert by["snow"] == pytest.approx(25.2)
    assert by["drift at the wall"] > 20
    assert by["sliding snow within 15 ft of the wall"] == pytest.approx(0.4 * 21 * 15 / 15)
    up = [x for x in found.line_loads if x.case is Case.WIND_UP]
    assert up and all(x.start_plf < 0 for x in up)
    assert not found.missing


def test_edition_of_snow_and_canopy_coefficients():
    """ASCE 7-22 asks for the winter wind where a wall stands above; a canopy for coefficients."""
    framing, names = rafters()
    later = Site(Stated(50, "map"), SnowEdition.ASCE_7_22, exposure=Exposure.B)
    roof = porch_roof(names, upper=UpperRoof(10, 30),
                      wind=RoofWindAsk(WindRoute.CANOPY))  # fmt: skip
    assert any("winter wind" in m.value for m in roof_loads(roof, framing, later).missing)
    assert any("canopy" in m.value for m in roof_loads(roof, framing, FULL).missing)
    typed = porch_roof(names, wind=RoofWindAsk(WindRoute.TYPED, up=25.0, down=10.0))
    found = roof_loads(typed, framing, Site())
    assert {Case.WIND_UP, Case.WIND_DOWN} <= {x.case for x in found.line_loads}


def test_deck_carries_forty():
    """A deck has its own weight and 40 psf."""
    framing, names = rafters()
    area = Area("deck", ((-12, 0), (108, 0), (108, 120), (-12, 120)), names)
    found = deck_loads(Deck(area, (LoadLayer("wood", 1.0),)), framing)
    live = [x.start_plf for x in found.line_loads if x.case is Case.LIVE and x.member == "r2"]
    assert live == pytest.approx([80.0])


def test_site_values_need_a_source():
    """A stated value without anyone who stated it is refused."""
    with pytest.raises(InputError, match="no source"):
        Stated(30, " ")
    assert Support("s", "m", (0, 0, 0)).owner == "m"
