"""Whether a piece can come from a coil and a brake, and the split that makes it do so."""

from __future__ import annotations

import math
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.metal.brake import Brake
from weatherlap.metal.girth import girth_in
from weatherlap.metal.model import Metal, Profile, checked
from weatherlap.metal.widths import strips_of
from weatherlap.units import tape

LAP_IN = 1.0


@dataclass(frozen=True, slots=True)
class Fit:
    """What keeps a piece from coil and brake, in words; nothing where it fits.

    ``too_wide`` and ``too_long`` hold what is wrong and the split that mends it; ``profiles`` the
    profiles to bend (several where the girth is too wide), ``middles_in`` where on the flat strip
    the middle of each lap between them is, ``lengths_in`` the pieces along the run.
    """

    girth_in: float
    too_wide: str
    too_long: str
    profiles: tuple[Profile, ...]
    lengths_in: tuple[float, ...]
    middles_in: tuple[float, ...] = ()


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
        If a size cannot be, or no legs are wide enough for the girth to be split on them.

    Sources
    -------
    M-007 : a lap of 1 in is enough for movement of trim coil.
    """
    checked("length", length_in, least=1 / 16, most=100_000.0)
    checked("coil width", coil_width_in, least=1.0, most=120.0)
    girth = girth_in(profile, metal=metal)
    profiles: tuple[Profile, ...] = (profile,)
    wide = ""
    middles: tuple[float, ...] = ()
    if girth > coil_width_in + 1e-9:
        strips = strips_of(profile, metal=metal, coil_width_in=coil_width_in, lap_in=lap_in)
        profiles, middles = strips.profiles, strips.middles_in
        legs = ", ".join(f"leg {leg + 1}" for leg in dict.fromkeys(strips.legs))
        wide = (
            f"The girth is {tape(girth)}, the coil {tape(coil_width_in)}: make "
            f"{len(profiles)} pieces that lap {tape(lap_in)} on {legs}."
        )
    lengths = split_run(length_in, longest_in=brake.length_in, lap_in=lap_in)
    long = ""
    if len(lengths) > 1:
        long = (
            f"The piece is {tape(length_in)}, the brake {tape(brake.length_in)}: make "
            f"{len(lengths)} of {tape(lengths[0])}, lapped {tape(lap_in)}."
        )
    return Fit(girth, wide, long, profiles, lengths, middles)


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
