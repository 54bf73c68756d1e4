"""Opened up and drying: how many days until it may be closed in."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.drying.air import Array, saturation_pressure_pa
from weatherlap.drying.climate import Climate, from_hour
from weatherlap.drying.march import march
from weatherlap.drying.materials import Kind, Properties, material
from weatherlap.drying.model import (
    HEATER_CAUTION,
    Aid,
    Caution,
    Inside,
    Layer,
    Wall,
    check_wall,
)
from weatherlap.drying.sides import open_airs
from weatherlap.drying.stack import stack_of, start_of
from weatherlap.drying.wood import CLOSE_IN_PCT, DRY_PCT, equilibrium_pct
from weatherlap.errors import InputError

USUAL_HEATER_RISE_K = 8.0
MOST_DAYS = 120


@dataclass(frozen=True, slots=True)
class OpenMember:
    """A piece of wood that has been laid bare.

    ``start_pct`` is the corrected meter reading, taken to hold all through; ``both_faces_open``
    is False where one face still lies against something tight.
    """

    name: str
    material: str
    thickness_m: float
    start_pct: float
    both_faces_open: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class DryingTime:
    """Days until a bare piece of wood is dry enough.

    ``days_to_close_in`` is to 19 %, ``days_to_dry`` to 16 %, None if not reached in the days
    looked at; ``mean_pct`` is the moisture content hour by hour; ``air_holds_pct`` is what wood
    would come to in the mean of this air.
    """

    sentence: str
    member: OpenMember
    aid: Aid
    days_to_close_in: float | None
    days_to_dry: float | None
    air_holds_pct: float
    mean_pct: Array
    cautions: tuple[Caution, ...]
    source_keys: tuple[str, ...]


def days_to_dry(
    member: OpenMember,
    *,
    climate: Climate,
    first_hour: int = 0,
    aid: Aid = Aid.NONE,
    heater_rise_k: float = USUAL_HEATER_RISE_K,
    most_days: int = MOST_DAYS,
    chosen: Properties | None = None,
) -> DryingTime:
    """Days a bare piece of wood needs to 19 % and to 16 %, sheltered from sun and rain.

    Parameters
    ----------
    member : OpenMember
        What wood, how thick, how wet.
    climate : Climate
        Weather of a year.
    first_hour : int
        Hour of the year at which it was opened. [h]
    aid : Aid
        Fan or heater.
    heater_rise_k : float
        How much a heater warms the air. [K]
    most_days : int
        How far to look. [d]
    chosen : Properties, optional
        Properties other than the middle ones.

    Returns
    -------
    DryingTime
        Days, and the course hour by hour.

    Raises
    ------
    InputError
        If it is not wood, or a number is impossible.

    Limits
    ------
    Across the grain only; ends dry faster. The reading is taken to hold through the whole piece.

    Sources
    -------
    D-001, D-004, D-012, D-036.
    """
    if material(member.material).kind is not Kind.WOOD:
        raise InputError(member.name, f"{member.material} is not wood", "a material of wood")
    if not 1 <= most_days <= 3650:
        raise InputError(member.name, f"{most_days} days to look at", "1 to 3650 days")
    weather = from_hour(climate, first_hour=first_hour, hours=24 * most_days)
    layer = Layer(member.name, member.material, member.thickness_m, start_pct=member.start_pct)
    wall = Wall(member.name, (layer,), inside=Inside.OUTDOORS)
    check_wall(wall, hours=weather.hours)
    airs = open_airs(
        weather, aid=aid, heater_rise_k=heater_rise_k, both_open=member.both_faces_open
    )
    stack = stack_of(wall, choice={member.name: chosen} if chosen else None)
    course = march(stack.cells, airs=airs, start=start_of(stack, airs=airs))
    density = stack.choice[member.name].density_kg_m3
    mean = 100.0 * course.zone_water_kg_m3[:, 0] / density
    close_in = _days_until(mean, CLOSE_IN_PCT, start_pct=member.start_pct)
    dry = _days_until(mean, DRY_PCT, start_pct=member.start_pct)
    holds = _air_holds(airs.outside_c, airs.outside_pa)
    sentence = _sentence(member, aid, close_in, dry, holds, most_days)
    keys = ("D-001", "D-004", "D-012", "D-036", *material(member.material).source_keys)
    heated = aid in (Aid.HEATER, Aid.FAN_AND_HEATER)
    return DryingTime(
        sentence=sentence,
        member=member,
        aid=aid,
        days_to_close_in=close_in,
        days_to_dry=dry,
        air_holds_pct=holds,
        mean_pct=mean,
        cautions=(HEATER_CAUTION,) if heated else (),
        source_keys=tuple(dict.fromkeys(keys)),
    )


def _days_until(mean_pct: Array, target_pct: float, *, start_pct: float) -> float | None:
    """Days until the mean is first at or under a target, between hours by a straight line."""
    course = np.concatenate(([start_pct], mean_pct))
    under = np.flatnonzero(course <= target_pct)
    if under.size == 0:
        return None
    at = int(under[0])
    if at == 0:
        return 0.0
    before, after = float(course[at - 1]), float(course[at])
    return (at - 1 + (before - target_pct) / (before - after)) / 24.0


def _air_holds(celsius: Array, pascal: Array) -> float:
    """Moisture content wood comes to in the mean of an air. [%]"""
    humidity = 100.0 * np.minimum(pascal / saturation_pressure_pa(celsius), 1.0)
    return float(np.mean(equilibrium_pct(humidity, temperature_c=celsius)))


def _sentence(
    member: OpenMember, aid: Aid, close_in: float | None, dry: float | None, holds: float,
    most_days: int,
) -> str:  # fmt: skip
    """The answer in words."""
    helped = "" if aid is Aid.NONE else f" with {aid}"
    begin = f"{member.name} at {member.start_pct:g} %, open{helped}:"
    if close_in is None:
        why = f"this air keeps wood at about {holds:.0f} %"
        return f"{begin} not down to {CLOSE_IN_PCT:g} % within {most_days} days; {why}."
    first = f"{_days(close_in)} to {CLOSE_IN_PCT:g} %"
    if dry is None:
        return f"{begin} {first}, not down to {DRY_PCT:g} % within {most_days} days."
    return f"{begin} {first}, {_days(dry)} to {DRY_PCT:g} %."


def _days(days: float) -> str:
    """Days as a person says them."""
    if days <= 0.0:
        return "already down"
    if days < 1.0:
        return "less than a day"
    whole = round(days)
    return f"about {whole} day{'s' if whole != 1 else ''}"
