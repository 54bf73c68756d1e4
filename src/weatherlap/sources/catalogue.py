"""The trade's stuff as plain data: what each thing is made of and what it does with water.

Costs are invented (source C-009) and marked so by their name; a firm's cost book replaces them.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any

from weatherlap.errors import InputError

PASSES_WITH_JOINTS = 0.01


class Role(StrEnum):
    """What a thing is for."""

    CLADDING = "cladding"
    FLASHING = "flashing"
    BARRIER = "barrier"
    SHEATHING = "sheathing"
    ROOFING = "roofing"
    TRIM = "trim"
    CHANNEL = "channel"
    MEMBRANE = "membrane"
    INSULATION = "insulation"
    LINING = "lining"
    MASONRY = "masonry"
    GUTTER = "gutter"
    FRAME = "frame"


@dataclass(frozen=True, slots=True)
class Entry:
    """One thing of the catalogue.

    ``sheet`` is "sheds", "resists", "absorbs" or "open"; ``passes`` the share of the rain on it
    that gets past its joints; ``permeance_perm`` runs from dry (or low) to wet (or high) and is
    None where air moves freely; ``stock_in`` holds (width, length), a width of 0 where a thing is
    sold by its length; ``exposure_in`` is the part of a course that shows; ``unit`` is what one
    ``invented_cost_usd`` buys.
    """

    id: str
    name: str
    sheet: str
    passes: float
    role: Role
    material: str
    thickness_in: float
    permeance_perm: tuple[float, float] | None
    stock_in: tuple[tuple[float, float], ...]
    exposure_in: float | None
    unit: str
    invented_cost_usd: float
    source_keys: tuple[str, ...]


@cache
def catalogue() -> Mapping[str, Entry]:
    """Every entry by its id, in the order of the data file (read only)."""
    data = files("weatherlap.sources") / "data" / "catalogue.toml"
    rows = tomllib.loads(data.read_text("utf-8"))
    return MappingProxyType({key: _entry(key, row) for key, row in rows.items()})


def _entry(key: str, row: dict[str, Any]) -> Entry:
    """The record of one table of the data file."""
    low_high = row.get("permeance_perm")
    return Entry(
        id=key,
        name=row["name"],
        sheet=row["sheet"],
        passes=row.get("passes", PASSES_WITH_JOINTS if row["sheet"] == "sheds" else 0.0),
        role=Role(row["role"]),
        material=row["material"],
        thickness_in=float(row["thickness_in"]),
        permeance_perm=(float(low_high[0]), float(low_high[1])) if low_high else None,
        stock_in=tuple((float(width), float(length)) for width, length in row["stock_in"]),
        exposure_in=row.get("exposure_in"),
        unit=row["unit"],
        invented_cost_usd=float(row["invented_cost_usd"]),
        source_keys=tuple(row["source_keys"]),
    )


def entry(what: str) -> Entry:
    """The catalogue's entry of an id.

    Raises
    ------
    InputError
        If the catalogue has no such entry; names the nearest ones.
    """
    found = catalogue().get(what)
    if found is None:
        where = f"what = {what!r}"
        raise InputError(where, "no such entry", "an entry of the catalogue", near(what))
    return found


@lru_cache(maxsize=256)
def near(what: str) -> str:
    """'Did you mean' with the nearest entries, or how to see them all."""
    close = get_close_matches(what.lower()[:80], list(catalogue()), n=3, cutoff=0.6)
    if close:
        return f"Did you mean {' or '.join(repr(name) for name in close)}?"
    return "Leave `what` out and give `sheet` if the catalogue does not have it."
