"""A girth wider than the coil, cut along its legs into the fewest strips that come out of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from string import ascii_uppercase

from weatherlap.errors import InputError
from weatherlap.metal.girth import Strip, lay_flat, setback_of
from weatherlap.metal.model import Metal, Profile
from weatherlap.units import tape

BESIDE_IN = 0.25
"""Flat metal that a lap leaves beside the bends of its leg. [in]"""
HALVINGS = 40
MOST_STRIPS = len(ascii_uppercase)


@dataclass(frozen=True, slots=True)
class Strips:
    """Profiles that lap one another and make a wider one.

    ``legs`` (from 0) are those that each lap lies on, ``middles_in`` where on the flat strip the
    middle of each lap is.
    """

    profiles: tuple[Profile, ...]
    legs: tuple[int, ...]
    middles_in: tuple[float, ...]


def strips_of(profile: Profile, *, metal: Metal, coil_width_in: float, lap_in: float) -> Strips:
    """The fewest strips, the widest of them as narrow as that number allows.

    Parameters
    ----------
    coil_width_in, lap_in : float
        Width of the coil, and how far each two strips lie over one another. [in]

    Raises
    ------
    InputError
        If the bends leave no room for the laps that are needed.
    """
    strip = lay_flat(profile, metal=metal)
    rooms = _rooms(strip, lap_in)
    found = _laps(strip.girth_in, rooms, coil_width_in, lap_in)
    if found is None or len(found) >= MOST_STRIPS:
        raise InputError(
            f"profile {profile.id}",
            f"a girth of {tape(strip.girth_in)}, with no legs wide enough for laps",
            f"a lap of {tape(lap_in)} on a flat leg within each {tape(coil_width_in)}",
            "Take a wider coil, or let the metal end on another leg.",
        )
    low, high = lap_in, coil_width_in
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        tried = _laps(strip.girth_in, rooms, middle, lap_in)
        if tried is not None and len(tried) == len(found):
            found, high = tried, middle
        else:
            low = middle
    legs = tuple(leg for leg, _ in found)
    return Strips(_parted(profile, strip, metal, found, lap_in), legs, tuple(y for _, y in found))


def _rooms(strip: Strip, lap_in: float) -> list[tuple[int, float, float]]:
    """Each leg with the stretch of the strip in which the middle of a lap may lie."""
    rooms, at = [], 0.0
    for leg, (flat, arc) in enumerate(
        zip(strip.flats_in, (*strip.allowances_in, 0.0), strict=True)
    ):
        beside = lap_in / 2 + BESIDE_IN
        if flat >= 2 * beside:
            rooms.append((leg, at + beside, at + flat - beside))
        at += flat + arc
    return rooms


def _laps(
    girth_in: float, rooms: Sequence[tuple[int, float, float]], widest_in: float, lap_in: float
) -> list[tuple[int, float]] | None:
    """Laps as far on as a width allows, one after the other; None where there is no room."""
    found: list[tuple[int, float]] = []
    start = 0.0
    while girth_in - start > widest_in + 1e-9:
        reach = start + widest_in - lap_in / 2
        fits = [(leg, min(b, reach)) for leg, a, b in rooms if a <= reach]
        if not fits or fits[-1][1] - lap_in / 2 <= start + 1e-6:
            return None
        found.append(fits[-1])
        start = fits[-1][1] - lap_in / 2
    return found


def _parted(
    profile: Profile, strip: Strip, metal: Metal, laps: Sequence[tuple[int, float]], lap_in: float
) -> tuple[Profile, ...]:
    """The profile of each strip."""
    begins = [
        sum(strip.flats_in[:n]) + sum(strip.allowances_in[:n]) for n in range(len(profile.legs))
    ]
    places = [(leg, at - begins[leg] + _setback(profile, leg, metal)) for leg, at in laps]
    last = len(profile.legs) - 1
    marks = [(0, None), *places, (last, None)]
    parts = []
    for number, ((a, start), (b, end)) in enumerate(pairwise(marks)):
        legs = list(profile.legs[a : b + 1])
        if end is not None:
            legs[-1] = replace(legs[-1], length_in=end + lap_in / 2)
        if start is not None:
            legs[0] = replace(legs[0], length_in=legs[0].length_in - start + lap_in / 2)
        name = f"{profile.id} {ascii_uppercase[number]}"
        parts.append(Profile(name, tuple(legs), profile.bends[a:b]))
    return tuple(parts)


def _setback(profile: Profile, leg: int, metal: Metal) -> float:
    """From the measured beginning of a leg to where its flat begins. [in]"""
    if leg == 0:
        return 0.0
    return setback_of(profile.legs[leg].measure, profile.bends[leg - 1], metal=metal)
