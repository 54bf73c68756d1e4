"""Hydraulics of small channels: cross-sections, Manning, critical flow, weirs and outlets."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from weatherlap.errors import InputError

GRAVITY_M_PER_S2 = 9.81
SMOOTH_N = 0.012
BROAD_WEIR = 1.7
ORIFICE = 0.6

Section = Callable[[float], "Filled"]


@dataclass(frozen=True, slots=True)
class Filled:
    """A channel's cross-section filled to some depth. [m2, m, m, m3]

    ``moment_m3`` is the area times the depth of its centre below the water's surface.
    """

    area_m2: float
    wetted_m: float
    top_m: float
    moment_m3: float

    @property
    def radius_m(self) -> float:
        """Hydraulic radius. [m]"""
        return self.area_m2 / self.wetted_m


def box_section(width_m: float) -> Section:
    """Cross-section of a box-shaped channel, by its depth of water.

    Parameters
    ----------
    width_m : float
        Inside width. [m]

    Sources
    -------
    W-007 : geometry of the rectangle.
    """

    def filled(depth_m: float) -> Filled:
        area = width_m * depth_m
        return Filled(area, width_m + 2 * depth_m, width_m, area * depth_m / 2)

    return filled


def triangle_section(width_m: float, *, full_depth_m: float) -> Section:
    """Cross-section of a V, by its depth of water.

    Parameters
    ----------
    width_m : float
        Width across the top when full. [m]
    full_depth_m : float
        Depth when full. [m]

    Sources
    -------
    W-007 : geometry of the triangle.
    """
    side = width_m / (2 * full_depth_m)

    def filled(depth_m: float) -> Filled:
        area = side * depth_m**2
        wetted = 2 * depth_m * math.hypot(1.0, side)
        return Filled(area, wetted, 2 * side * depth_m, area * depth_m / 3)

    return filled


def half_round_section(width_m: float, *, full_depth_m: float | None = None) -> Section:
    """Cross-section of a half-round channel, by its depth of water.

    Parameters
    ----------
    width_m : float
        Width across the top. [m]
    full_depth_m : float or None
        Depth when full: half the width if not given; shallower is a smaller part of a circle,
        deeper a half circle with upright sides. [m]

    Sources
    -------
    W-007 : geometry of the circle.
    """
    deep = width_m / 2 if full_depth_m is None else full_depth_m
    round_deep = min(deep, width_m / 2)
    radius = (width_m**2 / 4 + round_deep**2) / (2 * round_deep)

    def filled(depth_m: float) -> Filled:
        bowl = min(depth_m, round_deep)
        wall = depth_m - bowl
        half = math.acos(max(-1.0, 1 - bowl / radius))
        top = 2 * radius * math.sin(half)
        area = radius**2 * (half - math.sin(half) * math.cos(half))
        moment = (2 / 3) * (radius * math.sin(half)) ** 3 - area * (radius - bowl)
        return Filled(
            area + top * wall,
            2 * radius * half + 2 * wall,
            top,
            moment + area * wall + top * wall**2 / 2,
        )

    return filled


def manning_m3_per_s(filled: Filled, *, slope: float, n: float = SMOOTH_N) -> float:
    """Steady flow in an even channel.

    Parameters
    ----------
    filled : Filled
        The cross-section. [m2, m]
    slope : float
        Fall over run. [-]
    n : float
        Roughness: 0.010 to 0.012 smooth metal or vinyl, 0.015 to 0.020 dirty. [s/m^(1/3)]

    Returns
    -------
    float
        Flow. [m3/s]

    Raises
    ------
    InputError
        If the slope is negative or n not above 0.

    Limits
    ------
    Long channels; a short level one is ruled by its outlet.

    Sources
    -------
    W-007 : Q = A R^(2/3) S^(1/2) / n. W-008 : n.
    """
    if not (slope >= 0 and math.isfinite(slope)):
        raise InputError("slope", f"{slope:g}", "a slope of 0 or more")
    if not n > 0:
        raise InputError("n", f"{n:g}", "a roughness above 0")
    return float(filled.area_m2 * filled.radius_m ** (2 / 3) * math.sqrt(slope) / n)


def critical_flow_m3_per_s(filled: Filled) -> float:
    """Flow that passes a free outlet at a depth: the most for the energy it has.

    Parameters
    ----------
    filled : Filled
        The cross-section at the outlet. [m2, m]

    Returns
    -------
    float
        Flow. [m3/s]

    Sources
    -------
    W-009 : Q^2 = g A^3 / T; held against W-204 and W-205.
    """
    return math.sqrt(GRAVITY_M_PER_S2 * filled.area_m2**3 / filled.top_m)


def level_channel_m3_per_s(
    section: Section, *, full_depth_m: float, run_m: float, n: float = SMOOTH_N
) -> float:
    """Flow at which a level channel, fed along its run, stands full at its closed end.

    Parameters
    ----------
    section : Section
        The cross-section by depth. [m]
    full_depth_m : float
        Depth at which it spills. [m]
    run_m : float
        Length from the closed end to the free outlet. [m]
    n : float
        Roughness. [s/m^(1/3)]

    Returns
    -------
    float
        Flow at the outlet. [m3/s]

    Limits
    ------
    Friction is taken at the mean depth, for a flow that grows evenly along the run; without
    friction a box gives the known full depth = 3^(1/2) x critical depth.

    Sources
    -------
    W-009 : momentum between the closed end and the outlet at critical depth.
    """
    full = section(full_depth_m)

    def excess(depth_m: float) -> float:
        """Momentum that the outlet at this critical depth needs over what the full end gives."""
        end = section(depth_m)
        flow = critical_flow_m3_per_s(end)
        mean = section((depth_m + full_depth_m) / 2)
        drag = (n * flow) ** 2 * run_m / (3 * mean.area_m2 * mean.radius_m ** (4 / 3))
        out = end.moment_m3 + flow**2 / (GRAVITY_M_PER_S2 * end.area_m2)
        return float(out + drag - full.moment_m3)

    depth = _zero_of(excess, high=full_depth_m, at_zero=-full.moment_m3)
    return critical_flow_m3_per_s(section(depth))


def _zero_of(rising: Callable[[float], float], *, high: float, at_zero: float) -> float:
    """Where a rising function passes 0 between 0 and ``high`` (false position, halved ends)."""
    low, f_low, f_high = 0.0, at_zero, rising(high)
    size = high
    for _ in range(80):
        at = (low * f_high - high * f_low) / (f_high - f_low)
        value = rising(at)
        if value > 0:
            high, f_high, f_low = at, value, f_low / 2
        else:
            low, f_low, f_high = at, value, f_high / 2
        if abs(value) <= 1e-9 * abs(at_zero) or high - low <= 1e-12 * size:
            return at
    return (low + high) / 2


def weir_m3_per_s(lip_m: float, *, head_m: float, coefficient: float = BROAD_WEIR) -> float:
    """Flow over a free lip.

    Parameters
    ----------
    lip_m : float
        Length of the lip. [m]
    head_m : float
        Height of the water over it. [m]
    coefficient : float
        1.7 for a broad lip to 1.84 for a sharp one. [m^0.5/s]

    Returns
    -------
    float
        Flow. [m3/s]

    Raises
    ------
    InputError
        If the lip or the head is negative.

    Sources
    -------
    W-010 : Q = C b H^1.5.
    """
    if not (lip_m >= 0 and head_m >= 0):
        raise InputError("lip_m, head_m", f"{lip_m:g}, {head_m:g}", "0 m or more")
    return float(coefficient * lip_m * head_m**1.5)


def outlet_m3_per_s(area_m2: float, *, rim_m: float, head_m: float) -> float:
    """Flow down an outlet in a channel's bottom: as a weir at low head, an orifice at high head.

    Parameters
    ----------
    area_m2 : float
        Area of the hole. [m2]
    rim_m : float
        Length of its rim. [m]
    head_m : float
        Depth of water over it. [m]

    Returns
    -------
    float
        The lesser of the two flows. [m3/s]

    Raises
    ------
    InputError
        If a value is negative.

    Sources
    -------
    W-010 : 1.7 P H^1.5 and 0.6 A (2 g H)^(1/2).
    """
    if not area_m2 >= 0:
        raise InputError("area_m2", f"{area_m2:g}", "an area of 0 m2 or more")
    over_rim = weir_m3_per_s(rim_m, head_m=head_m)
    return min(over_rim, ORIFICE * area_m2 * math.sqrt(2 * GRAVITY_M_PER_S2 * head_m))
