"""The lay of a corner for water: tiles, columns, troughs and the nodes water can be in."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.building.laying import Trough
from weatherlap.shape.folds import Contact
from weatherlap.shape.tiles import Line
from weatherlap.water.columns import Column, Event, columns_of
from weatherlap.water.tiling import Tiling, tile_corner


@dataclass(frozen=True, slots=True)
class RailStop:
    """A stretch of a tile along a fold that water runs down, from ``start`` to ``stop``. [in]

    Distances are measured down the fold from its high end.
    """

    rail: Contact
    tile: int
    start: float
    stop: float


@dataclass(frozen=True, slots=True)
class Rail:
    """A fold that water runs along: the contact, whether its end is the high one, its nodes.

    ``runs`` tells for each node from where to where its piece goes on without a gap. [in]
    """

    contact: Contact
    flipped: bool
    length_in: float
    nodes: range
    runs: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class Beyond:
    """The next face along a fold: places on it a hair inside, as lines over u here. [in]

    ``uphill`` is true where that face rises from the fold, so that water runs along it.
    """

    contact: Contact
    face: int
    across: Line
    up: Line
    uphill: bool


@dataclass(slots=True)
class Lay:
    """Everything that the hops are worked out from.

    Nodes below ``len(column_of_node)`` are stretches of columns, those after it rail stops.
    """

    corner: Corner
    tiling: Tiling
    troughs: list[tuple[int, Trough]]
    columns: list[list[Column]]
    column_of_node: list[Column]
    rails: dict[Contact, Rail]
    rail_stops: list[RailStop]
    beyond: dict[Contact, Beyond]

    @property
    def node_count(self) -> int:
        """How many nodes there are."""
        return len(self.column_of_node) + len(self.rail_stops)

    def event_of(self, node: int) -> Event:
        """The event that water in a column's node comes to next."""
        column = self.column_of_node[node]
        return column.events[node - column.first_node]

    def stop_of(self, node: int) -> RailStop:
        """The rail stop of a node."""
        return self.rail_stops[node - len(self.column_of_node)]


def lay_out(corner: Corner) -> Lay:
    """Tiles, columns and nodes of a corner; rails are added by the folding rules."""
    tiling = tile_corner(corner)
    troughs: list[tuple[int, Trough]] = []
    numbers: dict[tuple[int, int], int] = {}
    for panel in corner.panels:
        face = corner.faces[panel.face]
        if face.looks_down or face.is_level or not corner.pieces[panel.piece].holds:
            continue
        for k, trough in enumerate(panel.troughs):
            numbers[panel.index, k] = len(troughs)
            troughs.append((panel.index, trough))
    columns: list[list[Column]] = []
    by_node: list[Column] = []
    for tile in tiling.tiles:
        face = corner.faces[tile.face]
        runs = not (face.looks_down or face.is_level)
        mine = columns_of(tiling, tile, numbers, len(by_node)) if runs else []
        columns.append(mine)
        for column in mine:
            by_node += [column] * len(column.events)
    return Lay(corner, tiling, troughs, columns, by_node, {}, [], {})
