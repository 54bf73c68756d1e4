"""Girth of a profile: straight flats, bend allowances and where the bend lines lie on the strip."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate, pairwise

from weatherlap.errors import InputError
from weatherlap.metal.bending import bend_allowance_in, setback_in
from weatherlap.metal.model import Bend, Measure, Metal, Profile, Toward


@dataclass(frozen=True, slots=True)
class Strip:
    """A profile laid flat, measured across from its start edge. [in]

    ``flats_in`` are the straight parts between the bends, ``allowances_in`` the strips that curve,
    ``lines_in`` the middle of each of those: the line that is marked and held at the brake.
    """

    flats_in: tuple[float, ...]
    allowances_in: tuple[float, ...]
    lines_in: tuple[float, ...]
    girth_in: float

    @property
    def spans_in(self) -> tuple[float, ...]:
        """Widths from edge to line, line to line, line to edge; they add up to the girth."""
        marks = (0.0, *self.lines_in, self.girth_in)
        return tuple(b - a for a, b in pairwise(marks))


def radius_of(bend: Bend, *, metal: Metal) -> float:
    """Inside radius of a bend: its own, 0 for a hem, else the metal's usual one. [in]"""
    if bend.radius_in is not None:
        return bend.radius_in
    return 0.0 if bend.is_hem else metal.radius_in


def lay_flat(profile: Profile, *, metal: Metal) -> Strip:
    """The flat strip of a profile.

    Parameters
    ----------
    profile : Profile
        Legs with their measure, and bends. [in, deg]
    metal : Metal
        Thickness, K and usual radius. [in]

    Returns
    -------
    Strip
        Flats, allowances, bend lines, girth. [in]

    Raises
    ------
    InputError
        If a leg is too short for the bends at its ends.

    Sources
    -------
    M-001, M-005 : girth = flats + allowances; flat = leg less setback at each bent end.
    """
    flats = tuple(_flat(profile, number, metal) for number in range(len(profile.legs)))
    allowances = tuple(
        bend_allowance_in(
            bend.angle_deg,
            radius_in=radius_of(bend, metal=metal),
            thickness_in=metal.thickness_in,
            k_factor=metal.k_factor,
        )
        for bend in profile.bends
    )
    ends = tuple(accumulate(flat + ba for flat, ba in zip(flats, (*allowances, 0.0), strict=True)))
    lines = tuple(end - ba / 2 for end, ba in zip(ends, allowances, strict=False))
    return Strip(flats, allowances, lines, ends[-1])


def _flat(profile: Profile, number: int, metal: Metal) -> float:
    """The straight part of a leg: its length less the setback at each bent end."""
    leg = profile.legs[number]
    bent = profile.bends[max(number - 1, 0) : number + 1]
    flat = leg.length_in - sum(setback_of(leg.measure, bend, metal=metal) for bend in bent)
    if flat <= 0:
        raise InputError(
            f"profile {profile.id}, leg {number + 1}",
            f'{leg.length_in:g}" leaves no straight part beside its bends',
            f'more than {leg.length_in - flat:.3f}"',
            "Make the leg longer, or the radius or the angle smaller.",
        )
    return flat


def setback_of(measure: Measure, bend: Bend, *, metal: Metal) -> float:
    """From the measured corner to where the bend begins, on the face that is measured. [in]"""
    inside = measure is Measure.INSIDE or measure.value == bend.toward.value
    radius = radius_of(bend, metal=metal) + (0.0 if inside else metal.thickness_in)
    return setback_in(bend.angle_deg, radius_in=radius)


def girth_in(profile: Profile, *, metal: Metal) -> float:
    """Width of the flat strip that a profile is bent from. [in]"""
    return lay_flat(profile, metal=metal).girth_in


def plain_sum_in(profile: Profile) -> float:
    """Sum of the legs as they are written, without any allowance. [in]"""
    return sum(leg.length_in for leg in profile.legs)


def faces_of(profile: Profile) -> tuple[Toward, ...]:
    """The face that each bend closes over, from the start edge on."""
    return tuple(bend.toward for bend in profile.bends)
