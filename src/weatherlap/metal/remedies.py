"""What to change when no bend order exists: each remedy is offered only after its own search."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from weatherlap.errors import InputError
from weatherlap.metal.brake import Brake
from weatherlap.metal.edges import opened_hems, parted
from weatherlap.metal.model import Metal, Profile
from weatherlap.metal.orders import BendPlan, bend_order
from weatherlap.metal.partopen import PartOpen, part_open

LAP_IN = 1.0
OPEN_GAP_THICKNESSES = 2.0
TONGS_REACH_IN = 3.0


class Remedy(StrEnum):
    """Kinds of change."""

    TWO_PIECES = "two pieces"
    OPEN_HEM = "open hem"
    BY_HAND = "by hand"
    WIDER_FLANGE = "wider flange"
    PART_OPEN = "part-open"
    CLOSED_BY_HAND = "closed by hand"


@dataclass(frozen=True, slots=True)
class Change:
    """A change after which the brake can make it, with the plans that prove it."""

    remedy: Remedy
    text: str
    profiles: tuple[Profile, ...]
    plans: tuple[BendPlan, ...]


@dataclass(frozen=True, slots=True)
class Ways:
    """Changes that let a profile be made, and the angles at which bends were left open. [deg]"""

    changes: tuple[Change, ...]
    parts_deg: tuple[float, ...]


def remedies(profile: Profile, *, metal: Metal, brake: Brake) -> Ways:
    """Changes that let a blocked profile be made; the least change of each kind.

    Sources
    -------
    M-012 : two pieces or a hand seam where a narrow U cannot be closed on the brake.
    """
    parts = part_open(profile, metal=metal, brake=brake)
    found = (
        _wider_flanges(profile, metal, brake),
        _open_hem(profile, metal, brake),
        _part_open(profile, metal, brake, parts),
        _closed_by_hand(profile, metal, brake, parts),
        _by_hand(profile, metal, brake),
        _two_pieces(profile, metal, brake),
    )
    return Ways(tuple(change for change in found if change is not None), parts.angles_deg)


def _plan(profile: Profile, metal: Metal, brake: Brake, *by_hand: int) -> BendPlan | None:
    """The plan of a profile, or None if it cannot be made or cannot exist."""
    try:
        plan = bend_order(profile, metal=metal, brake=brake, by_hand=frozenset(by_hand))
    except InputError:
        return None
    return plan if plan.possible else None


def _wider_flanges(profile: Profile, metal: Metal, brake: Brake) -> Change | None:
    """Every edge leg that is too narrow made as wide as the leaf needs, else as the bar does."""
    for least in sorted({brake.least_flange_in, brake.least_clamp_in}):
        change = _widened(profile, metal, brake, least + metal.thickness_in)
        if change is not None:
            return change
    return None


def _widened(profile: Profile, metal: Metal, brake: Brake, least: float) -> Change | None:
    """Edge legs under a width brought to it, if the brake can then make the profile."""
    legs = list(profile.legs)
    grown = [n for n in (0, len(legs) - 1) if legs[n].length_in < least]
    for n in grown:
        legs[n] = replace(legs[n], length_in=least)
    wider = replace(profile, legs=tuple(legs))
    plan = _plan(wider, metal, brake) if grown else None
    if plan is None:
        return None
    named = " and ".join(f"leg {n + 1}" for n in grown)
    text = f'Make {named} {least:.2f}" wide, so that the brake can hold and fold it.'
    return Change(Remedy.WIDER_FLANGE, text, (wider,), (plan,))


def _open_hem(profile: Profile, metal: Metal, brake: Brake) -> Change | None:
    """Hems left open, closed to their gap with hand tongs instead of under the bar."""
    gap = OPEN_GAP_THICKNESSES * metal.thickness_in
    opened = opened_hems(profile, gap_in=gap)
    plan = _plan(opened, metal, brake) if opened != profile else None
    if plan is None:
        return None
    text = f'Leave the hem open by {gap:.3f}" and close it with hand tongs.'
    return Change(Remedy.OPEN_HEM, text, (opened,), (plan,))


def _part_open(
    profile: Profile, metal: Metal, brake: Brake, parts: PartOpen
) -> Change | None:  # fmt: skip
    """One bend left open on the brake and closed on it later; the more open the plainer to see."""
    if not parts.on_brake:
        return None
    part = min(parts.on_brake, key=lambda p: (p.angle_deg, p.bend))
    plan = bend_order(profile, metal=metal, brake=brake, part=part)
    text = (
        f"Bend {part.bend} first to {part.angle_deg:g} degrees only, and close it on the brake "
        "when the order says so."
    )
    return Change(Remedy.PART_OPEN, text, (profile,), (plan,))


def _closed_by_hand(
    profile: Profile, metal: Metal, brake: Brake, parts: PartOpen
) -> Change | None:  # fmt: skip
    """One bend as far as the brake takes it, the least rest closed by hand."""
    if not parts.by_hand:
        return None
    reach = dict(_reaches(profile))
    full = {n: bend.angle_deg for n, bend in enumerate(profile.bends, 1)}
    part = min(parts.by_hand, key=lambda p: (full[p.bend] - p.angle_deg, reach[p.bend], p.bend))
    plan = bend_order(profile, metal=metal, brake=brake, part=part)
    text = (
        f"Make bend {part.bend} on the brake to {part.angle_deg:g} degrees, and close it to "
        f"{full[part.bend]:.4g} at the end, by hand {_how(reach[part.bend])}."
    )
    return Change(Remedy.CLOSED_BY_HAND, text, (profile,), (plan,))


def _by_hand(profile: Profile, metal: Metal, brake: Brake) -> Change | None:
    """One bend left to hand tongs: the one nearest an edge that sets the others free."""
    for bend, reach in sorted(_reaches(profile), key=lambda pair: pair[1]):
        plan = _plan(profile, metal, brake, bend)
        if plan is not None:
            text = f'Make bend {bend} last, by hand {_how(reach)}: {reach:.2f}" to the edge.'
            return Change(Remedy.BY_HAND, text, (profile,), (plan,))
    return None


def _how(reach_in: float) -> str:
    return "with hand tongs" if reach_in <= TONGS_REACH_IN else "over a straight plank"


def _reaches(profile: Profile) -> Iterator[tuple[int, float]]:
    """Each bend (from 1) with the metal between it and the nearer edge."""
    lengths = [leg.length_in for leg in profile.legs]
    for bend in range(1, len(lengths)):
        yield bend, min(sum(lengths[:bend]), sum(lengths[bend:]))


def _two_pieces(profile: Profile, metal: Metal, brake: Brake) -> Change | None:
    """Two pieces lapped on a leg: of the splits that can be made, the one with least handling."""
    best: Change | None = None
    for leg in range(1, len(profile.legs) - 1):
        lap = min(LAP_IN, profile.legs[leg].length_in)
        halves = parted(profile, leg=leg, lap_in=lap)
        plans = tuple(_plan(half, metal, brake) for half in halves)
        if any(plan is None for plan in plans):
            continue
        made = tuple(plan for plan in plans if plan is not None)
        if best is None or sum(p.handling for p in made) < sum(p.handling for p in best.plans):
            text = f'Make two pieces that lap {lap:g}" on leg {leg + 1}.'
            best = Change(Remedy.TWO_PIECES, text, halves, made)
    return best
