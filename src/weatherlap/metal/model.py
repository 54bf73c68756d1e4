"""Records of bent metal: legs, bends, profiles, the metal itself.

A profile is walked from its start edge to its end edge with the painted side on the left. A bend
toward the finish turns left, a bend toward the back turns right. Angles are what the metal is
turned through: a square corner 90, a closed hem 180.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.errors import InputError

LONGEST_LEG_IN = 600.0
MOST_LEGS = 40


class Measure(StrEnum):
    """Which face of the sheet a leg's length is taken on.

    INSIDE and OUTSIDE are meant at each bend by itself: the inside of a bend is the face it closes
    over. BACK and FINISH name the sheet's own faces, whichever way the bends go: a wrap is
    measured off the wood, so to its BACK.
    """

    INSIDE = "inside"
    OUTSIDE = "outside"
    BACK = "back"
    FINISH = "finish"


class Toward(StrEnum):
    """The face that a bend closes over."""

    FINISH = "finish"
    BACK = "back"


class End(StrEnum):
    """One of the two edges of a profile."""

    START = "start"
    END = "end"


def checked(where: str, value: float, *, least: float, most: float, unit: str = "in") -> float:
    """The value if it is a number within bounds.

    Raises
    ------
    InputError
        If it is not finite or out of bounds.
    """
    real = isinstance(value, int | float) and not isinstance(value, bool)
    if not (real and math.isfinite(value) and least <= value <= most):
        raise InputError(where, f"{value!r}", f"{least:g} to {most:g} {unit}")
    return value


@dataclass(frozen=True, slots=True)
class Leg:
    """One flat part of a profile. [in]"""

    length_in: float
    measure: Measure = Measure.INSIDE
    name: str = ""

    def __post_init__(self) -> None:
        checked(f"leg {self.name}".strip(), self.length_in, least=1 / 64, most=LONGEST_LEG_IN)


@dataclass(frozen=True, slots=True)
class Bend:
    """A bend between two legs. [deg, in]

    ``radius_in`` is the inside radius, None for the metal's usual one. A turn of 180 is a hem:
    closed with a radius of 0, open with the radius of half its gap.
    """

    angle_deg: float
    toward: Toward
    radius_in: float | None = None

    def __post_init__(self) -> None:
        checked("bend angle", self.angle_deg, least=1.0, most=180.0, unit="degrees")
        if self.radius_in is not None:
            checked("bend radius", self.radius_in, least=0.0, most=12.0)

    @property
    def is_hem(self) -> bool:
        """Whether the metal is folded flat on itself."""
        return self.angle_deg > 179.5

    @property
    def turn_deg(self) -> float:
        """The turn with its sign: to the left (toward the finish) above 0. [deg]"""
        return self.angle_deg if self.toward is Toward.FINISH else -self.angle_deg


@dataclass(frozen=True, slots=True)
class Profile:
    """A cross-section of bent metal: legs from the start edge on, a bend between each two."""

    id: str
    legs: tuple[Leg, ...]
    bends: tuple[Bend, ...]

    def __post_init__(self) -> None:
        where = f"profile {self.id}"
        if not 1 <= len(self.legs) <= MOST_LEGS:
            raise InputError(where, f"{len(self.legs)} legs", f"1 to {MOST_LEGS} legs")
        if len(self.bends) != len(self.legs) - 1:
            found = f"{len(self.legs)} legs with {len(self.bends)} bends"
            raise InputError(where, found, f"{len(self.legs) - 1} bends, one between each two legs")


@dataclass(frozen=True, slots=True)
class Metal:
    """A sheet to bend. [in]

    ``k_factor`` places the layer that keeps its length, in thicknesses from the inside;
    ``radius_in`` is the inside radius that the brake gives when nothing else is asked for.
    """

    name: str
    thickness_in: float
    k_factor: float
    radius_in: float = 0.0
    source_keys: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        checked(f"thickness of {self.name}", self.thickness_in, least=0.004, most=0.5)
        checked(f"k_factor of {self.name}", self.k_factor, least=0.0, most=0.6, unit="thicknesses")
        checked(f"radius of {self.name}", self.radius_in, least=0.0, most=12.0)
