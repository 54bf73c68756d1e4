"""All loads of a roof or deck: what is figured, what it puts on the members, what is missing."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import radians, tan

from weatherlap.structure.dead import dead_load, deck_live_psf, roof_live_psf
from weatherlap.structure.model import Case, Framing, LineLoad
from weatherlap.structure.results import Caution, Figured, Missing, Value
from weatherlap.structure.roof_model import Deck, Roof, RoofWindAsk, UpperRoof, WindRoute
from weatherlap.structure.site import Exposure, Site, SnowEdition, missing_value
from weatherlap.structure.snow import (
    LOW_SLOPE_DEG,
    Drift,
    drift_against_wall,
    drift_height_7_16_ft,
    drift_height_7_22_ft,
    exposure_factor,
    flat_roof_snow,
    least_low_slope_snow,
    rain_on_snow_psf,
    sliding_snow_plf,
    slope_factor,
    snow_density_pcf,
    unbalanced_gable,
)
from weatherlap.structure.tributary import (
    Intensity,
    area_line_loads,
    tributary_ft2,
    tributary_strips,
)
from weatherlap.structure.wind import (
    RoofWind,
    canopy_wind,
    exposure_coefficient,
    open_roof_wind,
    velocity_pressure,
)

IN_PER_FT = 12.0
SLIDING_IN = 180.0


@dataclass(slots=True)
class AreaLoads:
    """Line loads of areas, with how each came about."""

    line_loads: list[LineLoad] = field(default_factory=list)
    figured: list[Figured] = field(default_factory=list)
    missing: list[Missing] = field(default_factory=list)
    cautions: list[Caution] = field(default_factory=list)
    intensities: list[Intensity] = field(default_factory=list)

    def add(self, figured: Figured, intensity: Intensity) -> None:
        """A figured load and where it acts."""
        self.figured.append(figured)
        if max(intensity.even_psf, intensity.peak_psf) > 0:
            self.intensities.append(intensity)


def deck_loads(deck: Deck, framing: Framing) -> AreaLoads:
    """Dead and live load of a deck or porch floor.

    Sources
    -------
    S-024 : layers. S-026 : 40 psf.
    """
    found = AreaLoads()
    name = deck.area.id
    dead = dead_load(name, deck.layers, slope_deg=0.0, allowance_psf=deck.allowance_psf)
    found.add(dead, Intensity(Case.DEAD, dead.result, "floor dead load", "S-024"))
    live, source = (deck_live_psf(), "S-026") if deck.live_psf is None else (deck.live_psf, "S-066")
    found.add(
        Figured(name, "live load", "as given", (Value("L", live, "psf", source),), source, live,
                "psf"),
        Intensity(Case.LIVE, live, "floor live load", source),
    )  # fmt: skip
    found.line_loads += area_line_loads(deck.area, framing, tuple(found.intensities))
    return found


def roof_loads(roof: Roof, framing: Framing, site: Site) -> AreaLoads:
    """Dead, roof live, snow and wind of a roof.

    Snow that needs a missing site value is left out and named under ``missing``, likewise wind: the
    checks with them are then not made.

    Sources
    -------
    S-024, S-025, S-030, S-031, S-033, S-034, S-035.
    """
    found = AreaLoads()
    name = roof.area.id
    dead = dead_load(name, roof.layers, slope_deg=roof.slope_deg, allowance_psf=roof.allowance_psf)
    found.add(dead, Intensity(Case.DEAD, dead.result, "roof dead load", "S-024"))
    _roof_live(roof, framing, found)
    _snow(roof, site, found)
    _wind(roof, site, found)
    found.line_loads += area_line_loads(roof.area, framing, tuple(found.intensities))
    return found


def _roof_live(roof: Roof, framing: Framing, found: AreaLoads) -> None:
    """Roof live load, by the smallest area that one of the members carries."""
    strips = tributary_strips(roof.area, framing)
    smallest = min(
        tributary_ft2(pieces, member=framing.member(name)) for name, pieces in strips.items()
    )
    rise = IN_PER_FT * tan(radians(roof.slope_deg))
    live = roof_live_psf(rise, tributary_ft2=smallest)
    values = (Value("rise in 12", rise, "in", "S-066"), Value("At", smallest, "ft2", "S-062"))
    found.add(
        Figured(roof.area.id, "roof live load", "by slope and tributary area", values, "S-025",
                live, "psf"),
        Intensity(Case.ROOF_LIVE, live, "roof live load", "S-025"),
    )  # fmt: skip


def _snow(roof: Roof, site: Site, found: AreaLoads) -> None:
    """Balanced snow and its patterns."""
    name = roof.area.id
    if site.ground_snow_psf is None:
        found.missing.append(missing_value("ground_snow_psf", about=name, what="snow"))
        return
    if site.exposure is None:
        found.missing.append(missing_value("exposure", about=name, what="snow"))
        return
    if site.snow_edition is SnowEdition.ASCE_7_22 and site.winter_wind is None and roof.upper:
        found.missing.append(missing_value("winter_wind", about=name, what="snow drift"))
        return
    balanced = balanced_snow(roof, site, site.exposure)
    found.add(balanced, Intensity(Case.SNOW, balanced.result, "snow", "S-030"))
    _unbalanced(roof, site, balanced.result, found)
    _rain_on_snow(roof, site, balanced.result, found)
    if roof.upper is not None:
        _drift(roof, roof.upper, site, balanced.result, found)
        _sliding(roof.upper, site, site.exposure, balanced.result, found, name)


def _importance(site: Site) -> float:
    """Is; ASCE 7-22 has it in the map. [-]"""
    return 1.0 if site.snow_edition is SnowEdition.ASCE_7_22 else site.importance


def balanced_snow(roof: Roof, site: Site, exposure: Exposure) -> Figured:
    """Balanced snow on plan, not less than the least for low slopes. [psf]

    Sources
    -------
    S-030 : ps = Cs pf; 7.3.4.
    """
    assert site.ground_snow_psf is not None
    pg, importance = site.ground_snow_psf.value, _importance(site)
    ce = exposure_factor(exposure, roof=site.snow_exposure)
    pf = flat_roof_snow(pg, exposure=ce, thermal=roof.thermal, importance=importance)
    cs = slope_factor(roof.slope_deg, thermal=roof.thermal, slippery=roof.slippery)
    least = 0.0
    if roof.slope_deg < LOW_SLOPE_DEG:
        least = least_low_slope_snow(pg, importance=importance)
    values = (
        Value("pg", pg, f"psf, {site.ground_snow_psf.said_by}", "S-066"),
        Value("Ce", ce, "-", "S-030"), Value("Ct", roof.thermal, "-", "S-030"),
        Value("Is", importance, "-", "S-030"), Value("pf", pf, "psf", "S-030"),
        Value("Cs", cs, "-", "S-030"), Value("pm", least, "psf", "S-030"),
    )  # fmt: skip
    return Figured(
        roof.area.id, "snow", "max(Cs 0.7 Ce Ct Is pg, pm)", values, "S-030", max(cs * pf, least),
        "psf",
    )  # fmt: skip


def _unbalanced(roof: Roof, site: Site, sloped: float, found: AreaLoads) -> None:
    """Unbalanced snow of a gable, its heavy side on this roof."""
    if not roof.gable or site.ground_snow_psf is None:
        return
    uneven = unbalanced_gable(
        sloped, ground_psf=site.ground_snow_psf.value, slope_deg=roof.slope_deg,
        eave_to_ridge_ft=roof.eave_to_ridge_ft, importance=_importance(site),
    )  # fmt: skip
    if uneven is None:
        return
    total = uneven.leeward_psf + uneven.strip_psf
    values = (
        Value("even", uneven.leeward_psf, "psf", "S-030"),
        Value("strip", uneven.strip_psf, "psf", "S-030"),
        Value("strip width", uneven.strip_ft, "ft", "S-030"),
    )
    found.add(
        Figured(roof.area.id, "unbalanced snow, lee side", "even + strip over the whole side",
                values, "S-030", total, "psf"),
        Intensity(Case.SNOW_UNBALANCED, total, "unbalanced snow", "S-030"),
    )  # fmt: skip


def _rain_on_snow(roof: Roof, site: Site, balanced: float, found: AreaLoads) -> None:
    """Balanced snow with rain on it."""
    assert site.ground_snow_psf is not None
    rain = rain_on_snow_psf(
        site.ground_snow_psf.value, slope_deg=roof.slope_deg,
        eave_to_ridge_ft=roof.eave_to_ridge_ft,
    )  # fmt: skip
    if rain <= 0:
        return
    values = (Value("ps", balanced, "psf", "S-030"), Value("rain", rain, "psf", "S-030"))
    total = balanced + rain
    found.add(
        Figured(roof.area.id, "rain on snow", "ps + 5", values, "S-030", total, "psf"),
        Intensity(Case.RAIN_ON_SNOW, total, "rain on snow", "S-030"),
    )


def drift_on(roof: Roof, upper: UpperRoof, site: Site, *, balanced_psf: float) -> Drift:
    """Drift against the wall by the edition of the site's snow load. [psf, ft]

    Parameters
    ----------
    balanced_psf : float
        Snow that lies there anyway. [psf]

    Sources
    -------
    S-031, S-032.
    """
    assert site.ground_snow_psf is not None
    pg = site.ground_snow_psf.value
    if site.snow_edition is SnowEdition.ASCE_7_22:
        assert site.winter_wind is not None
        w2 = site.winter_wind.value
        lee, wind = (
            drift_height_7_22_ft(pg, fetch_ft=f, winter_wind=w2)
            for f in (upper.length_ft, roof.lower_length_ft)
        )
    else:
        lee, wind = (
            drift_height_7_16_ft(pg, fetch_ft=f, importance=site.importance)
            for f in (upper.length_ft, roof.lower_length_ft)
        )
    return drift_against_wall(
        lee, windward_ft=wind, balanced_psf=balanced_psf, step_ft=upper.step_ft,
        density_pcf=snow_density_pcf(pg),
    )  # fmt: skip


def _drift(roof: Roof, upper: UpperRoof, site: Site, balanced: float, found: AreaLoads) -> None:
    """Drift: it lies on top of the balanced snow in the same case."""
    drift = drift_on(roof, upper, site, balanced_psf=balanced)
    values = (
        Value("lu", upper.length_ft, "ft", "S-066"), Value("step", upper.step_ft, "ft", "S-066"),
        Value("hd", drift.height_ft, "ft", "S-031"),
        Value("density", drift.density_pcf, "pcf", "S-031"),
        Value("width", drift.width_ft, "ft", "S-031"),
    )  # fmt: skip
    source = "S-032" if site.snow_edition is SnowEdition.ASCE_7_22 else "S-031"
    found.add(
        Figured(roof.area.id, "drift at the wall", "density x hd, fading to 0 over its width",
                values, source, drift.peak_psf, "psf"),
        Intensity(Case.SNOW, 0.0, "snow drift", source, drift.peak_psf,
                  drift.width_ft * IN_PER_FT),
    )  # fmt: skip


def _sliding(
    upper: UpperRoof, site: Site, exposure: Exposure, balanced: float, found: AreaLoads, name: str
) -> None:
    """Snow that slides from the roof above, on top of the balanced snow."""
    if not upper.falls_this_way:
        return
    assert site.ground_snow_psf is not None
    ce = exposure_factor(exposure, roof=site.snow_exposure)
    flat = flat_roof_snow(
        site.ground_snow_psf.value, exposure=ce, thermal=1.0, importance=_importance(site)
    )
    plf = sliding_snow_plf(
        flat, upper_slope_deg=upper.slope_deg, eave_to_ridge_ft=upper.eave_to_ridge_ft,
        slippery=upper.slippery,
    )  # fmt: skip
    if plf <= 0:
        return
    psf = plf / (SLIDING_IN / IN_PER_FT)
    values = (
        Value("pf above", flat, "psf", "S-030"), Value("W", upper.eave_to_ridge_ft, "ft", "S-066"),
        Value("per foot of eave", plf, "plf", "S-031"),
    )  # fmt: skip
    found.add(
        Figured(name, "sliding snow within 15 ft of the wall", "0.4 pf W / 15", values, "S-031",
                psf, "psf"),
        Intensity(Case.SNOW_SLIDING, psf, "sliding snow", "S-031", even_to_in=SLIDING_IN),
    )  # fmt: skip
    found.intensities.append(Intensity(Case.SNOW_SLIDING, balanced, "snow under it", "S-030"))


def _wind(roof: Roof, site: Site, found: AreaLoads) -> None:
    """Wind up and down."""
    name, ask = roof.area.id, roof.wind
    if ask.route is WindRoute.NONE:
        return
    wind = _typed_wind(ask, name, found) if ask.route is WindRoute.TYPED else None
    if ask.route is not WindRoute.TYPED:
        wind = _site_wind(roof, site, found)
    if wind is None:
        return
    for case, halves, word in (
        (Case.WIND_DOWN, wind.down_psf, "down"), (Case.WIND_UP, wind.up_psf, "up"),
    ):  # fmt: skip
        worst = max(halves)
        unit = f"psf, {ask.said_by}" if ask.said_by else "psf"
        values = (
            Value("windward half", halves[0], unit, wind.source),
            Value("leeward half", halves[1], unit, wind.source),
        )
        found.figured.append(
            Figured(name, f"wind {word}, strength level", "the worse half over the whole roof",
                    values, wind.source, worst, "psf")
        )  # fmt: skip
        sign = -1.0 if case is Case.WIND_UP else 1.0
        if worst > 0:
            found.intensities.append(Intensity(case, sign * worst, f"wind {word}", wind.source))


def _typed_wind(ask: RoofWindAsk, name: str, found: AreaLoads) -> RoofWind | None:
    """Net pressures as typed."""
    if ask.up is None or ask.down is None:
        found.missing.append(
            Missing(name, "wind", "net wind pressures up and down",
                    "Type the net pressures in psf, strength level, and who gave them.", "S-033")
        )  # fmt: skip
        return None
    return RoofWind((ask.up, ask.up), (ask.down, ask.down), "S-066")


def _site_wind(roof: Roof, site: Site, found: AreaLoads) -> RoofWind | None:
    """Wind from the site's speed."""
    name, ask = roof.area.id, roof.wind
    for value in ("wind_mph", "exposure", "roof_height_ft"):
        if getattr(site, value) is None:
            found.missing.append(missing_value(value, about=name, what="wind"))
            return None
    assert site.wind_mph and site.exposure and site.roof_height_ft is not None
    canopy = ask.route is WindRoute.CANOPY
    kz = exposure_coefficient(site.roof_height_ft, exposure=site.exposure, low_rise=canopy)
    qh = velocity_pressure(
        site.wind_mph.value, kz=kz, kzt=site.topographic_factor, ke=site.ground_elevation_factor
    )
    found.figured.append(
        Figured(
            name, "velocity pressure", "0.00256 Kz Kzt Kd Ke V2",
            (Value("V", site.wind_mph.value, f"mph, {site.wind_mph.said_by}", "S-066"),
             Value("Kz", kz, "-", "S-033"),
             Value("Kzt", site.topographic_factor, "-", "S-066"),
             Value("Ke", site.ground_elevation_factor, "-", "S-066")),
            "S-033", qh, "psf",
        )
    )  # fmt: skip
    if not canopy:
        return open_roof_wind(qh, slope_deg=roof.slope_deg, obstructed=ask.obstructed)
    if ask.up is None or ask.down is None:
        found.missing.append(
            Missing(name, "wind", "net canopy coefficients up and down",
                    "Type the net coefficients of ASCE 7, attached canopies, from the book.",
                    "S-035")
        )  # fmt: skip
        return None
    found.cautions.append(
        Caution("The canopy clause was written for short canopies; a long porch, or wind along the "
                "wall, may lift more. Ask an engineer where it reaches far out.", "S-035", name)
    )  # fmt: skip
    return canopy_wind(
        qh, up_coefficient=ask.up, down_coefficient=ask.down, house_height_ft=site.roof_height_ft
    )
