"""Wording: a finding as a carpenter would say it to a client."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.building.corner import Corner
from weatherlap.units import gallons
from weatherlap.water.hops import Cause, Crossing


def finding_text(
    corner: Corner,
    alike: Sequence[Crossing],
    *,
    wets: Sequence[int],
    per_year_l: float,
    first: bool,
) -> str:
    """What happens at a crossing, how much water it is, and what it wets. [L a year]"""
    upper = _names(corner, [c.upper for c in alike])
    lower = _names(corner, [c.lower for c in alike])
    face = corner.faces[alike[0].face].title
    what = _HAPPENS[alike[0].cause](upper, lower, face)
    whose = "Rain that lands outside" if first else "Water that gets past the outside"
    return f"{what} {whose}: {amount(per_year_l)} a usual year. {_wetting(corner, wets)}"


LEAST_GAL = 0.1


def amount(litres: float) -> str:
    """Litres a year in a sentence: ``about 24 gal (91 L)``. [L]"""
    words = water_words(litres)
    return words if gallons(litres) < LEAST_GAL else f"about {words}"


def water_words(litres: float) -> str:
    """Litres as a person would say them, gallons first: ``24 gal (91 L)``. [L]"""
    if gallons(litres) < LEAST_GAL:
        return f"less than {LEAST_GAL:g} gal ({max(litres, LEAST_GAL):.1f} L)"
    return f"{_figure(gallons(litres))} gal ({_figure(litres)} L)"


def _figure(value: float) -> str:
    return f"{value:.1f}" if value < 10 else f"{value:,.0f}"


def _names(corner: Corner, numbers: Sequence[int | None]) -> str:
    """The names of pieces of one kind: one, two, or the first of many."""
    found = [corner.pieces[p].title for p in dict.fromkeys(numbers) if p is not None]
    if not found:
        return ""
    if len(found) <= 2:
        return " and ".join(f"the {name}" for name in found)
    return f"the {found[0]} (and {len(found) - 1} more like it)"


def _wrong_way(upper: str, lower: str, face: str) -> str:
    return (
        f"On the {face}, {upper} ends behind {lower}. Water on {upper} runs in behind "
        f"{lower} instead of over it: that lap is laid the wrong way round."
    )


def _too_short(upper: str, lower: str, face: str) -> str:
    return (
        f"On the {face}, {upper} stops short and does not lap over {lower}, "
        f"so its water runs in between the two."
    )


def _missing(upper: str, lower: str, face: str) -> str:
    if not upper:
        bare = f"{lower} lies bare" if lower else "nothing covers a part of it"
        return f"On the {face}, {bare}: rain lands straight on it."
    onto = f"onto {lower}" if lower else "into the cavity"
    return f"On the {face}, nothing takes over the water below {upper}; it goes {onto}."


def _sealed(upper: str, lower: str, face: str) -> str:
    return (
        f"On the {face}, the lower edge of {lower} is sealed shut. Water behind it, on {upper}, "
        f"cannot get out and stays there."
    )


def _no_drip(upper: str, lower: str, face: str) -> str:
    onto = "the underside" if lower in ("", upper) else lower
    return (
        f"At the foot of the {face}, {upper} has no free drip edge. Water clings on and runs "
        f"back along {onto}."
    )


def _dammed(upper: str, lower: str, face: str) -> str:
    del lower
    return f"On the {face}, {upper} catches water and cannot let it out: its end is dammed."


def _overfull(upper: str, lower: str, face: str) -> str:
    del lower
    return (
        f"At the {face}, {upper} gets more water in the design rain than it can carry "
        f"and spills over."
    )


def _level(upper: str, lower: str, face: str) -> str:
    del lower
    return f"On the {face}, {upper} has no fall: water stands on it."


_HAPPENS = {
    Cause.WRONG_WAY: _wrong_way,
    Cause.TOO_SHORT: _too_short,
    Cause.MISSING: _missing,
    Cause.SEALED: _sealed,
    Cause.NO_DRIP: _no_drip,
    Cause.DAMMED: _dammed,
    Cause.OVERFULL: _overfull,
    Cause.LEVEL: _level,
}


def _wetting(corner: Corner, wets: Sequence[int]) -> str:
    names = [corner.pieces[w].title for w in wets]
    if not names:
        return "It soaks nothing that is drawn here, but it does not get out either."
    if len(names) > 6:
        names = [*names[:5], f"{len(names) - 5} more"]
    listed = names[0] if len(names) == 1 else ", ".join(names[:-1]) + " and " + names[-1]
    return f"It soaks: {listed}."
