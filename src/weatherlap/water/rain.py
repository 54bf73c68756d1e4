"""The rain of a site on the faces of a corner, with every assumption that was taken."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.errors import InputError
from weatherlap.job.model import Site
from weatherlap.units import rain_text, speed_text
from weatherlap.water.drivingrain import (
    DEPOSITION,
    ashrae_driving_rain_mm_per_h,
    exposure_factor,
    iso_driving_rain_mm_per_h,
    obstruction_factor,
    roughness_coefficient,
    wall_index,
)

L_PER_MM_IN2 = 0.0254**2
M_PER_IN = 0.0254
MM_PER_IN = 25.4

DESIGN_MM_PER_H = 4 * MM_PER_IN
YEAR_MM = 44 * MM_PER_IN
USUAL_MM_PER_H = 5.0
DESIGN_WIND_M_PER_S = 10.0
USUAL_WIND_M_PER_S = 4.0
GUST_M_PER_S = 50 * 0.44704

ROOF_UP_TO_DEG = 45.0
LOOKS_DOWN_DEG = 90.01
HARDEST_RAIN_MM_PER_H = 2500.0
MOST_YEAR_MM = 30000.0
HARDEST_WIND_M_PER_S = 150.0

Bearings = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Assumption:
    """Something that the job does not say and that was taken instead."""

    text: str
    source: str


@dataclass(frozen=True, slots=True)
class SiteRain:
    """Rain and wind of a place, ready to be asked face by face.

    ``wall_year_mm`` holds (bearing, water a year) of walls in order of bearing; one row stands
    for every bearing. [mm/h, mm, m/s, deg]
    """

    standard: str
    rain_design_mm_per_h: float
    rain_year_mm: float
    rain_usual_mm_per_h: float
    wind_design_m_per_s: float
    wind_in_rain_m_per_s: float
    gust_m_per_s: float
    wall_design_mm_per_h: float
    wall_year_mm: Bearings
    assumptions: tuple[Assumption, ...]

    @property
    def usual_share(self) -> float:
        """Usual rain over design rain. [-]"""
        return self.rain_usual_mm_per_h / self.rain_design_mm_per_h

    def design_lph_per_in2(self, facing_deg: float, tilt_deg: float) -> float:
        """Water on a face in the design rain, the wind square on it.

        Parameters
        ----------
        facing_deg : float
            Bearing of the face's outward normal, or the way a roof falls. [deg]
        tilt_deg : float
            Tilt from level, 90 a wall. [deg]

        Returns
        -------
        float
            For each square inch measured on the face; 0 on a face that looks down. [L/(h in2)]

        Raises
        ------
        InputError
            If the facing or the tilt is not finite, or the tilt not 0 to 180.

        Sources
        -------
        W-006 : plan area. W-001, W-002 : driving rain. W-026 : where a roof becomes a wall.
        """
        _check_face(facing_deg, tilt_deg)
        return L_PER_MM_IN2 * rain_on_face(
            self.rain_design_mm_per_h, self.wall_design_mm_per_h, tilt_deg=tilt_deg
        )

    def year_l_per_in2(self, facing_deg: float, tilt_deg: float) -> float:
        """Water on a face in a usual year.

        Parameters
        ----------
        facing_deg : float
            Bearing of the face's outward normal, or the way a roof falls. [deg]
        tilt_deg : float
            Tilt from level, 90 a wall. [deg]

        Returns
        -------
        float
            For each square inch measured on the face; 0 on a face that looks down. [L/in2]

        Raises
        ------
        InputError
            If the facing or the tilt is not finite, or the tilt not 0 to 180.

        Sources
        -------
        W-006 : plan area. W-001, W-002 : driving rain. W-026 : where a roof becomes a wall.
        """
        _check_face(facing_deg, tilt_deg)
        wall = by_bearing(self.wall_year_mm, facing_deg=facing_deg)
        return L_PER_MM_IN2 * rain_on_face(self.rain_year_mm, wall, tilt_deg=tilt_deg)


def _check_face(facing_deg: float, tilt_deg: float) -> None:
    if not math.isfinite(facing_deg):
        raise InputError("facing_deg", f"{facing_deg:g}", "a bearing in degrees")
    if not 0 <= tilt_deg <= 180:
        raise InputError("tilt_deg", f"{tilt_deg:g}", "0 to 180 degrees from level")


def rain_on_face(level: float, driving: float, *, tilt_deg: float) -> float:
    """Rain on a face of any tilt, from rain on level ground and driving rain on a wall.

    Up to 45 degrees a face is a roof and takes its plan area, as gutters are sized. A steeper
    one takes the greater of its plan area and the driving rain on its upright part, so that a
    wall takes driving rain alone. A face that looks down takes none.

    Parameters
    ----------
    level : float
        Rain on level ground. [mm/h or mm]
    driving : float
        Driving rain on a wall. [mm/h or mm]
    tilt_deg : float
        Tilt from level. [deg]

    Returns
    -------
    float
        Rain for each area measured on the face. [mm/h or mm]

    Limits
    ------
    On a roof that faces the wind more falls than its plan area takes: one handbook adds half of
    its elevation (W-005).

    Sources
    -------
    W-006 : plan area. W-026 : the change at 45 degrees.
    """
    if tilt_deg > LOOKS_DOWN_DEG:
        return 0.0
    tilt = math.radians(min(tilt_deg, 90.0))
    plan = level * max(0.0, math.cos(tilt)) if tilt_deg < 90 else 0.0
    if tilt_deg <= ROOF_UP_TO_DEG + 1e-6:
        return plan
    return max(plan, driving * math.sin(tilt))


def by_bearing(rows: Bearings, *, facing_deg: float) -> float:
    """A value read between the bearings for which it is given, round the compass.

    Parameters
    ----------
    rows : tuple
        (bearing, value) in order of bearing, 0 up to 360. [deg, any]
    facing_deg : float
        Bearing wanted. [deg]

    Returns
    -------
    float
        The value, straight-line between its neighbours. [as given]

    Sources
    -------
    W-002 : the index is worked out for each wall; between bearings it changes smoothly.
    """
    if len(rows) == 1:
        return rows[0][1]
    want = facing_deg % 360.0
    ring = [(rows[-1][0] - 360.0, rows[-1][1]), *rows, (rows[0][0] + 360.0, rows[0][1])]
    for (a, low), (b, high) in pairwise(ring):
        if a <= want <= b and b > a:
            return low + (high - low) * (want - a) / (b - a)
    return ring[-1][1]


class _Taken:
    """Remembers each thing that was taken because the site does not say it."""

    def __init__(self) -> None:
        self.notes: list[Assumption] = []

    def say(self, text: str, source: str) -> None:
        self.notes.append(Assumption(text, source))


def _check_site(name: str, value: float, *, most: float, zero: bool) -> None:
    least = "0" if zero else "above 0"
    if not (0 <= value <= most) or (value == 0 and not zero):
        raise InputError(f"site, {name}", f"{value:g}", f"{least} up to {most:g}")


_DEFAULTS = {
    "rain_design": (
        DESIGN_MM_PER_H,
        f"design rain is given: {rain_text(DESIGN_MM_PER_H)}",
        "W-022",
    ),
    "rain_year": (YEAR_MM, "yearly rain is given: 44 in", "W-023"),
    "wind_design": (
        DESIGN_WIND_M_PER_S,
        f"wind in the design rain is given: {speed_text(DESIGN_WIND_M_PER_S)}",
        "W-022",
    ),
    "wind_in_rain": (
        USUAL_WIND_M_PER_S,
        f"usual wind in rain is given: {speed_text(USUAL_WIND_M_PER_S)}",
        "W-024",
    ),
    "wind_pressure": (GUST_M_PER_S, f"gust for laps is given: {speed_text(GUST_M_PER_S)}", "W-022"),
}
_MOST = {"rain_design": HARDEST_RAIN_MM_PER_H, "rain_year": MOST_YEAR_MM}


def _given(site: Site, taken: _Taken) -> list[float]:
    """Rain and wind of a site in the order of the defaults, each default noted."""
    values = []
    for name, (usual, text, source) in _DEFAULTS.items():
        value = getattr(site, name)
        if value is None:
            value = usual
            taken.say(f"No {text} is taken.", source)
        most = _MOST.get(name, HARDEST_WIND_M_PER_S)
        _check_site(name, value, most=most, zero=name != "rain_design")
        values.append(value)
    return values


def site_rain(site: Site) -> SiteRain:
    """The rain of a site, with plain sentences for what the site does not say.

    Parameters
    ----------
    site : Site
        The job's site table. [mm/h, mm, m/s, in]

    Returns
    -------
    SiteRain
        Rain by face. [L/(h in2), L/in2]

    Raises
    ------
    InputError
        If a value is beyond what falls or blows on earth, or a bearing of the airfield index is
        not a number of degrees.

    Sources
    -------
    W-001, W-002 : driving rain. W-022, W-023, W-024 : assumed values.
    """
    taken = _Taken()
    design, year, wind, usual_wind, gust = _given(site, taken)
    usual = min(USUAL_MM_PER_H, design)
    taken.say(f"Most of a year's rain is taken to fall at {usual:g} mm/h.", "W-022")
    taken.say("In the design rain the wind is taken to blow square onto every wall.", "W-022")
    walls = _iso_walls if site.driving_rain == "iso-15927-3" else _ashrae_walls
    wall_design, wall_year = walls(site, taken, design, wind, year, usual_wind, usual)
    return SiteRain(
        site.driving_rain, design, year, usual, wind, usual_wind, gust, wall_design, wall_year,
        tuple(taken.notes),
    )  # fmt: skip


def _ashrae_walls(
    site: Site,
    taken: _Taken,
    design: float,
    wind: float,
    year: float,
    usual_wind: float,
    usual: float,
) -> tuple[float, Bearings]:
    """Driving rain on walls in the design rain and a year, by ASHRAE 160. [mm/h, mm]"""
    exposure = exposure_factor(site.exposure, height_m=site.height * M_PER_IN)
    deposition = DEPOSITION[site.above_wall]
    taken.say(
        f"Walls: {site.exposure} exposure, {site.above_wall.replace('-', ' ')} above "
        f"(F_E {exposure:g}, F_D {deposition:g}).",
        "W-001",
    )
    design_wall = ashrae_driving_rain_mm_per_h(
        design, wind_m_per_s=wind, exposure=exposure, deposition=deposition
    )
    if site.airfield_index:
        taken.say(
            "The airfield index is used for the year, with the ASHRAE factors of the wall.",
            "W-002",
        )
        factor = exposure * deposition
        return design_wall, tuple((b, i * factor) for b, i in _airfield(site))
    taken.say("Over a year the wind in rain is taken to blow from all round alike.", "W-025")
    hours = year / usual
    year_wall = hours / math.pi * ashrae_driving_rain_mm_per_h(
        usual, wind_m_per_s=usual_wind, exposure=exposure, deposition=deposition
    )  # fmt: skip
    return design_wall, ((0.0, year_wall),)


def _iso_walls(
    site: Site,
    taken: _Taken,
    design: float,
    wind: float,
    year: float,
    usual_wind: float,
    usual: float,
) -> tuple[float, Bearings]:
    """Driving rain on walls in the design rain and a year, by ISO 15927-3. [mm/h, mm]"""
    roughness = roughness_coefficient(site.terrain, height_m=site.height * M_PER_IN)
    obstruction = 1.0
    if site.obstacle_distance is None:
        taken.say("No obstacle near by is given: the wall is taken as unsheltered (O 1).", "W-002")
    else:
        obstruction = obstruction_factor(site.obstacle_distance * M_PER_IN)
    taken.say(
        f"Walls: terrain {site.terrain} (C_R {roughness:.2f}), C_T {site.topography:g}, "
        f"O {obstruction:g}, W {site.wall_factor:g}. The index is not valid where more than a "
        "quarter of the rain comes in severe thunderstorms.",
        "W-002",
    )

    def on_wall(airfield: float) -> float:
        return wall_index(
            airfield,
            roughness=roughness,
            topography=site.topography,
            obstruction=obstruction,
            wall=site.wall_factor,
        )

    design_wall = on_wall(iso_driving_rain_mm_per_h(design, wind_m_per_s=wind))
    if site.airfield_index:
        return design_wall, tuple((b, on_wall(i)) for b, i in _airfield(site))
    taken.say(
        "No airfield index is given: it is estimated from the yearly rain and the usual wind, "
        "blowing from all round alike.",
        "W-025",
    )
    mean = iso_driving_rain_mm_per_h(usual, wind_m_per_s=usual_wind) / math.pi
    return design_wall, ((0.0, on_wall(mean * year / usual)),)


def _airfield(site: Site) -> Bearings:
    """The site's airfield index in order of bearing, each bearing once. [deg, L/m2]"""
    rows: dict[float, float] = {}
    for text, index in (site.airfield_index or {}).items():
        try:
            bearing = float(text)
        except ValueError:
            bearing = math.nan
        if not 0 <= bearing <= 360:
            raise InputError(
                f"site, airfield_index, {text!r}", "not a bearing", "0 to 360 degrees from north"
            )
        if not (0 <= index <= MOST_YEAR_MM):
            raise InputError(
                f"site, airfield_index, {text!r}", f"{index:g}", "0 or more litres a square metre"
            )
        if rows.setdefault(bearing % 360.0, index) != index:
            raise InputError(
                f"site, airfield_index, {text!r}", "this bearing stands twice", "one value each"
            )
    return tuple(sorted(rows.items()))
