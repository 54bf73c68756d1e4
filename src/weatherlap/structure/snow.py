"""Snow on roofs: flat, sloped, unbalanced, drifted against the wall, slid from above, rained on."""

from __future__ import annotations

from dataclasses import dataclass
from math import radians, sqrt, tan

from weatherlap.errors import InputError
from weatherlap.structure.site import Exposure, SnowExposure
from weatherlap.structure.tables import table

SNOW_FREE_DEG = 70.0
LOW_SLOPE_DEG = 15.0
HEAVY_GROUND_PSF = 20.0
RAIN_PSF = 5.0
SHORTEST_UPPER_ROOF_FT = 20.0
SLIDING_WIDTH_FT = 15.0
GABLE_SLOPES_DEG = (2.38, 30.2)
NARROW_GABLE_FT = 20.0


def exposure_factor(exposure: Exposure, *, roof: SnowExposure) -> float:
    """Snow exposure factor Ce. [-]

    Sources
    -------
    S-030 : Table 7.3-1.
    """
    column = list(SnowExposure).index(roof)
    return float(table("loads")["snow_exposure"][exposure.value][column])


def flat_roof_snow(
    ground_psf: float, *, exposure: float, thermal: float, importance: float, share: float = 0.7
) -> float:
    """Snow on a flat roof, pf = 0.7 Ce Ct Is pg. [psf]

    Parameters
    ----------
    ground_psf : float
        Ground snow load. [psf]
    exposure, thermal, importance, share : float
        Ce, Ct, Is and the 0.7. [-]

    Raises
    ------
    InputError
        A negative ground load or a factor of 0.

    Sources
    -------
    S-030 : equation 7.3-1.
    """
    if ground_psf < 0 or min(exposure, thermal, importance, share) <= 0:
        raise InputError("snow", "a negative load or factor", "figures over 0")
    return share * exposure * thermal * importance * ground_psf


def least_low_slope_snow(ground_psf: float, *, importance: float) -> float:
    """Least snow on a roof of less than 15 degrees, pm. [psf]

    Parameters
    ----------
    ground_psf : float
        Ground snow load. [psf]
    importance : float
        Is. [-]

    Sources
    -------
    S-030 : 7.3.4.
    """
    return importance * min(ground_psf, HEAVY_GROUND_PSF)


def slope_factor(slope_deg: float, *, thermal: float, slippery: bool) -> float:
    """Roof slope factor Cs. [-]

    Parameters
    ----------
    slope_deg : float
        Slope. [deg]
    thermal : float
        Ct. [-]
    slippery : bool
        Metal or the like, with nothing that stops the slide.

    Raises
    ------
    InputError
        A slope outside 0 to 90 degrees.

    Sources
    -------
    S-030 : 7.4.
    """
    if not 0 <= slope_deg <= 90:
        raise InputError("roof", f"a slope of {slope_deg:g} degrees", "0 to 90 degrees")
    if thermal <= 1.0:
        start = 5.0 if slippery else 30.0
    elif thermal < 1.2:
        start = 10.0 if slippery else 37.5
    else:
        start = 15.0 if slippery else 45.0
    if slope_deg <= start:
        return 1.0
    return max(0.0, 1.0 - (slope_deg - start) / (SNOW_FREE_DEG - start))


def rain_on_snow_psf(ground_psf: float, *, slope_deg: float, eave_to_ridge_ft: float) -> float:
    """Rain-on-snow surcharge on a nearly flat roof. [psf]

    Parameters
    ----------
    ground_psf : float
        Ground snow load. [psf]
    slope_deg : float
        Slope. [deg]
    eave_to_ridge_ft : float
        Plan distance from eave to ridge. [ft]

    Sources
    -------
    S-030 : 7.10.
    """
    flat = slope_deg < eave_to_ridge_ft / 50.0
    return RAIN_PSF if 0 < ground_psf <= HEAVY_GROUND_PSF and flat else 0.0


def snow_density_pcf(ground_psf: float) -> float:
    """Weight of snow. [pcf]

    Parameters
    ----------
    ground_psf : float
        Ground snow load. [psf]

    Sources
    -------
    S-031 : 0.13 pg + 14, at most 30.
    """
    return min(0.13 * ground_psf + 14.0, 30.0)


def drift_height_7_16_ft(ground_psf: float, *, fetch_ft: float, importance: float = 1.0) -> float:
    """Height of a leeward drift. [ft]

    Parameters
    ----------
    ground_psf : float
        Ground snow load. [psf]
    fetch_ft : float
        Length of the roof that feeds it, at least 20. [ft]
    importance : float
        Is, under the root. [-]

    Sources
    -------
    S-031 : 7.7.1.
    """
    fetch = max(fetch_ft, SHORTEST_UPPER_ROOF_FT)
    height = float(0.43 * fetch ** (1 / 3) * (ground_psf + 10.0) ** 0.25 - 1.5)
    return max(0.0, height * sqrt(importance))


