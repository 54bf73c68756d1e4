"""From a wall to what the march needs: slabs, cells, zones, the start, and its leaks by cell."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from weatherlap.drying.air import SECONDS_PER_HOUR, permeability_from_perm
from weatherlap.drying.curves import Curves
from weatherlap.drying.grid import Cells, Index, Slab, graded_widths_m, lay_cells
from weatherlap.drying.march import Airs, Leaks, State
from weatherlap.drying.materials import Kind, Properties, middle_properties, wetting_curves
from weatherlap.drying.model import Layer, Place, Wall

THIN = (Kind.SHEET, Kind.METAL, Kind.AIR)
FEWEST, MOST, CELL_M = 8, 24, 0.0006
CAVITY_RESISTANCE = 0.18
FILM_DEPTH_M = 0.01
FLOODED_KG_M3 = 1000.0
PIN_DEPTH_M = 0.008
THICK_M = 0.03


@dataclass(frozen=True, slots=True, eq=False)
class Stack:
    """A wall with chosen properties, cut into cells.

    ``zones`` numbers the cells by zone: a layer of wood thicker than 30 mm has three (as deep
    as pins reach from both faces, and the core), any other layer one. ``zone_layer`` gives the
    layer of each zone, ``zone_width_m`` its share of the thickness.
    """

    wall: Wall
    choice: Mapping[str, Properties]
    slabs: tuple[Slab, ...]
    cells: Cells
    zones: Index
    zone_layer: Index
    zone_width_m: tuple[float, ...]

    def faces(self, layer: int) -> tuple[int, int]:
        """First and last cell of a layer."""
        where = self.cells.layer_cells(layer)
        return where.start, where.stop - 1


def middle_choice(wall: Wall) -> dict[str, Properties]:
    """Middle properties for every layer of a wall, by layer id."""
    return {layer.id: middle_properties(layer.material) for layer in wall.layers}


def stack_of(
    wall: Wall, *, choice: Mapping[str, Properties] | None = None, fineness: float = 1.0
) -> Stack:
    """A wall cut into cells.

    Parameters
    ----------
    wall : Wall
        Layers from outside to inside.
    choice : mapping of str to Properties, optional
        Properties by layer id; the middle ones, if not given.
    fineness : float
        Slices for one usual slice. [-]

    Returns
    -------
    Stack
        Slabs, cells and zones.

    Sources
    -------
    D-026 : slices and zones.
    """
    choice = choice or middle_choice(wall)
    slabs = tuple(slab_of(x, choice[x.id], fineness=fineness) for x in wall.layers)
    cells = lay_cells(slabs)
    zones = np.zeros(cells.width.size, dtype=np.int64)
    zone_layer: list[int] = []
    for at, layer in enumerate(wall.layers):
        where = cells.layer_cells(at)
        wood = choice[layer.id].material.kind is Kind.WOOD
        parts = _parts(cells, where, split=wood and layer.thickness_m > THICK_M)
        zones[where] = len(zone_layer) + parts
        zone_layer += [at] * (int(parts.max()) + 1)
    widths = np.bincount(zones, weights=cells.width)
    return Stack(
        wall, choice, slabs, cells, zones, np.array(zone_layer), tuple(float(w) for w in widths)
    )


def _parts(cells: Cells, where: slice, *, split: bool) -> Index:
    """Zone of each cell within a layer: 0, or 0 to 2 from its outer to its inner face."""
    width = cells.width[where]
    if not split:
        return np.zeros(width.size, dtype=np.int64)
    depth = np.cumsum(width) - 0.5 * width
    inner = depth > width.sum() - PIN_DEPTH_M
    return np.where(depth < PIN_DEPTH_M, 0, np.where(inner, 2, 1)).astype(np.int64)


def slab_of(layer: Layer, chosen: Properties, *, fineness: float = 1.0) -> Slab:
    """A layer with chosen properties, cut into slices.

    Parameters
    ----------
    layer : Layer
        Thickness, venting and permeance.
    chosen : Properties
        Values of its material.
    fineness : float
        Slices for one usual slice. [-]

    Returns
    -------
    Slab
        Ready for the cells.

    Limits
    ------
    An air layer holds a film of drops on both faces; one that does not drain can fill with water.

    Sources
    -------
    D-021 : apparent conductivity of air layers. D-026 : slices.
    """
    thick, kind = layer.thickness_m, chosen.material.kind
    conducts, count = chosen.conducts_w_m_k, 1
    if kind is Kind.AIR:
        conducts = max(conducts, thick / CAVITY_RESISTANCE)
        film = chosen.full_kg_m3 * FILM_DEPTH_M / thick if layer.drains else FLOODED_KG_M3
        chosen = replace(chosen, full_kg_m3=film)
    if kind not in THIN:
        usual = int(np.clip(round(thick / CELL_M), FEWEST, MOST))
        count = max(2, round(usual * fineness))
    vapour = None
    if layer.permeance_perm is not None:
        dry, wet = layer.permeance_perm
        vapour = (
            permeability_from_perm(dry, thickness_m=thick),
            permeability_from_perm(wet, thickness_m=thick),
        )
    return Slab(
        id=layer.id,
        curves=wetting_curves(chosen, permeability=vapour),
        widths_m=graded_widths_m(thick, count=count),
        heat_j_m3_k=chosen.density_kg_m3 * chosen.heat_j_kg_k,
        conductivity_w_m_k=conducts,
        conductivity_per_water=chosen.material.conducts_per_water,
        air_changes_per_h=layer.air_changes_per_h,
        buffers=kind not in THIN,
    )


def start_of(stack: Stack, *, airs: Airs) -> State:
    """The first state: each layer at its start, temperature straight from air to air."""
    cells = stack.cells
    position = np.zeros(cells.width.size)
    for at, layer in enumerate(stack.wall.layers):
        position[cells.layer_cells(at)] = _start_position(
            layer, stack.choice[layer.id], stack.slabs[at].curves
        )
    share = cells.centres_m() / cells.width.sum()
    out, inside = float(airs.outside_c[0]), float(airs.inside_c[0])
    return State(position, out + share * (inside - out))


def _start_position(layer: Layer, chosen: Properties, curves: Curves) -> float:
    """Where a layer stands on its wetting path before the first hour."""
    if layer.start_pct is None:
        return curves.position_of_humidity(layer.start_humidity_pct / 100.0)
    return curves.position_of_water(layer.start_pct / 100.0 * chosen.density_kg_m3)


def leaks_of(stack: Stack, *, hours: int) -> Leaks:
    """The wall's leaks as water by hour and share by cell."""
    wall, cells = stack.wall, stack.cells
    count = len(wall.leaks)
    flow, share = np.zeros((hours, count)), np.zeros((count, cells.width.size))
    at_layer = {layer.id: at for at, layer in enumerate(wall.layers)}
    for k, leak in enumerate(wall.leaks):
        flow[:, k] = leak.kg_m2_h / SECONDS_PER_HOUR
        where = cells.layer_cells(at_layer[leak.layer_id])
        if leak.place is Place.OUTER_FACE:
            share[k, where.start] = 1.0
        elif leak.place is Place.INNER_FACE:
            share[k, where.stop - 1] = 1.0
        else:
            share[k, where] = cells.width[where] / cells.width[where].sum()
    return Leaks(flow, share)
