"""Wind on porch roofs, by routes that do not invent coefficients."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.structure.site import Exposure
from weatherlap.structure.tables import table

LOWEST_FT = 15.0
TIE_DOWN_SPEEDS_MPH = (110.0, 115.0, 120.0, 130.0, 140.0)
TIE_DOWN_HIGHEST_FT = 33.0
DIRECTIONALITY = 0.85
GUST = 0.85
STEEPEST_OPEN_ROOF_DEG = 15.0
HIGHEST_CANOPY_HOUSE_FT = 60.0


def exposure_coefficient(height_ft: float, *, exposure: Exposure, low_rise: bool = False) -> float:
    """Velocity pressure exposure coefficient Kz. [-]

    Parameters
    ----------
    height_ft : float
        Height above ground. [ft]
    low_rise : bool
        For chapters 28 and 30: at least 0.70 in exposure B.

    Raises
    ------
    InputError
        A height of 0 or less, or over 500 ft.

    Sources
    -------
    S-033 : Kz = 2.01 (z / zg)^(2/a), z at least 15 ft.
    """
    if not 0 < height_ft <= 500:
        raise InputError("roof height", f"{height_ft:g} ft", "over 0 to 500 ft")
    alpha, zg = table("loads")["wind_profile"][exposure.value]
    kz = float(2.01 * (max(height_ft, LOWEST_FT) / zg) ** (2 / alpha))
    return max(kz, 0.70) if low_rise and exposure is Exposure.B else kz


def velocity_pressure(speed_mph: float, *, kz: float, kzt: float = 1.0, ke: float = 1.0) -> float:
    """Velocity pressure qz = 0.00256 Kz Kzt Kd Ke V2. [psf]

    Parameters
    ----------
    speed_mph : float
        Ultimate wind speed. [mph]
    kz, kzt, ke : float
        Exposure, topographic and elevation factors. [-]

    Raises
    ------
    InputError
        A speed outside 0 to 250 mph.

    Sources
    -------
    S-033 : equation 26.10-1.
    """
    if not 0 < speed_mph <= 250:
        raise InputError("wind speed", f"{speed_mph:g} mph", "over 0 to 250 mph")
    return 0.00256 * kz * kzt * DIRECTIONALITY * ke * speed_mph**2


@dataclass(frozen=True, slots=True)
class RoofWind:
    """Net wind on a roof per square foot, strength level, by half of the roof. [psf]

    ``up`` and ``down`` are sizes without sign: (windward half, leeward half).
    """

    up_psf: tuple[float, float]
    down_psf: tuple[float, float]
    source: str


def canopy_wind(
    qh_psf: float, *, up_coefficient: float, down_coefficient: float, house_height_ft: float
) -> RoofWind:
    """Attached canopy: coefficients that a person typed in from the book.

    Parameters
    ----------
    qh_psf : float
        Velocity pressure at the mean roof height of the house. [psf]
    up_coefficient, down_coefficient : float
        Net coefficients without sign. [-]
    house_height_ft : float
        Mean roof height of the house. [ft]

    Raises
    ------
    InputError
        A house over 60 ft, or coefficients of 0 or less.

    Limits
    ------
    The clause was written for short canopies; a long porch or wind along the wall may be worse.

    Sources
    -------
    S-035 : p = qh (GCpn).
    """
    if house_height_ft > HIGHEST_CANOPY_HOUSE_FT:
        raise InputError("house", f"{house_height_ft:g} ft high", "60 ft or less for a canopy")
    if min(up_coefficient, down_coefficient) <= 0:
        raise InputError("canopy", "a coefficient of 0 or less", "both as sizes without sign")
    up, down = qh_psf * up_coefficient, qh_psf * down_coefficient
    return RoofWind((up, up), (down, down), "S-035")


def open_roof_wind(qh_psf: float, *, slope_deg: float, obstructed: bool) -> RoofWind:
    """Free-standing open roof of one slope: the worst case and wind direction for each half.

    Parameters
    ----------
    qh_psf : float
        Velocity pressure at the roof. [psf]
    slope_deg : float
        Slope. [deg]
    obstructed : bool
        Whether stored goods or a wall close more than half of the space below.

    Raises
    ------
    InputError
        Steeper than 15 degrees: no coefficients are held here.

    Sources
    -------
    S-034 : p = qh G CN, straight-line between slopes.
    """
    if not 0 <= slope_deg <= STEEPEST_OPEN_ROOF_DEG:
        raise InputError("open roof", f"a slope of {slope_deg:g} degrees", "0 to 15 degrees",
                         "Have an engineer give the wind pressure.")  # fmt: skip
    rows = table("loads")["open_roof"]
    kind = "obstructed" if obstructed else "clear"
    above = next(r for r in rows if r["angle_deg"] >= slope_deg)
    below = [r for r in rows if r["angle_deg"] <= slope_deg][-1]
    wide = above["angle_deg"] - below["angle_deg"]
    share = (slope_deg - below["angle_deg"]) / wide if wide else 0.0
    halves = []
    for half in (0, 1):
        cn = [
            below[kind][case][half] * (1 - share) + above[kind][case][half] * share
            for case in range(4)
        ]
        halves.append((max(0.0, -min(cn)), max(0.0, *cn)))
    p = qh_psf * GUST
    return RoofWind(
        (p * halves[0][0], p * halves[1][0]), (p * halves[0][1], p * halves[1][1]), "S-034"
    )


def tie_down_lb(
    speed_mph: float, *, roof_span_ft: float, spacing_in: float, rise_per_12: float,
    exposure: Exposure, roof_height_ft: float,
) -> float:  # fmt: skip
    """Uplift of one rafter or truss connection by the code table, allowable level. [lb]

    Parameters
    ----------
    speed_mph : float
        Ultimate wind speed. [mph]
    roof_span_ft : float
        Plan width of the roof. [ft]
    spacing_in : float
        Spacing of rafters or trusses. [in]
    rise_per_12 : float
        Slope. [in/12 in]
    roof_height_ft : float
        Mean roof height. [ft]

    Raises
    ------
    InputError
        Outside the table: exposure, height, speed, span or spacing.

    Limits
    ------
    Enclosed houses in exposure B, 15 psf dead in it, 24 in overhangs. An open porch is worse.

    Sources
    -------
    S-036 : Table R802.11, straight-line between speeds and spans.
    """
    if exposure is not Exposure.B or roof_height_ft > TIE_DOWN_HIGHEST_FT:
        raise InputError(
            "roof tie-down table", f"exposure {exposure}, {roof_height_ft:g} ft high",
            "exposure B and at most 33 ft", "Use another route, or ask an engineer.",
        )  # fmt: skip
    speeds = TIE_DOWN_SPEEDS_MPH
    if not speeds[0] <= speed_mph <= speeds[-1]:
        raise InputError("roof tie-down table", f"{speed_mph:g} mph", "110 to 140 mph")
    if not (12 <= roof_span_ft <= 42 and 0 < spacing_in <= 24):
        raise InputError(
            "roof tie-down table", f"span {roof_span_ft:g} ft at {spacing_in:g} in",
            "a span of 12 to 42 ft and a spacing of 24 in or less",
        )  # fmt: skip
    return _tie_down(speed_mph, roof_span_ft, spacing_in, "steep" if rise_per_12 >= 5 else "low")


def _tie_down(speed: float, span: float, spacing: float, column: str) -> float:
    """The table between its speeds and spans; the 16 in rows as printed, others by spacing."""
    printed = 16.0 if spacing == 16.0 else 12.0
    rows = [r for r in table("loads")["tie_down"] if r["spacing_in"] == printed]
    by_span = [
        (float(r["span_ft"]), _between(speed, TIE_DOWN_SPEEDS_MPH, [float(v) for v in r[column]]))
        for r in rows
    ]
    spans = tuple(s for s, _ in by_span)
    return _between(span, spans, [v for _, v in by_span]) * spacing / printed


def _between(x: float, marks: tuple[float, ...], values: list[float]) -> float:
    """Straight-line value at x between marks that hold it."""
    for k in range(len(marks) - 1):
        if marks[k] <= x <= marks[k + 1]:
            share = (x - marks[k]) / (marks[k + 1] - marks[k])
            return values[k] + share * (values[k + 1] - values[k])
    raise InputError("table", f"{x:g}", f"{marks[0]:g} to {marks[-1]:g}")
