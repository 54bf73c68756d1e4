"""What a trough or a gutter carries before it spills."""

from __future__ import annotations

import math
from functools import lru_cache

from weatherlap.errors import InputError
from weatherlap.water.hydraulics import (
    Section,
    box_section,
    critical_flow_m3_per_s,
    level_channel_m3_per_s,
    manning_m3_per_s,
)
from weatherlap.water.roofdrains import gutter_section

M_PER_IN = 0.0254
LPH_PER_M3_PER_S = 3.6e6
LEVEL_FALL_IN = 1 / 16
SMALLEST_IN, LARGEST_IN = 1e-3, 1e5


def _check(name: str, value: float, *, least: float) -> None:
    if not least <= value <= LARGEST_IN:
        raise InputError(name, f"{value:g}", f"{least:g} to {LARGEST_IN:g} in")


def _check_channel(width_in: float, depth_in: float, fall_in: float, run_in: float) -> None:
    _check("width_in", width_in, least=SMALLEST_IN)
    _check("depth_in", depth_in, least=SMALLEST_IN)
    _check("run_in", run_in, least=SMALLEST_IN)
    _check("fall_in", fall_in, least=0.0)


def _capacity_lph(section: Section, depth_in: float, fall_in: float, run_in: float) -> float:
    """The greater of even flow down the fall and flow by the water's own slope. [L/h]"""
    depth_m, run_m = depth_in * M_PER_IN, run_in * M_PER_IN
    full = section(depth_m)
    slope = math.tan(math.asin(min(fall_in / run_in, 0.999999)))
    flow = manning_m3_per_s(full, slope=slope)
    if flow < critical_flow_m3_per_s(full):
        flow = max(flow, level_channel_m3_per_s(section, full_depth_m=depth_m, run_m=run_m))
    return LPH_PER_M3_PER_S * flow


@lru_cache(maxsize=4096)
def trough_capacity_lph(
    width_in: float, depth_in: float, fall_in: float, run_in: float, *, open_ends: int
) -> float:
    """What a trough carries before it spills over its lip.

    Parameters
    ----------
    width_in, depth_in : float
        Inside width and height of the lip; the trough is taken as a box. [in]
    fall_in : float
        Height of its high end over its low end. [in]
    run_in : float
        Its length, along the line. [in]
    open_ends : int
        Open ends that the water can leave by. With a fall the low end alone counts: 1 where it
        is open, 0 where it is dammed. Level, each of two open ends takes half. [-]

    Returns
    -------
    float
        Flow; 0 where no end is open. [L/h]

    Raises
    ------
    InputError
        If a size is not finite and above 0, the fall is negative, or there are not 0 to 2 ends.

    Sources
    -------
    W-007, W-008 : with a fall. W-009 : level, and where the water's own slope carries more.
    """
    _check_channel(width_in, depth_in, fall_in, run_in)
    if open_ends not in (0, 1, 2):
        raise InputError("open_ends", str(open_ends), "0, 1 or 2")
    if open_ends == 0:
        return 0.0
    section = box_section(width_in * M_PER_IN)
    if open_ends == 2 and fall_in < LEVEL_FALL_IN:
        return 2 * _capacity_lph(section, depth_in, 0.0, run_in / 2)
    return _capacity_lph(section, depth_in, fall_in, run_in)


@lru_cache(maxsize=4096)
def gutter_capacity_lph(
    shape: str, width_in: float, depth_in: float, fall_in: float, run_in: float
) -> float:
    """What a gutter carries to an outlet at its low end before it spills.

    Parameters
    ----------
    shape : str
        "half-round" or "box".
    width_in, depth_in : float
        Across its top, and its depth. [in]
    fall_in : float
        Height of its high end over its low end. [in]
    run_in : float
        Its length. [in]

    Returns
    -------
    float
        Flow, full to the brim and clean. [L/h]

    Raises
    ------
    InputError
        If the shape is another, a size not finite and above 0, or the fall negative.

    Sources
    -------
    W-007, W-008 : with a fall. W-009 : level. The code allows less: `code_gutter_gpm`.
    """
    _check_channel(width_in, depth_in, fall_in, run_in)
    section = gutter_section(shape, width_in, depth_in)
    return _capacity_lph(section, depth_in, fall_in, run_in)
