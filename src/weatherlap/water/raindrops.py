"""Raindrops: their sizes, how fast and how slanting they fall, and what a shelter keeps dry."""

from __future__ import annotations

import math

from weatherlap.water.lapphysics import need

FASTEST_DROP_M_PER_S = 9.2
LARGEST_DROP_MM = 7.0


def share_in_smaller_drops(drop_mm: float, *, rain_mm_per_h: float) -> float:
    """Part of the rain's water that comes in drops smaller than a size.

    Parameters
    ----------
    drop_mm : float
        Drop diameter. [mm]
    rain_mm_per_h : float
        Rain. [mm/h]

    Returns
    -------
    float
        Share of the water. [-]

    Raises
    ------
    InputError
        If the rain is not above 0 or the diameter negative.

    Sources
    -------
    W-003 : 1 - exp(-(D / (1.30 r^0.232))^2.245).
    """
    need(rain_mm_per_h > 0, "rain_mm_per_h", rain_mm_per_h, "rain above 0 mm/h")
    need(drop_mm >= 0, "drop_mm", drop_mm, "a diameter of 0 mm or more")
    return -math.expm1(-((drop_mm / (1.30 * rain_mm_per_h**0.232)) ** 2.245))


def middle_drop_mm(rain_mm_per_h: float) -> float:
    """Drop size that halves the rain's water.

    Parameters
    ----------
    rain_mm_per_h : float
        Rain. [mm/h]

    Returns
    -------
    float
        Drop diameter. [mm]

    Raises
    ------
    InputError
        If the rain is not above 0.

    Sources
    -------
    W-003 : the distribution, solved for one half.
    """
    need(rain_mm_per_h > 0, "rain_mm_per_h", rain_mm_per_h, "rain above 0 mm/h")
    return float(1.30 * rain_mm_per_h**0.232 * math.log(2) ** (1 / 2.245))


def fall_speed_m_per_s(drop_mm: float) -> float:
    """Speed at which a raindrop falls through still air.

    Parameters
    ----------
    drop_mm : float
        Drop diameter. [mm]

    Returns
    -------
    float
        Speed, at most 9.2. [m/s]

    Raises
    ------
    InputError
        If the diameter is not 0.1 to 7 mm.

    Sources
    -------
    W-017 : cubic fit.
    """
    need(0.1 <= drop_mm <= LARGEST_DROP_MM, "drop_mm", drop_mm, "a raindrop of 0.1 to 7 mm")
    d = drop_mm
    return min(FASTEST_DROP_M_PER_S, -0.166033 + 4.91844 * d - 0.888016 * d**2 + 0.054888 * d**3)


def fall_angle_deg(wind_m_per_s: float, *, rain_mm_per_h: float) -> float:
    """Angle from upright at which the middle drop of a rain falls in wind.

    Parameters
    ----------
    wind_m_per_s : float
        Wind speed. [m/s]
    rain_mm_per_h : float
        Rain. [mm/h]

    Returns
    -------
    float
        Angle from upright. [deg]

    Raises
    ------
    InputError
        If the wind is negative or the rain not above 0.

    Sources
    -------
    W-003, W-017 : drop size and its speed; geometry.
    """
    need(wind_m_per_s >= 0, "wind_m_per_s", wind_m_per_s, "a wind of 0 m/s or more")
    speed = fall_speed_m_per_s(middle_drop_mm(rain_mm_per_h))
    return math.degrees(math.atan2(wind_m_per_s, speed))


def sheltered_in(overhang_in: float, *, wind_m_per_s: float, rain_mm_per_h: float) -> float:
    """How far below an overhang the wall stays dry.

    Parameters
    ----------
    overhang_in : float
        How far the shelter stands out from the wall. [in]
    wind_m_per_s : float
        Wind speed against the wall. [m/s]
    rain_mm_per_h : float
        Rain. [mm/h]

    Returns
    -------
    float
        Depth of the dry strip; infinite in still air. [in]

    Raises
    ------
    InputError
        If the overhang or the wind is negative, or the rain not above 0.

    Limits
    ------
    Straight fall of the middle drop; wind that turns up or round the building is left out.

    Sources
    -------
    W-003, W-017 : fall angle; geometry.
    """
    need(overhang_in >= 0, "overhang_in", overhang_in, "an overhang of 0 in or more")
    lean = math.tan(math.radians(fall_angle_deg(wind_m_per_s, rain_mm_per_h=rain_mm_per_h)))
    return overhang_in / lean if lean > 0 else math.inf


def driving_rain_factor_s_per_m(rain_mm_per_h: float) -> float:
    """Driving rain through an upright opening in free wind, for each mm/h of rain and m/s of wind.

    Parameters
    ----------
    rain_mm_per_h : float
        Rain on level ground. [mm/h]

    Returns
    -------
    float
        One over the fall speed of the middle drop. [s/m]

    Raises
    ------
    InputError
        If the rain is not above 0.

    Sources
    -------
    W-003 : driving rain = factor x wind x rain.
    """
    return 1 / fall_speed_m_per_s(middle_drop_mm(rain_mm_per_h))
