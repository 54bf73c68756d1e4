"""What the plumbing codes let leaders and gutters take, and the run-off that they are sized for."""

from __future__ import annotations

import math

from weatherlap.errors import InputError
from weatherlap.water.hydraulics import Section, box_section, half_round_section

M_PER_IN = 0.0254


def leader_gpm(diameter_in: float, *, full: float = 7 / 24) -> float:
    """Flow down an upright leader with the water against its wall.

    Parameters
    ----------
    diameter_in : float
        Inside diameter. [in]
    full : float
        Part of its cross-section that the water fills; the code takes 7/24. [-]

    Returns
    -------
    float
        Flow. [gal/min]

    Raises
    ------
    InputError
        If the diameter is not above 0 or the filling not 0 to 1.

    Sources
    -------
    W-012 : 27.8 f^(5/3) d^(8/3). W-011 : 7/24; held against its table.
    """
    if not diameter_in > 0:
        raise InputError("diameter_in", f"{diameter_in:g}", "a diameter above 0 in")
    if not 0 <= full <= 1:
        raise InputError("full", f"{full:g}", "a filling of 0 to 1")
    return float(27.8 * full ** (5 / 3) * diameter_in ** (8 / 3))


def runoff_gpm(plan_ft2: float, *, rain_in_per_h: float) -> float:
    """Flow off a roof by its plan area.

    Parameters
    ----------
    plan_ft2 : float
        Plan area. [ft2]
    rain_in_per_h : float
        Rain. [in/h]

    Returns
    -------
    float
        Flow. [gal/min]

    Raises
    ------
    InputError
        If a value is negative.

    Sources
    -------
    W-006 : 7.48/12/60 with the exact gallon.
    """
    if not (plan_ft2 >= 0 and rain_in_per_h >= 0):
        raise InputError("plan_ft2, rain_in_per_h", f"{plan_ft2:g}, {rain_in_per_h:g}", ">= 0")
    return plan_ft2 * rain_in_per_h * 144 / 231 / 60


_CODE_PLAN_FT2 = {3.0: 680.0, 4.0: 1440.0, 5.0: 2500.0, 6.0: 3840.0, 7.0: 5520.0, 8.0: 7960.0}
_CODE_FALL_IN_PER_FT = 1 / 16


def code_gutter_gpm(diameter_in: float, *, fall_in_per_ft: float) -> float:
    """Flow that the plumbing code lets a half-round gutter take.

    Parameters
    ----------
    diameter_in : float
        Width across the top; for another shape that of the half-round of equal area. [in]
    fall_in_per_ft : float
        Fall. [in/ft]

    Returns
    -------
    float
        Flow. [gal/min]

    Raises
    ------
    InputError
        If the diameter is not above 0 or the fall negative.

    Limits
    ------
    Well under half of what Manning gives for a full gutter; between and beyond the table's
    sizes it follows the power of its end rows, and the square root of the fall.

    Sources
    -------
    W-013 : plan areas at 1 in/h and 1/16 in/ft. W-006 : run-off.
    """
    if not (diameter_in > 0 and fall_in_per_ft >= 0):
        raise InputError("gutter", f"{diameter_in:g} in, {fall_in_per_ft:g} in/ft", "> 0 and >= 0")
    sizes = sorted(_CODE_PLAN_FT2)
    low = max((s for s in sizes[:-1] if s <= diameter_in), default=sizes[0])
    high = sizes[sizes.index(low) + 1]
    power = math.log(_CODE_PLAN_FT2[high] / _CODE_PLAN_FT2[low]) / math.log(high / low)
    plan = _CODE_PLAN_FT2[low] * (diameter_in / low) ** power
    return runoff_gpm(plan * math.sqrt(fall_in_per_ft / _CODE_FALL_IN_PER_FT), rain_in_per_h=1.0)


def same_area_half_round_in(shape: str, *, width_in: float, depth_in: float) -> float:
    """Width of the half-round gutter with the same cross-section, by which codes size others.

    Parameters
    ----------
    shape : str
        "half-round" or "box".
    width_in, depth_in : float
        Across its top, and its depth. [in]

    Returns
    -------
    float
        Width across the top of a half circle. [in]

    Raises
    ------
    InputError
        If the shape is another.

    Sources
    -------
    W-013 : other shapes by equal area.
    """
    section = gutter_section(shape, width_in, depth_in)
    return math.sqrt(8 * section(depth_in * M_PER_IN).area_m2 / math.pi) / M_PER_IN


def gutter_section(shape: str, width_in: float, depth_in: float) -> Section:
    """Cross-section of a gutter of a shape, by its depth of water in metres. [in]

    Raises
    ------
    InputError
        If the shape is another than "half-round" or "box".
    """
    if shape == "box":
        return box_section(width_in * M_PER_IN)
    if shape == "half-round":
        return half_round_section(width_in * M_PER_IN, full_depth_m=depth_in * M_PER_IN)
    raise InputError("shape", repr(shape), '"half-round" or "box"')
