"""Whether a piece can come from a coil and a brake, and the split that makes it do so."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.metal.bending import bend_allowance_in
from weatherlap.metal.brake import Brake
from weatherlap.metal.edges import parted
from weatherlap.metal.girth import girth_in
from weatherlap.metal.model import Metal, Profile, checked
from weatherlap.units import tape

LAP_IN = 1.0


@dataclass(frozen=True, slots=True)
class Fit:
    """What keeps a piece from coil and brake, in words; nothing where it fits.

    ``too_wide`` and ``too_long`` hold what is wrong and the split that mends it; ``profiles`` the
    profiles to bend (two where the girth is too wide), ``lengths_in`` the pieces along the run.
    """

    girth_in: float
    too_wide: str
    too_long: str
    profiles: tuple[Profile, ...]
    lengths_in: tuple[float, ...]


def fit(
    profile: Profile,
    *,
    metal: Metal,
    length_in: float,
    coil_width_in: float,
    brake: Brake,
    lap_in: float = LAP_IN,
) -> Fit:
    """How a run of a profile comes out of a coil and over a brake.

    Raises
    ------
    InputError
        If a size cannot be, or no leg is wide enough for the girth to be split on it.

    Sources
    -------
    M-007 : a lap of 1 in is enough for movement of trim coil.
    """
    checked("length", length_in, least=1 / 16, most=100_000.0)
    checked("coil width", coil_width_in, least=1.0, most=120.0)
    girth = girth_in(profile, metal=metal)
    profiles: tuple[Profile, ...] = (profile,)
    wide = ""
    if girth > coil_width_in + 1e-9:
        profiles, leg = _two_profiles(profile, metal, coil_width_in, lap_in)
        wide = (
            f"The girth is {tape(girth)}, the coil {tape(coil_width_in)}: make two pieces that "
            f"lap {tape(lap_in)} on leg {leg + 1}."
        )
    lengths = split_run(length_in, longest_in=brake.length_in, lap_in=lap_in)
    long = ""
    if len(lengths) > 1:
        long = (
            f"The piece is {tape(length_in)}, the brake {tape(brake.length_in)}: make "
            f"{len(lengths)} of {tape(lengths[0])}, lapped {tape(lap_in)}."
        )
    return Fit(girth, wide, long, profiles, lengths)


def check_fit(
    profile: Profile, *, metal: Metal, length_in: float, coil_width_in: float, brake: Brake
) -> None:
    """Nothing if a piece comes out of the coil and over the brake as it is.

    Raises
    ------
    InputError
        If it is too wide or too long; says the split.
    """
    found = fit(profile, metal=metal, length_in=length_in, coil_width_in=coil_width_in, brake=brake)
    where = f"profile {profile.id}"
    if found.too_wide:
        what = f"a girth of {tape(found.girth_in)}"
        raise InputError(where, what, f"at most the coil's {tape(coil_width_in)}", found.too_wide)
    if found.too_long:
        what = f"a piece of {tape(length_in)}"
        raise InputError(
            where, what, f"at most the brake's {tape(brake.length_in)}", found.too_long
        )


def split_run(length_in: float, *, longest_in: float, lap_in: float) -> tuple[float, ...]:
    """Equal pieces, as few as can be, that make a run with laps between them. [in]

    Raises
    ------
    InputError
        If a lap takes up the whole of the longest piece.
    """
    if length_in <= longest_in + 1e-9:
        return (length_in,)
    if not 0 <= lap_in < longest_in:
        raise InputError(
            "lap", f'{lap_in:g}"', f'0" to less than the longest piece, {longest_in:g}"'
        )
    count = math.ceil((length_in - lap_in) / (longest_in - lap_in) - 1e-9)
    return ((length_in + (count - 1) * lap_in) / count,) * count


def _two_profiles(
    profile: Profile, metal: Metal, coil_width_in: float, lap_in: float
) -> tuple[tuple[Profile, Profile], int]:
    """The split whose wider half is narrowest, and the leg it lies on."""
    best: tuple[float, int] | None = None
    for leg, part in enumerate(profile.legs):
        if part.length_in <= lap_in + 2 * bend_allowance_in(
            90, radius_in=metal.radius_in, thickness_in=metal.thickness_in, k_factor=1.0
        ):
            continue
        halves = parted(profile, leg=leg, lap_in=lap_in)
        widest = max(girth_in(half, metal=metal) for half in halves)
        if best is None or widest < best[0]:
            best = (widest, leg)
    if best is None or best[0] > coil_width_in:
        found = f"a girth of {tape(girth_in(profile, metal=metal))}"
        want = f"at most the coil's {tape(coil_width_in)}, or half of it on either side of a lap"
        raise InputError(
            f"profile {profile.id}", found, want, "Make three pieces or take a wider coil."
        )
    return parted(profile, leg=best[1], lap_in=lap_in), best[1]
