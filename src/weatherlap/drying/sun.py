"""Where the sun stands and what it gives to a tilted face."""

from __future__ import annotations

import numpy as np

from weatherlap.drying.air import Array

SOLAR_CONSTANT_W_M2 = 1361.0
GROUND_REFLECTS = 0.2


def sun_position(latitude_deg: float, *, hours: Array) -> tuple[Array, Array]:
    """Sine of the sun's height and its compass bearing, at the middle of each hour.

    Parameters
    ----------
    latitude_deg : float
        Latitude, north positive. [deg]
    hours : ndarray, shape (n,)
        Hour of the year, solar time, 0 for the first of January. [h]

    Returns
    -------
    tuple of ndarray, shape (n,)
        Sine of the height, below 0 at night [-]; bearing, 180 in the south [deg].

    Sources
    -------
    D-030 : declination and hour angle.
    """
    day = np.floor(hours / 24.0) % 365.0 + 1.0
    declination = np.radians(23.45) * np.sin(2.0 * np.pi * (284.0 + day) / 365.0)
    angle = np.radians(15.0 * (hours % 24.0 + 0.5 - 12.0))
    latitude = np.radians(latitude_deg)
    height = np.sin(latitude) * np.sin(declination) + np.cos(latitude) * np.cos(
        declination
    ) * np.cos(angle)
    east = -np.cos(declination) * np.sin(angle)
    north = np.cos(latitude) * np.sin(declination) - np.sin(latitude) * np.cos(
        declination
    ) * np.cos(angle)
    return np.asarray(height), np.asarray(np.degrees(np.arctan2(east, north)) % 360.0)


def sun_on_face(
    latitude_deg: float, *, hours: Array, level: Array, direct: Array, diffuse: Array,
    facing_deg: float, tilt_deg: float,
) -> Array:  # fmt: skip
    """Sun on a tilted face.

    Parameters
    ----------
    latitude_deg : float
        Latitude. [deg]
    hours : ndarray, shape (n,)
        Hour of the year. [h]
    level : ndarray, shape (n,)
        Global sun on the level. [W/m2]
    direct : ndarray, shape (n,)
        Sun on a plane that faces it. [W/m2]
    diffuse : ndarray, shape (n,)
        Sky on the level. [W/m2]
    facing_deg : float
        Compass bearing the face looks to. [deg]
    tilt_deg : float
        0 a level top, 90 a wall, 180 an underside. [deg]

    Returns
    -------
    ndarray, shape (n,)
        Sun on the face: direct, even sky, a fifth reflected by the ground. [W/m2]

    Sources
    -------
    D-030 : isotropic sky.
    """
    height, bearing = sun_position(latitude_deg, hours=hours)
    across = np.sqrt(np.maximum(1.0 - height**2, 0.0))
    tilt = np.radians(tilt_deg)
    meets = height * np.cos(tilt) + across * np.sin(tilt) * np.cos(np.radians(bearing - facing_deg))
    beam = np.where(height > 0.0, direct * np.maximum(meets, 0.0), 0.0)
    sky, ground = 0.5 * (1.0 + np.cos(tilt)), 0.5 * (1.0 - np.cos(tilt))
    return np.asarray(beam + sky * diffuse + GROUND_REFLECTS * ground * level)


def diffuse_share(clearness: Array) -> Array:
    """Share of the level sun that comes from the sky, by how clear it is.

    Parameters
    ----------
    clearness : ndarray
        Level sun over the sun above the air. [-]

    Returns
    -------
    ndarray
        Diffuse share. [-]

    Sources
    -------
    D-031 : hourly correlation in three pieces.
    """
    k = np.asarray(clearness, dtype=float)
    middle = 0.9511 - 0.1604 * k + 4.388 * k**2 - 16.638 * k**3 + 12.336 * k**4
    return np.where(k <= 0.22, 1.0 - 0.09 * k, np.where(k <= 0.80, middle, 0.165))
