"""Materials of the drying run: a range for each property, and values chosen within it."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

import numpy as np

from weatherlap.drying.air import STILL_AIR_PERMEABILITY, Array, permeability_from_perm
from weatherlap.drying.curves import Curves, make_curves
from weatherlap.drying.mould import MouldClass
from weatherlap.drying.wood import equilibrium_pct
from weatherlap.errors import InputError

DRAWN = 8
DRY_CUP, CUP_SPAN, WETTEST_CUP = 0.25, 0.5, 1.25
CAPILLARY_FROM = 0.95
LIQUID_SPAN_WOOD, LIQUID_SPAN = 10.0, 1000.0


class Kind(StrEnum):
    """What sort of thing a material is; sheets, metal and air are one cell thick."""

    WOOD = "wood"
    MINERAL = "mineral"
    FOAM = "foam"
    FIBRE = "fibre"
    SHEET = "sheet"
    METAL = "metal"
    AIR = "air"


@dataclass(frozen=True, slots=True)
class Range:
    """What a property may be: low, middle, high."""

    low: float
    middle: float
    high: float

    def at(self, share: float) -> float:
        """Value at a share of the way from low to high, 0.5 being the middle value.

        Between positive ends steps are equal in ratio, as suits properties known to a factor.
        """
        one, other = (self.low, self.middle) if share <= 0.5 else (self.middle, self.high)
        part = 2.0 * share if share <= 0.5 else 2.0 * share - 1.0
        if one > 0.0:
            return float(one * (other / one) ** part)
        return one + part * (other - one)


@dataclass(frozen=True, slots=True)
class Material:
    """A material with its ranges; ``dry`` and ``wet`` are vapour permeability [kg/(m s Pa)].

    ``sorption`` is None for wood, whose equilibrium equation is used; else (humidity, kg/m3).
    """

    key: str
    name: str
    kind: Kind
    density_kg_m3: Range
    heat_j_kg_k: Range
    conducts_w_m_k: Range
    conducts_per_water: float
    dry: Range
    wet: Range
    soaks_kg_m2_s05: Range
    sorption: tuple[tuple[float, float], ...] | None
    sorption_factor: Range
    full_kg_m3: Range
    mould: MouldClass
    source_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Properties:
    """One choice of values from a material's ranges."""

    material: Material
    density_kg_m3: float
    heat_j_kg_k: float
    conducts_w_m_k: float
    dry: float
    wet: float
    soaks_kg_m2_s05: float
    sorption_factor: float
    full_kg_m3: float


@cache
def materials() -> Mapping[str, Material]:
    """Every material by its key (read only)."""
    text = (files("weatherlap.drying") / "data" / "materials.toml").read_text("utf-8")
    rows = tomllib.loads(text)
    found = {}
    for key, row in rows.items():
        like = rows[row["same_as"]] if "same_as" in row else {}
        found[key] = _material(key, like | row)
    return MappingProxyType(found)


def material(key: str) -> Material:
    """The material of a key.

    Parameters
    ----------
    key : str
        As in the catalogue's ``material``.

    Returns
    -------
    Material
        Its ranges and their sources.

    Raises
    ------
    InputError
        If the table does not hold it; names near ones.
    """
    found = materials().get(key)
    if found is None:
        near = get_close_matches(key.lower(), list(materials()), n=3, cutoff=0.5)
        hint = f"Did you mean {' or '.join(near)}?" if near else "See the list of materials."
        raise InputError(f"material {key!r}", "no data for drying", "a material of the table", hint)
    return found


def _material(key: str, row: dict[str, Any]) -> Material:
    """The record of one table of the data file."""
    dry, wet = _permeability(row, "dry"), _permeability(row, "wet")
    sorption = None if row["sorption"] == "wood" else tuple((h, w) for h, w in row["sorption"])
    return Material(
        key=key,
        name=row["name"],
        kind=Kind(row["kind"]),
        density_kg_m3=Range(*row["density_kg_m3"]),
        heat_j_kg_k=Range(*row["heat_j_kg_k"]),
        conducts_w_m_k=Range(*row["conducts_w_m_k"]),
        conducts_per_water=row["conducts_per_water"],
        dry=dry,
        wet=wet,
        soaks_kg_m2_s05=Range(*row["soaks_kg_m2_s05"]),
        sorption=sorption,
        sorption_factor=Range(*row["sorption_factor"]),
        full_kg_m3=Range(*row["full_kg_m3"]),
        mould=MouldClass(row["mould"]),
        source_keys=tuple(row["sources"]),
    )


