"""Published relations of a bend: allowance, setback, deduction, and K from a test strip."""

from __future__ import annotations

import math
from collections.abc import Sequence

from weatherlap.errors import InputError

MOST_K = 0.6


def bend_allowance_in(
    angle_deg: float, *, radius_in: float, thickness_in: float, k_factor: float
) -> float:
    """Length of the layer that neither grows nor shrinks, through the bend.

    Parameters
    ----------
    angle_deg : float
        Angle the metal is turned through. [deg]
    radius_in : float
        Inside radius. [in]
    thickness_in : float
        Thickness. [in]
    k_factor : float
        Place of that layer from the inside, in thicknesses. [-]

    Returns
    -------
    float
        Arc length. [in]

    Raises
    ------
    InputError
        If a value is negative or not finite.

    Sources
    -------
    M-001 : BA = (pi/180) A (R + K T).
    """
    _no_negative(angle_deg=angle_deg, radius_in=radius_in, thickness_in=thickness_in, k=k_factor)
    return math.radians(angle_deg) * (radius_in + k_factor * thickness_in)


def setback_in(angle_deg: float, *, radius_in: float) -> float:
    """Distance from the corner of the two straight faces to where the bend begins.

    Parameters
    ----------
    angle_deg : float
        Angle the metal is turned through; from 180 on the faces have no corner, and the distance
        to the fold's far point is given, which is the radius. [deg]
    radius_in : float
        Radius of the face that is measured: the inside radius, or that plus the thickness. [in]

    Returns
    -------
    float
        Setback. [in]

    Raises
    ------
    InputError
        If a value is negative or not finite.

    Sources
    -------
    M-001 : OSSB = tan(A/2) (R + T). M-005 : SB = R + T at 90 degrees.
    """
    _no_negative(angle_deg=angle_deg, radius_in=radius_in)
    if angle_deg > 179.5:
        return radius_in
    return math.tan(math.radians(angle_deg) / 2) * radius_in


def bend_deduction_in(
    angle_deg: float, *, radius_in: float, thickness_in: float, k_factor: float
) -> float:
    """What two legs measured to their outside corner are longer than the flat strip.

    Parameters
    ----------
    angle_deg : float
        Angle the metal is turned through, below 180. [deg]
    radius_in : float
        Inside radius. [in]
    thickness_in : float
        Thickness. [in]
    k_factor : float
        Place of the layer that keeps its length, in thicknesses. [-]

    Returns
    -------
    float
        Deduction. [in]

    Raises
    ------
    InputError
        If the angle is 180 or more (legs of a hem have no outside corner), or a value negative.

    Sources
    -------
    M-001 : BD = 2 OSSB - BA.
    """
    if angle_deg >= 180:
        raise InputError(
            "bend deduction", f"a turn of {angle_deg:g} degrees", "less than 180",
            "Add the flats and the allowance of a hem instead.",
        )  # fmt: skip
    allowance = bend_allowance_in(
        angle_deg, radius_in=radius_in, thickness_in=thickness_in, k_factor=k_factor
    )
    return 2 * setback_in(angle_deg, radius_in=radius_in + thickness_in) - allowance


def k_from_strip(
    flat_in: float,
    *,
    legs_in: Sequence[float],
    angle_deg: float,
    radius_in: float,
    thickness_in: float,
) -> float:
    """K of a metal on a brake, back from one strip that was measured flat and bent.

    Parameters
    ----------
    flat_in : float
        Length of the strip before bending. [in]
    legs_in : sequence of float
        Its legs after bending, to the outside corners: two for one bend, three for two. [in]
    angle_deg : float
        Angle that each bend was turned through, below 180. [deg]
    radius_in : float
        Inside radius. [in]
    thickness_in : float
        Thickness. [in]

    Returns
    -------
    float
        Place of the layer that keeps its length, in thicknesses. [-]

    Raises
    ------
    InputError
        If there is no bend, or the sizes cannot belong together: K would not lie in 0 to 0.6.

    Limits
    ------
    Thin metal: an error of 1/64 in the strip moves K of .019 sheet by 0.5. Bend several times in
    one strip, or measure with a caliper.

    Sources
    -------
    M-001 : BA = (flat - legs) / bends + 2 OSSB, solved for K.
    """
    bends = len(legs_in) - 1
    if bends < 1:
        raise InputError("test strip", f"{len(legs_in)} legs", "two or more, with a bend between")
    outside = setback_in(angle_deg, radius_in=radius_in + thickness_in)
    allowance = (flat_in - sum(legs_in)) / bends + 2 * outside
    k = (allowance / math.radians(angle_deg) - radius_in) / thickness_in
    if not 0 <= k <= MOST_K:
        raise InputError(
            "test strip", f"K = {k:.2f}", f"0 to {MOST_K:g}",
            "Measure strip, legs (to the outside) and thickness again, with a caliper.",
        )  # fmt: skip
    return k


def _no_negative(**values: float) -> None:
    for name, value in values.items():
        if not (value >= 0 and math.isfinite(value)):
            raise InputError(name, f"{value:g}", "0 or more")
