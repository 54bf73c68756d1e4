"""Records of a roof or deck and what stands above it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from weatherlap.structure.dead import LoadLayer
from weatherlap.structure.tributary import Area


class WindRoute(StrEnum):
    """How the wind on a roof is found."""

    OPEN = "free-standing open roof"
    CANOPY = "attached canopy, coefficients typed from the book"
    TYPED = "net pressure given by an engineer or the department"
    NONE = "not asked"


@dataclass(frozen=True, slots=True)
class RoofWindAsk:
    """The route and what it needs; sizes without sign. ``said_by``: who gave typed figures."""

    route: WindRoute = WindRoute.OPEN
    obstructed: bool = False
    up: float | None = None
    down: float | None = None
    said_by: str = ""


@dataclass(frozen=True, slots=True)
class UpperRoof:
    """The roof or wall that stands above: it feeds drifts and may let snow slide. [ft, deg]"""

    step_ft: float
    length_ft: float
    slope_deg: float = 0.0
    eave_to_ridge_ft: float = 0.0
    slippery: bool = False
    falls_this_way: bool = False


@dataclass(frozen=True, slots=True)
class Roof:
    """A roof to be carried. ``thermal`` 1.2 is unheated and open, the porch case."""

    area: Area
    slope_deg: float
    layers: tuple[LoadLayer, ...]
    allowance_psf: float = 0.0
    thermal: float = 1.2
    slippery: bool = False
    gable: bool = False
    eave_to_ridge_ft: float = 0.0
    lower_length_ft: float = 0.0
    upper: UpperRoof | None = None
    wind: RoofWindAsk = RoofWindAsk()


@dataclass(frozen=True, slots=True)
class Deck:
    """A floor to be carried. ``live_psf`` None: 40."""

    area: Area
    layers: tuple[LoadLayer, ...]
    live_psf: float | None = None
    allowance_psf: float = 0.0
