"""Physics of water at a lap: capillary rise, wind as a head of water, and films."""

from __future__ import annotations

import math

from weatherlap.errors import InputError

GRAVITY_M_PER_S2 = 9.81
WATER_N_PER_M3 = 9790.0
AIR_HALF_DENSITY = 0.613
SURFACE_TENSION_20C_N_PER_M = 0.0728
VISCOSITY_20C_M2_PER_S = 1.0e-6
USUAL_LAP_GAP_MM = 1.5
BRIDGED_GAP_MM = 6.0


def need(ok: bool, name: str, value: float, want: str) -> None:
    """Make sure of a finite value in its range.

    Raises
    ------
    InputError
        If it is not.
    """
    if not (ok and math.isfinite(value)):
        raise InputError(name, f"{value:g}", want)


def capillary_rise_plates_mm(
    gap_mm: float,
    *,
    contact_angle_deg: float = 0.0,
    surface_tension_n_per_m: float = SURFACE_TENSION_20C_N_PER_M,
) -> float:
    """Height that water climbs between two upright parallel faces.

    Parameters
    ----------
    gap_mm : float
        Clear distance between the faces. [mm]
    contact_angle_deg : float
        0 to 30 on clean metal, glass, weathered paint or wood; over 90 on waxy faces. [deg]
    surface_tension_n_per_m : float
        Surface tension of water. [N/m]

    Returns
    -------
    float
        Rise; negative where the faces repel water. [mm]

    Raises
    ------
    InputError
        If the gap or the surface tension is not above 0, or the angle not 0 to 180.

    Limits
    ------
    Full faces, gap well under 5.5 mm: beyond that the two menisci no longer join.

    Sources
    -------
    W-014 : h = 2 s cos(a) / (d g b). W-015 : surface tension.

    Examples
    --------
    >>> round(capillary_rise_plates_mm(1.5), 1)
    9.9
    """
    need(gap_mm > 0, "gap_mm", gap_mm, "a gap above 0 mm")
    need(surface_tension_n_per_m > 0, "surface_tension_n_per_m", surface_tension_n_per_m, "> 0")
    need(0 <= contact_angle_deg <= 180, "contact_angle_deg", contact_angle_deg, "0 to 180 deg")
    pull = 2 * surface_tension_n_per_m * math.cos(math.radians(contact_angle_deg))
    return 1e6 * pull / (WATER_N_PER_M3 * gap_mm)


def capillary_rise_tube_mm(
    diameter_mm: float,
    *,
    contact_angle_deg: float = 0.0,
    surface_tension_n_per_m: float = SURFACE_TENSION_20C_N_PER_M,
) -> float:
    """Height that water climbs in an upright round hole, such as a nail hole.

    Parameters
    ----------
    diameter_mm : float
        Clear diameter. [mm]
    contact_angle_deg : float
        As for plates. [deg]
    surface_tension_n_per_m : float
        Surface tension of water. [N/m]

    Returns
    -------
    float
        Rise; negative where the faces repel water. [mm]

    Raises
    ------
    InputError
        As for plates.

    Sources
    -------
    W-014 : h = 4 s cos(a) / (d g D), twice that of plates as far apart.
    """
    return 2 * capillary_rise_plates_mm(
        diameter_mm,
        contact_angle_deg=contact_angle_deg,
        surface_tension_n_per_m=surface_tension_n_per_m,
    )


def capillary_reach_mm(rise_mm: float, *, tilt_deg: float) -> float:
    """Distance that a rise reaches up a face that leans.

    Parameters
    ----------
    rise_mm : float
        Rise, measured upright. [mm]
    tilt_deg : float
        Tilt of the face from level, 90 a wall. [deg]

    Returns
    -------
    float
        Reach along the face; infinite on a level one. [mm]

    Raises
    ------
    InputError
        If the tilt is not 0 to 180.

    Sources
    -------
    W-014 : the rise is a height; geometry.
    """
    need(0 <= tilt_deg <= 180, "tilt_deg", tilt_deg, "0 to 180 deg")
    steep = math.sin(math.radians(tilt_deg))
    return rise_mm / steep if steep > 1e-9 else math.inf


def wind_pressure_pa(wind_m_per_s: float) -> float:
    """Velocity pressure of wind.

    Parameters
    ----------
    wind_m_per_s : float
        Wind speed. [m/s]

    Returns
    -------
    float
        Pressure. [Pa]

    Raises
    ------
    InputError
        If the speed is negative or not finite.

    Sources
    -------
    W-016 : q = 0.613 V^2.
    """
    need(wind_m_per_s >= 0, "wind_m_per_s", wind_m_per_s, "a wind of 0 m/s or more")
    return AIR_HALF_DENSITY * wind_m_per_s**2


