"""Beams that roll over and columns that buckle: CL and CP of the NDS."""

from __future__ import annotations

from math import sqrt

from weatherlap.errors import InputError

MOST_SLENDER_BEAM = 50.0
MOST_SLENDER_COLUMN = 50.0
MOST_SLENDER_WHILE_BUILDING = 75.0


def beam_effective_length(unbraced_in: float, *, depth_in: float) -> float:
    """Effective length of a bending member under any load on a single span. [in]

    Parameters
    ----------
    unbraced_in : float
        Distance between places that hold the compression edge. [in]
    depth_in : float
        Depth of the member. [in]

    Sources
    -------
    S-013 : Table 3.3.3, the row for loads not listed, never less than any listed row but for the
        uniform one, which it equals up to 14.3 depths.
    """
    ratio = unbraced_in / depth_in
    if ratio < 7.0:
        return 2.06 * unbraced_in
    if ratio <= 14.3:
        return 1.63 * unbraced_in + 3.0 * depth_in
    return 1.84 * unbraced_in


def beam_slenderness(effective_in: float, *, depth_in: float, width_in: float) -> float:
    """RB = sqrt(le d / b2). [-]

    Parameters
    ----------
    effective_in, depth_in, width_in : float
        Effective length, depth and width. [in]

    Sources
    -------
    S-013 : equation 3.3-5.
    """
    return sqrt(effective_in * depth_in / width_in**2)


def beam_stability(fb_star_psi: float, *, emin_psi: float, slenderness: float) -> float:
    """Beam stability factor CL. [-]

    Parameters
    ----------
    fb_star_psi : float
        Bending value with every factor but CL, Cfu and CV. [psi]
    emin_psi : float
        Adjusted stiffness for stability. [psi]
    slenderness : float
        RB. [-]

    Raises
    ------
    InputError
        RB over 50: outside the method.

    Sources
    -------
    S-013 : equation 3.3-6.
    """
    if slenderness <= 0:
        return 1.0
    if slenderness > MOST_SLENDER_BEAM:
        raise InputError("beam", f"slenderness RB {slenderness:.1f}", "at most 50")
    r = 1.20 * emin_psi / slenderness**2 / fb_star_psi
    half = (1 + r) / 1.9
    return half - sqrt(half**2 - r / 0.95)


def needs_no_brace(depth_in: float, *, width_in: float) -> bool:
    """Whether depth over width alone keeps a member whose ends are held from rolling over.

    Parameters
    ----------
    depth_in, width_in : float
        Dressed sizes, all plies together; turned to nominal by half an inch more. [in]

    Sources
    -------
    S-013 : 4.4.1.2 (a) and (b), nominal depth to width of 4 or less with the ends held.
    """
    return (depth_in + 0.5) / (width_in + 0.5) <= 4.0


def column_stability(
    fc_star_psi: float, *, emin_psi: float, slenderness: float, c: float = 0.8
) -> float:
    """Column stability factor CP. [-]

    Parameters
    ----------
    fc_star_psi : float
        Compression value with every factor but CP. [psi]
    emin_psi : float
        Adjusted stiffness for stability. [psi]
    slenderness : float
        le/d. [-]
    c : float
        0.8 sawn, 0.85 round, 0.9 composite. [-]

    Sources
    -------
    S-014 : equation 3.7-1.
    """
    if slenderness <= 0:
        return 1.0
    r = euler_stress(emin_psi, slenderness=slenderness) / fc_star_psi
    half = (1 + r) / (2 * c)
    return half - sqrt(half**2 - r / c)


def euler_stress(emin_psi: float, *, slenderness: float) -> float:
    """FcE = 0.822 E'min / (le/d)2. [psi]

    Parameters
    ----------
    emin_psi : float
        Adjusted stiffness for stability. [psi]
    slenderness : float
        le/d, over 0. [-]

    Sources
    -------
    S-014 : 3.7.1.5.
    """
    return 0.822 * emin_psi / slenderness**2
