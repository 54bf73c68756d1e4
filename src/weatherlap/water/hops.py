"""Hops: where water goes next from a stretch of a tile, and what it meets on the way."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from weatherlap.shape.tiles import Line


class EndKind(StrEnum):
    """How a trail stops."""

    CLEAR = "clear"
    GUTTER = "gutter"
    SOAK = "soak"
    CAVITY = "cavity"
    HELD = "held"
    STANDS = "stands"
    CLING = "cling"

    @property
    def is_trouble(self) -> bool:
        """Whether the corner is wrong where a trail stops this way."""
        return self not in (EndKind.CLEAR, EndKind.GUTTER)


class Cause(StrEnum):
    """Why water passes inward of a layer meant to stop it, or does not get away."""

    WRONG_WAY = "laid the wrong way round"
    TOO_SHORT = "too short"
    MISSING = "missing"
    SEALED = "sealed shut"
    NO_DRIP = "no drip"
    DAMMED = "dammed"
    OVERFULL = "overfull"
    LEVEL = "no fall"


@dataclass(frozen=True, slots=True)
class End:
    """A trail stops: how, at which piece (or none) and on which face."""

    kind: EndKind
    piece: int | None
    face: int


@dataclass(frozen=True, slots=True)
class Soak:
    """Water lands on an absorbing piece."""

    piece: int
    face: int


@dataclass(frozen=True, slots=True)
class Crossing:
    """Water passes inward of a layer meant to stop it, or does not get away.

    ``upper`` is the piece the water comes from, ``lower`` the one that should have taken it
    (or that it lands on); None where there is none.
    """

    cause: Cause
    face: int
    upper: int | None
    lower: int | None


@dataclass(frozen=True, slots=True)
class IntoGutter:
    """Water falls into a gutter (by piece); what is too much goes on."""

    piece: int


@dataclass(frozen=True, slots=True)
class IntoTrough:
    """Water reaches a trough (by its number); what is too much goes on over the lip."""

    trough: int


Tag = Soak | Crossing | IntoGutter | IntoTrough


@dataclass(frozen=True, slots=True)
class Go:
    """Water goes on in a node, at u' = across(u). A flat ``across`` is a single place."""

    node: int
    across: Line


@dataclass(frozen=True, slots=True)
class Hop:
    """Between u ``left`` and ``right`` all water does the same: tags on the way, then the goal.

    ``at`` is the place (face, u, v) in the middle where it happens, for telling people.
    """

    left: float
    right: float
    tags: tuple[Tag, ...]
    goal: Go | End
    at: tuple[int, float, float]


def clipped(hops: list[Hop], left: float, right: float) -> list[Hop]:
    """The hops between two u, shortened to them. [in]"""
    if len(hops) == 1 and hops[0].left >= left and hops[0].right <= right:
        return hops
    found = []
    for hop in hops:
        lo, hi = max(hop.left, left), min(hop.right, right)
        if hi > lo or (left == right and lo == hi):
            found.append(Hop(lo, hi, hop.tags, hop.goal, hop.at))
    return found