def wind_head_mm(wind_m_per_s: float, *, share: float = 1.0) -> float:
    """Height of water that the wind can hold up across a layer.

    Parameters
    ----------
    wind_m_per_s : float
        Wind speed. [m/s]
    share : float
        Part of the pressure that acts across the layer: 0.1 to 0.3 for a vented cladding,
        1 for one that lets no air through. [-]

    Returns
    -------
    float
        Head of water. [mm]

    Raises
    ------
    InputError
        If the share is not 0 to 1.

    Sources
    -------
    W-016 : pressure. W-020 : share. W-021 : do not let this term rule the ranking of causes.

    Examples
    --------
    >>> round(wind_head_mm(20.0), 1)
    25.0
    """
    need(0 <= share <= 1, "share", share, "a share of 0 to 1")
    return 1000 * share * wind_pressure_pa(wind_m_per_s) / WATER_N_PER_M3


def lap_needed_mm(
    wind_m_per_s: float,
    *,
    share: float = 1.0,
    gap_mm: float = USUAL_LAP_GAP_MM,
    tilt_deg: float = 90.0,
    margin_mm: float = 0.0,
) -> float:
    """Lap, measured up the face, that wind and capillary rise together cannot climb over.

    Parameters
    ----------
    wind_m_per_s : float
        Gust that the lap must hold against. [m/s]
    share : float
        Part of the wind's pressure across the layer. [-]
    gap_mm : float
        Gap between the two pieces; from 6 mm on a drop no longer bridges it. [mm]
    tilt_deg : float
        Tilt of the face from level. [deg]
    margin_mm : float
        Height added. [mm]

    Returns
    -------
    float
        Lap along the face; infinite on a level one. [mm]

    Raises
    ------
    InputError
        If a value is out of its range.

    Limits
    ------
    A standing column: says nothing of drops thrown in or of air that carries water up.

    Sources
    -------
    W-014, W-016, W-020 : rise, pressure, share. W-019 : the gap taken, 1/16 in, and its limit.
    """
    rise = capillary_rise_plates_mm(gap_mm) if gap_mm < BRIDGED_GAP_MM else 0.0
    return capillary_reach_mm(
        wind_head_mm(wind_m_per_s, share=share) + rise + margin_mm, tilt_deg=tilt_deg
    )


def film_thickness_mm(
    flow_m2_per_s: float,
    *,
    tilt_deg: float,
    viscosity_m2_per_s: float = VISCOSITY_20C_M2_PER_S,
) -> float:
    """Thickness of the film of water that runs down a face.

    Parameters
    ----------
    flow_m2_per_s : float
        Flow for each metre of width. [m2/s]
    tilt_deg : float
        Tilt of the face from level. [deg]
    viscosity_m2_per_s : float
        1.0e-6 at 20 C, 1.79e-6 at 0 C. [m2/s]

    Returns
    -------
    float
        Film thickness. [mm]

    Raises
    ------
    InputError
        If the flow is negative, the face level or an underside, or the viscosity not above 0.

    Limits
    ------
    Laminar: 4 x flow / viscosity under about 1000 to 1600.

    Sources
    -------
    W-018 : (3 v q / (g sin b))^(1/3).
    """
    need(flow_m2_per_s >= 0, "flow_m2_per_s", flow_m2_per_s, "a flow of 0 or more")
    need(0 < tilt_deg <= 90, "tilt_deg", tilt_deg, "above 0 and up to 90 deg")
    need(viscosity_m2_per_s > 0, "viscosity_m2_per_s", viscosity_m2_per_s, "above 0")
    pull = GRAVITY_M_PER_S2 * math.sin(math.radians(tilt_deg))
    return 1000 * math.cbrt(3 * viscosity_m2_per_s * flow_m2_per_s / pull)


def film_reynolds(
    flow_m2_per_s: float, *, viscosity_m2_per_s: float = VISCOSITY_20C_M2_PER_S
) -> float:
    """Reynolds number of a film, to judge whether it is laminar.

    Parameters
    ----------
    flow_m2_per_s : float
        Flow for each metre of width. [m2/s]
    viscosity_m2_per_s : float
        Kinematic viscosity. [m2/s]

    Returns
    -------
    float
        4 q / v. [-]

    Raises
    ------
    InputError
        If the viscosity is not above 0.

    Sources
    -------
    W-018 : definition.
    """
    need(viscosity_m2_per_s > 0, "viscosity_m2_per_s", viscosity_m2_per_s, "above 0")
    return 4 * flow_m2_per_s / viscosity_m2_per_s