def _permeability(row: dict[str, Any], state: str) -> Range:
    """Permeability range of the dry or wet cup, from resistance factors or permeances."""
    if f"perm_{state}" in row:
        thick = row["perm_thickness_m"]
        return Range(*(permeability_from_perm(p, thickness_m=thick) for p in row[f"perm_{state}"]))
    low, middle, high = (STILL_AIR_PERMEABILITY / mu for mu in reversed(row[f"resists_{state}"]))
    return Range(low, middle, high)


def middle_properties(key: str) -> Properties:
    """The middle values of a material.

    Parameters
    ----------
    key : str
        Material.

    Returns
    -------
    Properties
        One value for each property.

    Raises
    ------
    InputError
        If the table does not hold the material.
    """
    return properties_at(key, shares=(0.5,) * DRAWN)


def properties_at(key: str, *, shares: tuple[float, ...]) -> Properties:
    """Values at shares of the way through a material's ranges.

    Parameters
    ----------
    key : str
        Material.
    shares : tuple of float
        One share, 0 to 1, for each of the eight properties in the order of ``Properties``.

    Returns
    -------
    Properties
        One value for each property.

    Raises
    ------
    InputError
        If the table does not hold the material, or there are not eight shares.
    """
    if len(shares) != DRAWN:
        raise InputError("shares", f"{len(shares)}", f"{DRAWN} numbers from 0 to 1")
    of = material(key)
    ranges = (
        of.density_kg_m3, of.heat_j_kg_k, of.conducts_w_m_k, of.dry, of.wet, of.soaks_kg_m2_s05,
        of.sorption_factor, of.full_kg_m3,
    )  # fmt: skip
    return Properties(of, *(range_.at(share) for range_, share in zip(ranges, shares, strict=True)))


def wetting_curves(
    chosen: Properties, *, permeability: tuple[float, float] | None = None
) -> Curves:
    """The wetting path of a material with chosen properties.

    Parameters
    ----------
    chosen : Properties
        Values within the ranges.
    permeability : tuple of float, optional
        Dry and wet permeability that replace the material's. [kg/(m s Pa)]

    Returns
    -------
    Curves
        Sorption, free water above it, vapour and liquid transport.

    Raises
    ------
    InputError
        If the material would be full before it is saturated by air.

    Sources
    -------
    D-001 : sorption of wood at 20 C. D-022 : liquid diffusivity 3.8 (A / w)2.
    D-024 : permeability rises by equal ratios from the dry cup to the wet cup.
    """
    humidity, water = _sorption(chosen)
    full = chosen.full_kg_m3
    if water[-1] >= full:
        found = f"{water[-1]:.0f} kg/m3 at saturation"
        raise InputError(chosen.material.key, found, f"less than full, {full:.0f} kg/m3")
    free = np.linspace(water[-1], full, 41)[1:]
    humidity, water = np.append(humidity, np.ones(free.size)), np.append(water, free)
    wood = chosen.material.kind is Kind.WOOD
    span = LIQUID_SPAN_WOOD if wood else LIQUID_SPAN
    most = 3.8 * (chosen.soaks_kg_m2_s05 / full) ** 2
    begins = humidity >= (1.0 if wood else CAPILLARY_FROM)
    liquid = np.where(begins, most * span ** (water / full - 1.0), 0.0)
    dry, wet = permeability or (chosen.dry, chosen.wet)
    cup = np.clip((humidity - DRY_CUP) / CUP_SPAN, 0.0, WETTEST_CUP)
    return make_curves(
        humidity, water=water, liquid_m2_s=liquid, permeability=dry * (wet / dry) ** cup
    )


def _sorption(chosen: Properties) -> tuple[Array, Array]:
    """Humidity and water content up to saturation by air."""
    humidity = np.linspace(0.0, 1.0, 201)
    points = chosen.material.sorption
    if points is None:
        content = equilibrium_pct(100.0 * humidity, temperature_c=20.0)
        water = chosen.density_kg_m3 / 100.0 * content
    else:
        known = np.array(points)
        water = np.interp(humidity, known[:, 0], known[:, 1])
    return humidity, np.asarray(chosen.sorption_factor * water)
