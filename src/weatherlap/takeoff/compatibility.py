"""Which metals, coatings, treated lumber and masonry may touch."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

from weatherlap.errors import InputError

HARSH_V = 0.15
ORDINARY_V = 0.25
COPPER_TREATED = ("copper", "micronized")
ALKALINE = ("concrete", "brick", "stucco", "paving")


class Verdict(StrEnum):
    """Whether two things may touch."""

    FINE = "may touch"
    APART = "keep apart"
    NEVER = "must not meet"


@dataclass(frozen=True, slots=True)
class Judged:
    """A verdict, why, what to do, and where that stands."""

    verdict: Verdict
    why: str
    do: str
    source_keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Metals:
    """Anodic index of each metal, and the metal that a material shows. [V]"""

    index_v: Mapping[str, float]
    surface: Mapping[str, str]


@cache
def metals_table() -> Metals:
    """The table of metals that comes with the tool.

    Sources
    -------
    M-310, M-311 : order and index.
    """
    text = (files("weatherlap.takeoff") / "data" / "metals.toml").read_text("utf-8")
    rows = tomllib.loads(text)
    return Metals(rows["index_v"], rows["surface"])


def metal_of(material: str) -> str | None:
    """The metal that a material of the catalogues shows; None for what is no metal."""
    return metals_table().surface.get(material)


def index_gap_v(one: str, other: str) -> float:
    """How far two metals are apart on the anodic index.

    Parameters
    ----------
    one, other : str
        Metals of the table.

    Returns
    -------
    float
        Difference. [V]

    Raises
    ------
    InputError
        If a metal is not in the table.

    Sources
    -------
    M-311 : index by metal.
    """
    table = metals_table().index_v
    for metal in (one, other):
        if metal not in table:
            raise InputError("metal", repr(metal), f"one of {', '.join(table)}")
    return abs(table[one] - table[other])


def judge_metals(one: str, other: str, *, salt_air: bool, fastener: bool = False) -> Judged:
    """Whether two metals may touch out of doors.

    Parameters
    ----------
    one, other : str
        Metals of the table; with ``fastener`` the first is the fastener.
    salt_air : bool
        Near the sea.
    fastener : bool
        A small part in a large one.

    Raises
    ------
    InputError
        If a metal is not in the table.

    Sources
    -------
    M-309, M-310, M-311 : same-metal rule, order, limits.
    """
    gap = index_gap_v(one, other)
    pair = {one, other}
    if "copper" in pair and pair & {"aluminum", "zinc", "steel"}:
        baser = next(iter(pair - {"copper"}))
        why = f"copper eats {baser}: {gap:.2f} V apart"
        do = "Take both of one metal, or part them with a membrane that the water cannot cross."
        return Judged(Verdict.NEVER, why, do, ("M-310", "M-311"))
    if fastener and one == "stainless" and other in ("aluminum", "zinc", "copper"):
        why = "a small stainless fastener in a large sheet is accepted practice"
        return Judged(Verdict.FINE, why, "", ("M-309",))
    if pair == {"aluminum", "zinc"} and not salt_air:
        return Judged(Verdict.FINE, "zinc guards aluminum: fair out of salt air", "", ("M-310",))
    limit = HARSH_V if salt_air else ORDINARY_V
    place = "in salt air" if salt_air else "out of doors"
    if gap <= limit + 1e-9:
        why = f"{gap:.2f} V apart, at most {limit:.2f} V {place}"
        return Judged(Verdict.FINE, why, "", ("M-311",))
    why = f"{gap:.2f} V apart, more than {limit:.2f} V {place}"
    do = "Part them with tape or paint, or take a nearer metal."
    return Judged(Verdict.APART, why, do, ("M-311",))


def judge_on(metal: str, material: str, *, treatment: str) -> Judged:
    """Whether a metal may lie on wood or masonry.

    Parameters
    ----------
    metal : str
        A metal of the table.
    material : str
        Material of the catalogues that is no metal.
    treatment : str
        How treated lumber is treated: copper, micronized, borate.

    Sources
    -------
    M-313, M-314, M-315 : treated lumber, the contrary test, mortar and cedar.
    """
    if material == "treated-softwood" and treatment in COPPER_TREATED:
        return _on_copper_treated(metal, treatment)
    if metal == "aluminum" and material in ALKALINE:
        why = "wet mortar and concrete eat aluminum"
        return Judged(Verdict.APART, why, "Coat it, or lay a membrane between.", ("M-315",))
    if metal == "aluminum" and material == "cedar":
        why = "cedar's acid eats aluminum where it stays wet"
        return Judged(Verdict.APART, why, "Lay felt or a membrane between.", ("M-315",))
    return Judged(Verdict.FINE, "no rule against it", "", ("M-315",))


def _on_copper_treated(metal: str, treatment: str) -> Judged:
    keys = ("M-313", "M-314")
    if metal in ("copper", "stainless"):
        return Judged(Verdict.FINE, "stainless and copper stand the copper in it", "", keys)
    if metal == "zinc":
        why = "hot-dip galvanized to the heavy coats (A153, G185) is what the trade asks for"
        return Judged(Verdict.FINE, why, "", keys)
    if metal == "aluminum" and treatment == "micronized":
        why = "some makers of micronized lumber allow it above ground"
        do = "Follow the tag; without it lay a membrane between."
        return Judged(Verdict.APART, why, do, keys)
    why = f"the copper in treated lumber eats {metal}"
    do = "Lay a membrane or spacer between."
    if metal == "steel":
        do = "Only fasteners that their maker lists for it; else hot-dip galvanized or stainless."
    return Judged(Verdict.APART, why, do, keys)
