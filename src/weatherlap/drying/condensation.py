"""The monthly method for condensation inside a wall, as the standard has it.

Steady vapour flow month by month; where the vapour line would pass saturation it is drawn tight
against it, and what does not get through is counted at the interfaces it touches. It knows no
storage, no liquid flow, no leakage: a quick check beside the hourly march, not in its place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

import numpy as np

from weatherlap.drying.air import (
    STILL_AIR_PERMEABILITY,
    Array,
    permeability_from_perm,
    saturation_pressure_pa,
)
from weatherlap.drying.materials import Kind, middle_properties
from weatherlap.drying.model import Wall
from weatherlap.drying.stack import CAVITY_RESISTANCE
from weatherlap.errors import InputError

INSIDE_M2K_W, OUTSIDE_M2K_W = 0.13, 0.04
THICKEST_M2K_W = 0.25
SECONDS_A_DAY = 86400.0
MONTH_DAYS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
NOTHING_KG_M2 = 1e-9
TOUCHES = 1e-9
MOST_PARTS = 200


class Outcome(StrEnum):
    """What becomes of condensate over the year."""

    NONE = "no condensation"
    DRIES = "all of it dries in summer"
    STAYS = "some of it stays"


@dataclass(frozen=True, slots=True)
class Ply:
    """One layer: thickness, heat conductivity, vapour resistance factor."""

    name: str
    thickness_m: float
    conducts_w_m_k: float
    resistance_factor: float


@dataclass(frozen=True, slots=True)
class Month:
    """Both sides in one month."""

    outside_c: float
    outside_pa: float
    inside_c: float
    inside_pa: float
    days: float


@dataclass(frozen=True, slots=True)
class Interfaces:
    """A wall cut for the method, from outside to inside.

    ``air_layer_m`` is the thickness of air that resists vapour as much, counted from outside;
    ``m2k_w`` the heat resistance from the outer air, ``names`` which plies meet.
    """

    air_layer_m: tuple[float, ...]
    m2k_w: tuple[float, ...]
    total_m2k_w: float
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CondensationYear:
    """Condensate through the year.

    ``held_kg_m2`` has one row a month, in the order they were worked, one value an interface;
    ``first_month`` is the index of the month it began with.
    """

    sentence: str
    outcome: Outcome
    interfaces: Interfaces
    first_month: int
    held_kg_m2: tuple[tuple[float, ...], ...]
    most_kg_m2: float
    source_keys: tuple[str, ...]


def plies_of(wall: Wall) -> tuple[Ply, ...]:
    """The plies of a wall for the monthly method.

    Parameters
    ----------
    wall : Wall
        From outside to inside; what lies outside the innermost vented air layer is left out.

    Returns
    -------
    tuple of Ply
        Middle properties, vapour resistance between the dry and the wet cup.

    Raises
    ------
    InputError
        If a material is not in the table.

    Sources
    -------
    D-008, D-023 : a vented cavity counts as outdoors.
    """
    vented = [at for at, layer in enumerate(wall.layers) if layer.air_changes_per_h > 0.0]
    found = []
    for layer in wall.layers[vented[-1] + 1 if vented else 0 :]:
        chosen = middle_properties(layer.material)
        dry, wet = chosen.dry, chosen.wet
        if layer.permeance_perm is not None:
            dry, wet = (
                permeability_from_perm(p, thickness_m=layer.thickness_m)
                for p in layer.permeance_perm
            )
        conducts = chosen.conducts_w_m_k
        if chosen.material.kind is Kind.AIR:
            conducts = max(conducts, layer.thickness_m / CAVITY_RESISTANCE)
        factor = STILL_AIR_PERMEABILITY / float(np.sqrt(dry * wet))
        found.append(Ply(layer.id, layer.thickness_m, conducts, factor))
    return tuple(found)


def cut(plies: Sequence[Ply]) -> Interfaces:
    """A wall cut into plies of at most 0.25 m2K/W.

    Parameters
    ----------
    plies : sequence of Ply
        From outside to inside.

    Returns
    -------
    Interfaces
        Outer face, every interface, inner face.

    Raises
    ------
    InputError
        If there is no ply, or a value is not above zero.

    Sources
    -------
    D-008 : steps 1 and 2 of the method.
    """
    if not plies:
        raise InputError("condensation", "no layer", "at least one layer, from outside to inside")
    air, heat, names = [0.0], [OUTSIDE_M2K_W], ["outer face"]
    for ply in plies:
        if not min(ply.thickness_m, ply.conducts_w_m_k, ply.resistance_factor) > 0.0:
            where = f"layer {ply.name}"
            raise InputError(where, "a value not above zero", "thickness, conductivity, factor > 0")
        resists = ply.thickness_m / ply.conducts_w_m_k
        parts = max(1, int(np.ceil(resists / THICKEST_M2K_W - 1e-9)))
        for part in range(1, parts + 1):
            air.append(air[-1] + ply.thickness_m * ply.resistance_factor / parts)
            heat.append(heat[-1] + resists / parts)
            names.append(f"inner face of {ply.name}" if part == parts else f"in {ply.name}")
    return Interfaces(tuple(air), tuple(heat), heat[-1] + INSIDE_M2K_W, tuple(names))


def interface_c(interfaces: Interfaces, *, month: Month) -> Array:
    """Temperature at each interface.

    Parameters
    ----------
    interfaces : Interfaces
        The cut wall.
    month : Month
        Temperatures of both sides.

    Returns
    -------
    ndarray, shape (interfaces,)
        Temperature, straight in heat resistance. [C]

    Sources
    -------
    D-008 : step 3.
    """
    share = np.asarray(interfaces.m2k_w) / interfaces.total_m2k_w
    return np.asarray(month.outside_c + share * (month.inside_c - month.outside_c))


def tight_line(air_layer_m: Array, *, ends_pa: tuple[float, float], most_pa: Array) -> Array:
    """Vapour pressure at each interface: the tightest line under saturation.

    Parameters
    ----------
    air_layer_m : ndarray, shape (n,)
        Vapour resistance from one end, as a thickness of air. [m]
    ends_pa : tuple of float
        Pressure at both ends. [Pa]
    most_pa : ndarray, shape (n,)
        Saturation; where it bounds, the line touches it. [Pa]

    Returns
    -------
    ndarray, shape (n,)
        Pressure; concave nowhere but where it touches. [Pa]

    Sources
    -------
    D-008 : step 4, the lower convex hull.
    """
    x = np.asarray(air_layer_m, dtype=float)
    y = np.asarray(most_pa, dtype=float).copy()
    y[0], y[-1] = min(ends_pa[0], y[0]), min(ends_pa[1], y[-1])
    hull = [0]
    for at in range(1, x.size):
        while len(hull) > 1:
            a, b = hull[-2], hull[-1]
            if (y[b] - y[a]) * (x[at] - x[a]) < (y[at] - y[a]) * (x[b] - x[a]):
                break
            hull.pop()
        hull.append(at)
    return np.asarray(np.interp(x, x[hull], y[hull]))


def month_rates(
    interfaces: Interfaces, *, month: Month, wet: Sequence[bool]
) -> tuple[Array, Array]:
    """Condensate gained at each interface while some of them hold water.

    Parameters
    ----------
    interfaces : Interfaces
        The cut wall.
    month : Month
        Both sides.
    wet : sequence of bool
        Which interfaces hold water: the pressure there is saturation.

    Returns
    -------
    tuple of ndarray, shape (interfaces,)
        Gain, below zero where it dries [kg/(m2 s)]; vapour pressure [Pa].

    Sources
    -------
    D-008 : steps 5 and 6.
    """
    air = np.asarray(interfaces.air_layer_m)
    saturated = saturation_pressure_pa(interface_c(interfaces, month=month))
    pressure = np.empty(air.size)
    fixed = [0, *(at for at in range(1, air.size - 1) if wet[at]), air.size - 1]
    ends = saturated.copy()
    ends[0], ends[-1] = month.outside_pa, month.inside_pa
    for a, b in pairwise(fixed):
        part = slice(a, b + 1)
        pressure[part] = tight_line(
            air[part], ends_pa=(float(ends[a]), float(ends[b])), most_pa=saturated[part]
        )
    flow = STILL_AIR_PERMEABILITY * np.diff(pressure) / np.diff(air)
    gain = np.zeros(air.size)
    gain[1:-1] = flow[1:] - flow[:-1]
    straight = np.abs(gain) <= TOUCHES * (np.abs(flow).max() + 1e-30)
    gain[straight] = 0.0
    return gain, pressure


def condensation_year(plies: Sequence[Ply], *, months: Sequence[Month]) -> CondensationYear:
    """Condensate in a wall through twelve months.

    Parameters
    ----------
    plies : sequence of Ply
        From outside to inside.
    months : sequence of Month
        Twelve, January first.

    Returns
    -------
    CondensationYear
        From the first month that condenses, with what each interface holds month by month.

    Raises
    ------
    InputError
        If there are not twelve months, or a layer cannot be used.

    Sources
    -------
    D-008 : steps 5 to 7.
    """
    if len(months) != 12:
        raise InputError("condensation", f"{len(months)} months", "twelve, January first")
    interfaces = cut(plies)
    none = [False] * len(interfaces.names)
    gains = [month_rates(interfaces, month=m, wet=none)[0].max() > 0.0 for m in months]
    first = _first_month(gains)
    held, rows = np.zeros(len(interfaces.names)), []
    for k in range(12):
        held = _through_month(interfaces, months[(first + k) % 12], held)
        rows.append(tuple(float(h) for h in held))
    most = max(sum(row) for row in rows)
    outcome = Outcome.STAYS if sum(rows[-1]) > NOTHING_KG_M2 else Outcome.DRIES
    if most <= NOTHING_KG_M2:
        outcome = Outcome.NONE
    grams = f", at most {1000.0 * most:.0f} g/m2" if most > NOTHING_KG_M2 else ""
    sentence = f"By the monthly method: {outcome}{grams}."
    return CondensationYear(sentence, outcome, interfaces, first, tuple(rows), most, ("D-008",))


def _first_month(gains: Sequence[bool]) -> int:
    """The first month that condenses after one that does not."""
    for at in range(12):
        if gains[at] and not gains[at - 1]:
            return at
    return 0


def _through_month(interfaces: Interfaces, month: Month, held: Array) -> Array:
    """What the interfaces hold after a month, cut where one of them runs dry."""
    held, remains = held.copy(), month.days * SECONDS_A_DAY
    for _ in range(MOST_PARTS):
        wet = [bool(h > NOTHING_KG_M2) for h in held]
        gain, _ = month_rates(interfaces, month=month, wet=wet)
        gain = np.where((held <= NOTHING_KG_M2) & (gain < 0.0), 0.0, gain)
        drying = np.flatnonzero(gain < 0.0)
        spans = held[drying] / -gain[drying]
        seconds = min(remains, float(spans.min())) if drying.size else remains
        held = held + seconds * gain
        held[held <= NOTHING_KG_M2] = 0.0
        remains -= seconds
        if remains <= 0.0:
            break
    return held
