"""Cells: the layers of one stack cut into slices, as arrays for the kernel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from weatherlap.drying.air import (
    HEAT_OF_AIR_J_PER_M3_K,
    SECONDS_PER_HOUR,
    Array,
    venting_permeance,
)
from weatherlap.drying.curves import STEPS, WATER, Curves
from weatherlap.errors import InputError

Index = NDArray[np.int64]
GROWTH = 1.25
WIDEST = 8.0


@dataclass(frozen=True, slots=True, eq=False)
class Slab:
    """One layer ready for the march.

    ``widths_m`` are its slices from outside to inside; conductivity is ``conductivity_w_m_k``
    plus ``conductivity_per_water`` for each kg/m3 of water; ``air_changes_per_h`` joins it with
    outdoors; ``buffers`` is False for air and thin sheets, whose water is not watched for
    accuracy.
    """

    id: str
    curves: Curves
    widths_m: Array
    heat_j_m3_k: float
    conductivity_w_m_k: float
    conductivity_per_water: float = 0.0
    air_changes_per_h: float = 0.0
    buffers: bool = True


@dataclass(frozen=True, slots=True, eq=False)
class Cells:
    """All slices of a stack from outside to inside; arrays have one value a cell.

    ``liquid_face`` has one value a face between neighbours; ``vent_vapour`` [kg/(m2 s Pa)] and
    ``vent_heat`` [W/(m2 K)] join a cell with outdoors.
    """

    width: Array
    table: Array
    table_row: Index
    heat_dry: Array
    conductivity_dry: Array
    conductivity_wet: Array
    vent_vapour: Array
    vent_heat: Array
    buffers: Array
    liquid_face: Array
    layer_start: Index
    layer_ids: tuple[str, ...]

    def layer_cells(self, layer: int) -> slice:
        """The cells of a layer."""
        ends = np.append(self.layer_start, self.width.size)
        return slice(int(ends[layer]), int(ends[layer + 1]))

    def layer_of(self) -> Index:
        """The layer of each cell."""
        at = np.searchsorted(self.layer_start, np.arange(self.width.size), side="right") - 1
        return np.asarray(at, dtype=np.int64)

    def full_water(self) -> Array:
        """Water content at which each cell is full. [kg/m3]"""
        return np.asarray(self.table[self.table_row + STEPS, WATER])

    def layer_means(self, value: Array) -> Array:
        """Mean of a cell value over each layer, by width; the last axis is cells, then layers."""
        total = np.add.reduceat(value * self.width, self.layer_start, axis=-1)
        return np.asarray(total / np.add.reduceat(self.width, self.layer_start))

    def centres_m(self) -> Array:
        """Middle of each cell, from the outer face. [m]"""
        return np.asarray(np.cumsum(self.width) - 0.5 * self.width)


def graded_widths_m(thickness_m: float, *, count: int) -> Array:
    """Slices of a layer, thin at both faces and wider towards the middle.

    Parameters
    ----------
    thickness_m : float
        Thickness of the layer. [m]
    count : int
        Number of slices.

    Returns
    -------
    ndarray, shape (count,)
        Widths that add up to the thickness. [m]

    Raises
    ------
    InputError
        If the thickness is not above zero or there is no slice.

    Sources
    -------
    D-026 : each slice at most a quarter wider than its outer neighbour.
    """
    if not thickness_m > 0.0 or count < 1:
        found = f"{thickness_m:g} m in {count} slices"
        raise InputError("layer", found, "a thickness above 0 and at least 1 slice")
    from_face = np.minimum(np.arange(count), np.arange(count)[::-1])
    shape = np.minimum(GROWTH**from_face, WIDEST)
    return np.asarray(thickness_m * shape / shape.sum(), dtype=float)


def lay_cells(slabs: Sequence[Slab]) -> Cells:
    """Cut a stack of layers into one row of cells.

    Parameters
    ----------
    slabs : sequence of Slab
        From outside to inside.

    Returns
    -------
    Cells
        What the kernel needs.

    Raises
    ------
    InputError
        If there are fewer than two cells, or two layers have one id.
    """
    counts = [slab.widths_m.size for slab in slabs]
    if sum(counts) < 2:
        raise InputError("stack", f"{sum(counts)} cells", "at least two")
    ids = tuple(slab.id for slab in slabs)
    if len(set(ids)) < len(ids):
        raise InputError("stack", f"layers {', '.join(ids)}", "a different id for each layer")
    layer_of = np.repeat(np.arange(len(slabs)), counts)
    width = np.concatenate([slab.widths_m for slab in slabs])
    table, first_row = _one_table(slabs)
    changes = _each(slabs, "air_changes_per_h")[layer_of]
    venting = np.array([venting_permeance(1.0, depth_m=float(w)) for w in width])
    distance = 0.5 * (width[1:] + width[:-1])
    return Cells(
        width=width,
        table=table,
        table_row=first_row[layer_of],
        heat_dry=_each(slabs, "heat_j_m3_k")[layer_of] * width,
        conductivity_dry=_each(slabs, "conductivity_w_m_k")[layer_of],
        conductivity_wet=_each(slabs, "conductivity_per_water")[layer_of],
        vent_vapour=changes * venting,
        vent_heat=changes * HEAT_OF_AIR_J_PER_M3_K * width / SECONDS_PER_HOUR,
        buffers=_each(slabs, "buffers")[layer_of],
        liquid_face=np.where(layer_of[1:] == layer_of[:-1], 1.0 / distance, 0.0),
        layer_start=(np.cumsum(counts) - counts).astype(np.int64),
        layer_ids=ids,
    )


def _one_table(slabs: Sequence[Slab]) -> tuple[Array, Index]:
    """Every material's table once, end to end, and each layer's first row in it."""
    rows: dict[int, int] = {}
    parts: list[Array] = []
    for slab in slabs:
        if id(slab.curves) not in rows:
            rows[id(slab.curves)] = len(parts) * (STEPS + 1)
            parts.append(slab.curves.table)
    first = np.array([rows[id(slab.curves)] for slab in slabs], dtype=np.int64)
    return np.ascontiguousarray(np.vstack(parts)), first


def _each(slabs: Sequence[Slab], name: str) -> Array:
    """One value of each layer."""
    return np.array([getattr(slab, name) for slab in slabs], dtype=float)
