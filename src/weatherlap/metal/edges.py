"""What is added to a profile's edges: hems, kicks, drips, returns; and air over the wood."""

from __future__ import annotations

from dataclasses import dataclass, replace

from weatherlap.errors import InputError
from weatherlap.metal.model import Bend, End, Leg, Measure, Profile, Toward

LEAST_HEM_THICKNESSES = 10.0


@dataclass(frozen=True, slots=True)
class Hem:
    """An edge folded back on itself. [in]

    ``gap_in`` of 0 is a closed hem; an open one leaves that gap, to receive another edge.
    """

    width_in: float
    toward: Toward
    gap_in: float = 0.0


def hemmed(profile: Profile, *, end: End, hem: Hem) -> Profile:
    """The profile with a hem beyond one of its edges; the edge leg keeps its length."""
    if hem.gap_in < 0:
        raise InputError("hem", f'a gap of {hem.gap_in:g}"', "0 (closed) or more (open)")
    leg = Leg(hem.width_in, Measure.OUTSIDE, "hem")
    return _beyond(profile, end, leg, Bend(180.0, hem.toward, hem.gap_in / 2))


def kicked(
    profile: Profile, *, end: End, length_in: float, toward: Toward, angle_deg: float = 45.0
) -> Profile:
    """The profile with a short edge leg turned out, to throw water clear of what is below."""
    return _beyond(profile, end, Leg(length_in, name="kick"), Bend(angle_deg, toward))


def returned(
    profile: Profile, *, end: End, length_in: float, toward: Toward, angle_deg: float = 90.0
) -> Profile:
    """The profile with an edge leg turned back, such as the leg hidden behind a channel."""
    return _beyond(profile, end, Leg(length_in, name="return"), Bend(angle_deg, toward))


def with_drip(
    profile: Profile, *, end: End, drop_in: float, toward: Toward, kick_in: float, hem: Hem
) -> Profile:
    """The profile with a drip: a leg down, kicked out 45 degrees the other way, hemmed.

    ``toward`` is the face that the leg down closes over.
    """
    away = Toward.FINISH if toward is Toward.BACK else Toward.BACK
    down = _beyond(profile, end, Leg(drop_in, name="drop"), Bend(90.0, toward))
    return hemmed(kicked(down, end=end, length_in=kick_in, toward=away), end=end, hem=hem)


def _beyond(profile: Profile, end: End, leg: Leg, bend: Bend) -> Profile:
    if end is End.START:
        return replace(profile, legs=(leg, *profile.legs), bends=(bend, *profile.bends))
    return replace(profile, legs=(*profile.legs, leg), bends=(*profile.bends, bend))


def hung_over(profile: Profile, *, clearance_in: float = 1 / 16) -> Profile:
    """The profile with air for the wood: a wrap hangs over a beam, it is not skin-tight.

    Each leg between two square bends that both close over the back (it spans a piece of wood)
    grows by the clearance.

    Sources
    -------
    M-007 : float the cover. M-015 : 1/16 in per pair of faces.
    """
    if clearance_in < 0:
        raise InputError("clearance", f'{clearance_in:g}"', '0" or more')
    legs = list(profile.legs)
    for number in range(1, len(legs) - 1):
        pair = profile.bends[number - 1 : number + 1]
        if all(b.toward is Toward.BACK and 60 <= b.angle_deg <= 120 for b in pair):
            leg = legs[number]
            legs[number] = replace(leg, length_in=leg.length_in + clearance_in)
    return replace(profile, legs=tuple(legs))


def opened_hems(profile: Profile, *, gap_in: float) -> Profile:
    """The profile with every closed hem left open by a gap."""
    bends = tuple(
        replace(b, radius_in=gap_in / 2) if b.is_hem and not b.radius_in else b
        for b in profile.bends
    )
    return replace(profile, bends=bends)


def parted(profile: Profile, *, leg: int, lap_in: float) -> tuple[Profile, Profile]:
    """Two profiles that make the one, lapped by ``lap_in`` on a leg (counted from 0).

    The lap lies in the middle of the leg; both halves keep the bends on their side.
    """
    whole = profile.legs[leg]
    half = (whole.length_in + lap_in) / 2
    if not 0 < lap_in <= whole.length_in:
        found = f'a lap of {lap_in:g}" on a leg of {whole.length_in:g}"'
        raise InputError(f"profile {profile.id}", found, "a lap no longer than the leg")
    part = replace(whole, length_in=half)
    first = Profile(f"{profile.id} A", (*profile.legs[:leg], part), profile.bends[:leg])
    second = Profile(f"{profile.id} B", (part, *profile.legs[leg + 1 :]), profile.bends[leg:])
    return first, second
