"""How the two ends of a bent piece are cut: square, mitred, notched, with tabs and end dams."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.metal.model import Metal, Profile, Toward, checked
from weatherlap.metal.section import folded


@dataclass(frozen=True, slots=True)
class Tab:
    """Metal left on beyond the end of a leg and turned: an end dam, a corner tab. [in, deg]

    ``leg`` counts from 1; ``length_in`` is to the inside of its bend; ``inset_in`` is left off at
    both sides, and ``taper_deg`` narrows it on the way out.
    """

    leg: int
    length_in: float
    toward: Toward
    angle_deg: float = 90.0
    inset_in: float = 1 / 16
    taper_deg: float = 0.0


@dataclass(frozen=True, slots=True)
class Notch:
    """Metal taken away at an end over some legs (counted from 1, both included). [in]"""

    first_leg: int
    last_leg: int
    depth_in: float


@dataclass(frozen=True, slots=True)
class EndCut:
    """One end of a piece. [in]

    The cut is a plane: at the point (x, y) of the folded section it lies ``per_x`` x + ``per_y`` y
    further out than where the section starts. Square is 0, 0.
    """

    per_x: float = 0.0
    per_y: float = 0.0
    tabs: tuple[Tab, ...] = ()
    notches: tuple[Notch, ...] = ()


SQUARE = EndCut()


def mitred(
    profile: Profile,
    *,
    metal: Metal,
    leg: int,
    angle_deg: float,
    tabs: tuple[Tab, ...] = (),
    notches: tuple[Notch, ...] = (),
) -> EndCut:
    """A cut across one leg at an angle from square, through the whole folded piece.

    The plane stands square on that leg (counted from 1): legs at right angles to it are cut
    square. Above 0 the piece gets longer from the leg's start edge to its end edge.

    Raises
    ------
    InputError
        If there is no such leg, or the angle is not between -80 and 80 degrees.
    """
    _check_leg(profile, leg)
    checked("mitre", angle_deg, least=-80.0, most=80.0, unit="degrees")
    (x0, y0), (x1, y1) = folded(profile, metal=metal).flats[leg - 1]
    length = math.hypot(x1 - x0, y1 - y0)
    rise = math.tan(math.radians(angle_deg)) / length
    return EndCut(rise * (x1 - x0), rise * (y1 - y0), tabs, notches)


def check_end(profile: Profile, cut: EndCut) -> None:
    """Nothing if tabs and notches fit the profile.

    Raises
    ------
    InputError
        If one names a leg that is not there, or a size that cannot be.
    """
    for tab in cut.tabs:
        _check_leg(profile, tab.leg)
        checked("tab length", tab.length_in, least=1 / 16, most=24.0)
        checked("tab angle", tab.angle_deg, least=1.0, most=150.0, unit="degrees")
        checked("tab inset", tab.inset_in, least=0.0, most=12.0)
        checked("tab taper", tab.taper_deg, least=0.0, most=75.0, unit="degrees")
    for notch in cut.notches:
        _check_leg(profile, notch.first_leg)
        _check_leg(profile, notch.last_leg)
        checked("notch depth", notch.depth_in, least=1 / 64, most=600.0)
        if notch.first_leg > notch.last_leg:
            found = f"legs {notch.first_leg} to {notch.last_leg}"
            raise InputError("notch", found, "the leg nearer the start edge first")


def _check_leg(profile: Profile, leg: int) -> None:
    if not 1 <= leg <= len(profile.legs):
        where = f"profile {profile.id}"
        raise InputError(where, f"leg {leg}", f"a leg from 1 to {len(profile.legs)}")
