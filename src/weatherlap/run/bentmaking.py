"""How a bent piece is made: whole, or changed and split as coil and brake ask for."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from weatherlap.metal.brake import Brake
from weatherlap.metal.fits import LAP_IN, Fit, fit
from weatherlap.metal.flat import FlatPattern
from weatherlap.metal.girth import Strip, lay_flat
from weatherlap.metal.model import Metal, Profile
from weatherlap.metal.orders import BendPlan, bend_order
from weatherlap.metal.parts import across_girth, along_run, middle_of_leg, runs_of
from weatherlap.metal.remedies import Change, remedies

Runs = tuple[tuple[float, float], ...]
PatternOf = Callable[[Profile], FlatPattern]


@dataclass(frozen=True, slots=True)
class Cut:
    """One profile that goes over the brake, with a flat pattern for each length of it."""

    profile: Profile
    strip: Strip
    plan: BendPlan
    patterns: tuple[FlatPattern, ...]


@dataclass(frozen=True, slots=True)
class Making:
    """The way to make a piece.

    ``wanted`` is the profile as asked for, ``plan`` its bend order or the proof of none (None
    where it is too wide for the coil and was not looked for); ``changes`` let the brake make it,
    the first of them is what ``cuts`` hold. ``runs`` are where each length begins and ends [in],
    ``parts_deg`` the angles at which single bends were left open in the search for changes.
    """

    wanted: Profile
    strip: Strip
    fit: Fit
    runs: Runs
    plan: BendPlan | None
    changes: tuple[Change, ...]
    cuts: tuple[Cut, ...]
    parts_deg: tuple[float, ...] = ()

    @property
    def possible(self) -> bool:
        """Whether everything that is bent has a bend order."""
        return bool(self.cuts) and all(cut.plan.possible for cut in self.cuts)


def making(
    profile: Profile,
    *,
    pattern_of: PatternOf,
    metal: Metal,
    brake: Brake,
    coil_width_in: float,
    length_in: float,
    by_hand: frozenset[int] = frozenset(),
    runs: Runs = (),
) -> Making:
    """How a profile is made of a coil on a brake.

    Parameters
    ----------
    pattern_of : callable
        The flat pattern of a profile like this one, over its whole length.
    by_hand : frozenset of int
        Bends, from 1, that are left for hand tongs.
    runs : sequence of (from, to)
        Where each length begins and ends; else as few as the brake can take. [in]

    Raises
    ------
    InputError
        If the profile cannot exist, or no split lets it come out of the coil.
    """
    strip = lay_flat(profile, metal=metal)
    pattern = pattern_of(profile)
    fits = fit(profile, metal=metal, length_in=length_in, coil_width_in=coil_width_in, brake=brake)
    runs = runs or runs_of(fits.lengths_in, length_in=length_in)

    def cut(one: Profile, plan: BendPlan, whole: FlatPattern) -> Cut:
        patterns = along_run(whole, runs, length_in=length_in)
        return Cut(one, lay_flat(one, metal=metal), plan, patterns)

    def strips(
        ones: tuple[Profile, ...], plans: tuple[BendPlan, ...], at: Sequence[float], lap: float
    ) -> tuple[Cut, ...]:
        wholes = across_girth(pattern, at, lap_in=lap)
        return tuple(cut(*row) for row in zip(ones, plans, wholes, strict=True))

    if len(fits.profiles) > 1:
        plans = tuple(bend_order(half, metal=metal, brake=brake) for half in fits.profiles)
        cuts = strips(fits.profiles, plans, fits.middles_in, LAP_IN)
        return Making(profile, strip, fits, runs, None, (), cuts)
    plan = bend_order(profile, metal=metal, brake=brake, by_hand=by_hand)
    if plan.possible:
        return Making(profile, strip, fits, runs, plan, (), (cut(profile, plan, pattern),))
    ways = remedies(profile, metal=metal, brake=brake)
    cuts = ()
    if ways.changes:
        first = ways.changes[0]
        if len(first.profiles) > 1:
            leg = len(first.profiles[0].legs) - 1
            lap = 2 * first.profiles[0].legs[-1].length_in - profile.legs[leg].length_in
            cuts = strips(first.profiles, first.plans, (middle_of_leg(strip, leg),), lap)
        else:
            (changed,) = first.profiles
            cuts = (cut(changed, first.plans[0], pattern_of(changed)),)
    return Making(profile, strip, fits, runs, plan, ways.changes, cuts, ways.parts_deg)