def drift_height_7_22_ft(ground_psf: float, *, fetch_ft: float, winter_wind: float) -> float:
    """Height of a leeward drift with the winter wind parameter. [ft]

    Parameters
    ----------
    ground_psf : float
        Ground snow load of ASCE 7-22. [psf]
    fetch_ft : float
        Length of the roof that feeds it. [ft]
    winter_wind : float
        W2. [-]

    Sources
    -------
    S-032 : hd = 1.5 sqrt(pg^0.74 lu^0.70 W2^1.7 / g).
    """
    density = snow_density_pcf(ground_psf)
    return float(1.5 * sqrt(ground_psf**0.74 * fetch_ft**0.70 * winter_wind**1.7 / density))


@dataclass(frozen=True, slots=True)
class Drift:
    """A triangular drift against a wall: deepest at the wall. [psf, ft]"""

    peak_psf: float
    width_ft: float
    height_ft: float
    density_pcf: float


def drift_against_wall(
    leeward_ft: float,
    *,
    windward_ft: float,
    balanced_psf: float,
    step_ft: float,
    density_pcf: float,
) -> Drift:
    """Drift on a lower roof at a step, from the larger of the two drift heights.

    Parameters
    ----------
    leeward_ft, windward_ft : float
        Drift heights from the upper roof and from the lower roof (before its 0.75). [ft]
    balanced_psf : float
        Snow that lies there anyway. [psf]
    step_ft : float
        Height of the upper roof over the lower one. [ft]
    density_pcf : float
        Weight of snow. [pcf]

    Sources
    -------
    S-031 : 7.7.1.
    """
    none = Drift(0.0, 0.0, 0.0, density_pcf)
    base = balanced_psf / density_pcf
    clear = step_ft - base
    if base <= 0 or clear / base < 0.2:
        return none
    height = max(leeward_ft, 0.75 * windward_ft)
    width = 4.0 * height
    if height > clear:
        width = min(4.0 * height**2 / clear, 8.0 * clear)
        height = clear
    return Drift(density_pcf * height, width, height, density_pcf)


def sliding_snow_plf(
    upper_flat_psf: float, *, upper_slope_deg: float, eave_to_ridge_ft: float, slippery: bool
) -> float:
    """Snow that slides from the roof above, per foot of its eave, spread over 15 ft. [plf]

    Parameters
    ----------
    upper_flat_psf : float
        pf of the upper roof. [psf]
    upper_slope_deg : float
        Slope of the upper roof. [deg]
    eave_to_ridge_ft : float
        Plan distance of the upper roof. [ft]

    Sources
    -------
    S-031 : 7.9, 0.4 pf W over 1/4 in 12 slippery, over 2 in 12 other.
    """
    rise = 12.0 * tan(radians(upper_slope_deg))
    if rise <= (0.25 if slippery else 2.0):
        return 0.0
    return 0.4 * upper_flat_psf * eave_to_ridge_ft


@dataclass(frozen=True, slots=True)
class Unbalanced:
    """Unbalanced snow of a gable: windward, lee, and a strip from the ridge. [psf, ft]"""

    windward_psf: float
    leeward_psf: float
    strip_psf: float
    strip_ft: float


def unbalanced_gable(
    sloped_psf: float, *, ground_psf: float, slope_deg: float, eave_to_ridge_ft: float,
    importance: float,
) -> Unbalanced | None:  # fmt: skip
    """Unbalanced snow of a gable or hip roof; None where the slope excuses it.

    Parameters
    ----------
    sloped_psf, ground_psf : float
        ps and pg. [psf]
    slope_deg : float
        Slope. [deg]
    eave_to_ridge_ft : float
        W. [ft]
    importance : float
        Is. [-]

    Sources
    -------
    S-030 : 7.6.1.
    """
    if not GABLE_SLOPES_DEG[0] <= slope_deg <= GABLE_SLOPES_DEG[1]:
        return None
    if eave_to_ridge_ft <= NARROW_GABLE_FT:
        return Unbalanced(0.0, importance * ground_psf, 0.0, 0.0)
    run = 1.0 / tan(radians(slope_deg))
    height = drift_height_7_16_ft(ground_psf, fetch_ft=eave_to_ridge_ft, importance=importance)
    return Unbalanced(
        0.3 * sloped_psf, sloped_psf, height * snow_density_pcf(ground_psf) / sqrt(run),
        8.0 / 3.0 * height * sqrt(run),
    )  # fmt: skip
