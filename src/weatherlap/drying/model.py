"""What a drying question is asked about: layers, walls, leaks, and what is done to dry them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.drying.materials import Kind, material
from weatherlap.errors import InputError

USUAL_SUN_SHARE = 0.6
THICKEST_M = 2.0


class Inside(StrEnum):
    """What is behind the stack."""

    HEATED = "heated room"
    OUTDOORS = "outdoor air, sheltered"


class Place(StrEnum):
    """Where in a layer a leak puts its water."""

    OUTER_FACE = "outer face"
    INNER_FACE = "inner face"
    THROUGHOUT = "throughout"


class Aid(StrEnum):
    """What is done to dry an opened place."""

    NONE = "nothing"
    FAN = "fan"
    HEATER = "heater"
    FAN_AND_HEATER = "fan and heater"


@dataclass(frozen=True, slots=True)
class Caution:
    """A short warning with the source of the rule it comes from."""

    text: str
    source: str


HEATER_CAUTION = Caution(
    "A heater in an opened place: keep it off wood and sheet, never leave one with a flame alone "
    "or in a closed place (fire, carbon monoxide), and keep it clear of wet cables.",
    "D-037",
)
MOULD_CAUTION = Caution(
    "Mould may be in sight here: gloves, goggles and a fitted mask; do not brush or blow it dry. "
    "Over 10 sq ft, plan it first.",
    "D-038",
)


@dataclass(frozen=True, slots=True)
class Layer:
    """One layer of a stack.

    ``material`` is a key of the materials table; ``permeance_perm`` (dry, wet) replaces the
    table's; ``air_changes_per_h`` vents an air layer to outdoors; ``drains`` tells whether
    water in an air layer can run out at its bottom. The start is ``start_pct`` by mass for wood,
    or else ``start_humidity_pct`` of the air it is at rest with.
    """

    id: str
    material: str
    thickness_m: float
    permeance_perm: tuple[float, float] | None = None
    air_changes_per_h: float = 0.0
    drains: bool = True
    start_pct: float | None = None
    start_humidity_pct: float = 75.0


@dataclass(frozen=True, slots=True, eq=False)
class Leak:
    """Water that gets into a layer, hour by hour of the climate. [kg/(m2 h)]"""

    layer_id: str
    kg_m2_h: Array
    place: Place = Place.OUTER_FACE


@dataclass(frozen=True, slots=True)
class Wall:
    """A stack from outside to inside, where it looks, and what is behind it."""

    name: str
    layers: tuple[Layer, ...]
    facing_deg: float = 0.0
    tilt_deg: float = 90.0
    inside: Inside = Inside.HEATED
    sun_share: float = USUAL_SUN_SHARE
    leaks: tuple[Leak, ...] = field(default=())

    def layer(self, layer_id: str) -> Layer:
        """The layer of an id.

        Raises
        ------
        InputError
            If the wall has no such layer.
        """
        for layer in self.layers:
            if layer.id == layer_id:
                return layer
        known = ", ".join(layer.id for layer in self.layers)
        raise InputError(f"wall {self.name}", f"no layer {layer_id!r}", f"one of {known}")

    def wooden(self) -> tuple[str, ...]:
        """Ids of the layers of wood."""
        return tuple(x.id for x in self.layers if material(x.material).kind is Kind.WOOD)


def check_wall(wall: Wall, *, hours: int) -> None:
    """Refuse a wall that cannot be worked out.

    Parameters
    ----------
    wall : Wall
        The stack.
    hours : int
        Hours of the climate its leaks must match.

    Raises
    ------
    InputError
        For no layer, a thickness that is not above zero, an unknown material, an air layer on the
        outside, an impossible start, or a leak of the wrong length or below zero.
    """
    where = f"wall {wall.name}"
    if not wall.layers:
        raise InputError(where, "no layer", "at least one layer, from outside to inside")
    for layer in wall.layers:
        _check_layer(f"{where}, layer {layer.id}", layer)
    if material(wall.layers[0].material).kind is Kind.AIR:
        found = f"air layer {wall.layers[0].id} on the outside"
        raise InputError(where, found, "a solid outermost layer")
    if not (0.0 <= wall.sun_share <= 1.0 and 0.0 <= wall.tilt_deg <= 180.0):
        found = f"sun share {wall.sun_share:g}, tilt {wall.tilt_deg:g}"
        raise InputError(where, found, "a sun share of 0 to 1 and a tilt of 0 to 180 degrees")
    for leak in wall.leaks:
        wall.layer(leak.layer_id)
        if leak.kg_m2_h.shape != (hours,):
            found = f"leak of {leak.kg_m2_h.size} hours into {leak.layer_id}"
            raise InputError(where, found, f"{hours} hours, as in the climate")
        if not (np.all(np.isfinite(leak.kg_m2_h)) and float(leak.kg_m2_h.min()) >= 0.0):
            raise InputError(where, f"leak into {leak.layer_id} below zero", "0 kg/m2h or more")


def _check_layer(where: str, layer: Layer) -> None:
    """Refuse a layer that cannot be worked out."""
    if not 0.0 < layer.thickness_m <= THICKEST_M:
        found = f"{layer.thickness_m:g} m thick"
        raise InputError(where, found, f"more than 0 and at most {THICKEST_M:g} m")
    of = material(layer.material)
    if layer.air_changes_per_h < 0.0:
        raise InputError(where, f"{layer.air_changes_per_h:g} air changes", "0 or more an hour")
    if layer.air_changes_per_h > 0.0 and of.kind is not Kind.AIR:
        raise InputError(where, f"air changes in {of.key}", "air changes only in an air layer")
    if layer.start_pct is not None and of.kind is not Kind.WOOD:
        found = f"start_pct for {of.key}"
        raise InputError(where, found, "start_humidity_pct for what is not wood")
    if layer.start_pct is not None and not 1.0 <= layer.start_pct <= 150.0:
        raise InputError(where, f"{layer.start_pct:g} % at the start", "1 to 150 percent")
    if not 1.0 <= layer.start_humidity_pct <= 100.0:
        raise InputError(where, f"{layer.start_humidity_pct:g} % air", "1 to 100 percent")
    if layer.permeance_perm is not None and not min(layer.permeance_perm) > 0.0:
        found = f"permeance {layer.permeance_perm[0]:g} to {layer.permeance_perm[1]:g} perm"
        raise InputError(where, found, "more than 0; a metal sheet has about 0.001")


def layers_text(layers: Sequence[Layer]) -> str:
    """Layers from outside to inside in one line."""
    return ", ".join(f"{x.id} ({x.material} {1000.0 * x.thickness_m:.3g} mm)" for x in layers)
