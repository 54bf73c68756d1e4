"""The airs on both sides of a wall, hour by hour: weather, sun and sky, room or open air."""

from __future__ import annotations

import numpy as np

from weatherlap.drying import air
from weatherlap.drying.air import Array
from weatherlap.drying.climate import Climate
from weatherlap.drying.march import Airs
from weatherlap.drying.model import Aid, Inside, Wall
from weatherlap.drying.sun import sun_on_face
from weatherlap.errors import InputError

WIND_AT_FACE = 0.5
SHELTERED_WIND_M_S, FAN_WIND_M_S = 0.1, 2.0
SKY_COLDER_K, EMITS = 11.0, 0.9
INSIDE_FILM_W, INSIDE_CONVECTION_W = 1.0 / 0.13, 2.5


def room_air(outside_c: Array) -> tuple[Array, Array]:
    """Temperature and vapour pressure of a heated room from the outdoor daily mean.

    Parameters
    ----------
    outside_c : ndarray, shape (hours,)
        Outdoor temperature. [C]

    Returns
    -------
    tuple of ndarray, shape (hours,)
        Temperature, 20 to 25 as the daily mean goes from 10 to 20 C [C]; vapour pressure at 30
        to 60 % humidity as it goes from -10 to 20 C [Pa].

    Sources
    -------
    D-027 : annex on indoor climates, usual occupancy.
    """
    day = np.convolve(np.pad(outside_c, (12, 11), mode="edge"), np.full(24, 1.0 / 24.0), "valid")
    warm = np.interp(day, [10.0, 20.0], [20.0, 25.0])
    humid = np.interp(day, [-10.0, 20.0], [0.30, 0.60])
    return warm, humid * air.saturation_pressure_pa(warm)


def sky_loss_w_m2(tilt_deg: float, *, rain_mm_h: Array) -> Array:
    """Heat an outer face loses to the colder sky.

    Parameters
    ----------
    tilt_deg : float
        0 a level top, 90 a wall, 180 an underside. [deg]
    rain_mm_h : ndarray, shape (hours,)
        Rain; nothing is lost while it rains. [mm]

    Returns
    -------
    ndarray, shape (hours,)
        Loss. [W/m2]

    Sources
    -------
    D-035 : emissivity 0.9, sky 11 K colder than the air, by the share of sky that is seen.
    """
    sees = 0.5 * (1.0 + np.cos(np.radians(tilt_deg)))
    loss = EMITS * air.SURFACE_RADIATION_W_PER_M2_K * sees * SKY_COLDER_K
    return np.where(rain_mm_h > 0.0, 0.0, loss)


def wall_airs(wall: Wall, *, climate: Climate) -> Airs:
    """Both sides of a wall for every hour of a climate.

    Parameters
    ----------
    wall : Wall
        Facing, tilt, sun share and what is behind it.
    climate : Climate
        Weather.

    Returns
    -------
    Airs
        Temperatures, vapour pressures, films and sun.

    Limits
    ------
    Wind at the face is half the station's; no shade from trees or other buildings.

    Sources
    -------
    D-021 : films. D-029 : vapour films. D-035 : sun and sky.
    """
    t, hours = climate.temperature_c, climate.hours
    vapour = air.vapour_pressure_pa(t, climate.humidity_pct)
    convection = air.outside_film_w_per_m2_k(WIND_AT_FACE * climate.wind_m_s)
    sun = sun_on_face(
        climate.latitude_deg, hours=climate.first_hour + np.arange(hours, dtype=float),
        level=climate.sun_global_w_m2,
        direct=climate.sun_direct_w_m2, diffuse=climate.sun_diffuse_w_m2,
        facing_deg=wall.facing_deg, tilt_deg=wall.tilt_deg,
    )  # fmt: skip
    if wall.inside is Inside.HEATED:
        room_c, room_pa = room_air(t)
        film, blow = INSIDE_FILM_W, INSIDE_CONVECTION_W
    else:
        room_c, room_pa = t, vapour
        blow = float(air.outside_film_w_per_m2_k(np.array(SHELTERED_WIND_M_S)))
        film = blow + air.SURFACE_RADIATION_W_PER_M2_K
    return Airs(
        outside_c=t,
        outside_pa=vapour,
        outside_film_w=convection + air.SURFACE_RADIATION_W_PER_M2_K,
        outside_film_vapour=air.vapour_film_s_per_m(convection),
        gain_w_m2=wall.sun_share * sun - sky_loss_w_m2(wall.tilt_deg, rain_mm_h=climate.rain_mm_h),
        inside_c=room_c,
        inside_pa=room_pa,
        inside_film_w=np.full(hours, film),
        inside_film_vapour=np.full(hours, float(air.vapour_film_s_per_m(np.array(blow)))),
    )


def open_airs(climate: Climate, *, aid: Aid, heater_rise_k: float, both_open: bool) -> Airs:
    """Air around wood in an opened place, out of sun and rain.

    Parameters
    ----------
    climate : Climate
        Weather.
    aid : Aid
        Fan or heater.
    heater_rise_k : float
        How much a heater warms the air; vapour pressure stays. [K]
    both_open : bool
        Whether both faces are open; if not, nothing passes the second one.

    Returns
    -------
    Airs
        The same air on both sides, or a shut second side.

    Raises
    ------
    InputError
        If the heater is to warm by less than 0 or more than 40 K.

    Sources
    -------
    D-036 : air speed with and without a fan. D-021, D-029 : films.
    """
    if not 0.0 <= heater_rise_k <= 40.0:
        raise InputError("heater", f"{heater_rise_k:g} K warmer", "0 to 40 K")
    fan = aid in (Aid.FAN, Aid.FAN_AND_HEATER)
    heater = aid in (Aid.HEATER, Aid.FAN_AND_HEATER)
    vapour = air.vapour_pressure_pa(climate.temperature_c, climate.humidity_pct)
    t = climate.temperature_c + (heater_rise_k if heater else 0.0)
    wind = np.full(climate.hours, FAN_WIND_M_S if fan else SHELTERED_WIND_M_S)
    convection = air.outside_film_w_per_m2_k(wind)
    film, blow = convection + air.SURFACE_RADIATION_W_PER_M2_K, air.vapour_film_s_per_m(convection)
    shut = 1.0 if both_open else 1e-9
    return Airs(t, vapour, film, blow, np.zeros(climate.hours), t, vapour, film * shut, blow * shut)
