"""Catching: on which pieces rain lands, and what gets past them to the second layer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Face
from weatherlap.job.model import Sheet
from weatherlap.shape.tiles import Line
from weatherlap.water.columns import Column
from weatherlap.water.hops import Cause, Crossing, End, EndKind, Soak
from weatherlap.water.tiling import WetTile
from weatherlap.water.ways import Ways

FIRST, SECOND = 0, 1
LAYER_NAMES = ("first", "second")


@dataclass(frozen=True, slots=True)
class Region:
    """A part of a face where rain of one layer lands on one panel (or on nothing).

    ``share`` of the rain takes this way; ``past`` is the piece it got past, for the second layer.
    """

    face: int
    layer: int
    panel: int | None
    shape: BaseGeometry
    share: float
    past: int | None


@dataclass(frozen=True, slots=True)
class Start:
    """Rain on an area of a face that sets out on one trail. [in2]

    ``tile`` is where it lands (None in a cavity), ``shape`` the area on the face.
    """

    face: int
    layer: int
    trail: int
    area_in2: float
    share: float
    tile: int | None
    shape: BaseGeometry


def rained_on(face: Face) -> bool:
    """Whether rain falls on a face (it does not look down)."""
    return not face.looks_down


def regions(corner: Corner) -> Iterator[Region]:
    """Where rain lands, on both layers, face by face; the first layer covers each face once."""
    for face in corner.faces:
        if rained_on(face):
            yield from _regions_of_face(corner, face)


def _neighbours(corner: Corner, panels: list[int]) -> list[list[int]]:
    """For each panel the others on the face that overlap it, by position in the list."""
    shapes = [corner.panels[p].polygon for p in panels]
    rows: list[list[int]] = [[] for _ in panels]
    left, right = STRtree(shapes).query(shapes, predicate="intersects")
    for i, j in zip(left.tolist(), right.tolist(), strict=True):
        if i != j:
            rows[i].append(j)
    return rows


def _regions_of_face(corner: Corner, face: Face) -> Iterator[Region]:
    held = [
        p
        for p in corner.panels_on[face.index]
        if corner.pieces[corner.panels[p].piece].holds
    ]
    shapes = [corner.panels[p].polygon for p in held]
    bare = face.outline.difference(shapely.union_all(shapes)) if held else face.outline
    if bare.area > 0:
        yield Region(face.index, FIRST, None, bare, 1.0, None)
    if not held:
        return
    rows = _neighbours(corner, held)
    for i, p in enumerate(held):
        mine = corner.panels[p].piece
        over = [j for j in rows[i] if corner.outside(corner.panels[held[j]].piece, mine)]
        open_part = _less(shapes[i], [shapes[j] for j in over])
        if open_part.area <= 0:
            continue
        passes = corner.pieces[mine].passes
        yield Region(face.index, FIRST, p, open_part, 1.0 - passes, None)
        if passes > 0:
            below = [held[j] for j in rows[i] if j not in set(over)]
            yield from _behind(corner, face, p, open_part, below)


def _less(shape: Polygon, over: list[Polygon]) -> BaseGeometry:
    if not over:
        return shape
    cover = over[0] if len(over) == 1 else shapely.union_all(over)
    return shape.difference(cover)


def _behind(
    corner: Corner, face: Face, panel: int, open_part: BaseGeometry, below: list[int]
) -> Iterator[Region]:
    """Where the share that gets past an outermost panel lands: on the next panel inside."""
    past = corner.panels[panel].piece
    share = corner.pieces[past].passes
    taken = []
    for q in below:
        piece = corner.panels[q].piece
        between = [
            corner.panels[r].polygon
            for r in below
            if r != q and corner.outside(corner.panels[r].piece, piece)
        ]
        part = open_part.intersection(corner.panels[q].polygon)
        if part.area > 0:
            part = _less(part, between)
        if part.area > 0:
            taken.append(part)
            yield Region(face.index, SECOND, q, part, share, past)
    rest = open_part.difference(shapely.union_all(taken)) if taken else open_part
    if rest.area > 1e-9:
        yield Region(face.index, SECOND, None, rest, share, past)


def starts(ways: Ways) -> list[Start]:
    """Every area of rain with the trail it sets out on."""
    tiles_of_panel: dict[int, list[int]] = {}
    for wet in ways.lay.tiling.tiles:
        tiles_of_panel.setdefault(wet.panel, []).append(wet.index)
    found: list[Start] = []
    for region in regions(ways.lay.corner):
        if region.panel is None:
            trail = _into_cavity(ways, region)
            found.append(
                Start(
                    region.face,
                    region.layer,
                    trail,
                    region.shape.area,
                    region.share,
                    None,
                    region.shape,
                )
            )
        else:
            for tile in tiles_of_panel[region.panel]:
                alone = len(tiles_of_panel[region.panel]) == 1
                found += _starts_on_tile(ways, region, tile, alone=alone)
    return found


def _middle(region: Region) -> tuple[int, float, float]:
    spot = region.shape.representative_point()
    return region.face, spot.x, spot.y


def _into_cavity(ways: Ways, region: Region) -> int:
    place = _middle(region)
    end = ways.trails.number(End(EndKind.CAVITY, None, region.face), -1, place)
    crossing = Crossing(Cause.MISSING, region.face, region.past, None)
    return ways.trails.number(crossing, end, place)


def _landed(ways: Ways, region: Region, piece: int, trail: int) -> int:
    """The trail of rain that lands on a piece: wood is soaked, as nothing covers it."""
    if ways.lay.corner.pieces[piece].sheet is not Sheet.ABSORBS:
        return trail
    place = _middle(region)
    soak = ways.trails.number(Soak(piece, region.face), trail, place)
    crossing = Crossing(Cause.MISSING, region.face, region.past, piece)
    return ways.trails.number(crossing, soak, place)


def _starts_on_tile(ways: Ways, region: Region, tile: int, *, alone: bool) -> Iterator[Start]:
    wet = ways.lay.tiling.tiles[tile]
    columns = ways.lay.columns[tile]
    if not columns:
        yield _start_on_level(ways, region, wet, alone=alone)
        return
    cells = [cell for column in columns for cell in _cells(ways, wet, column)]
    trails = {trail for *_, trail in cells}
    if alone and len(trails) == 1:
        shapes = np.array([region.shape])
        cells = cells[:1]
    else:
        corners = np.array([_outline(cell) for cell in cells])
        shapes = shapely.intersection(region.shape, shapely.polygons(corners))
    for cell, area, shape in zip(cells, shapely.area(shapes).tolist(), shapes, strict=True):
        if area > 0:
            trail = _landed(ways, region, wet.piece, cell[4])
            yield Start(region.face, region.layer, trail, area, region.share, tile, shape)


def _start_on_level(ways: Ways, region: Region, wet: WetTile, *, alone: bool) -> Start:
    place = _middle(region)
    end = ways.trails.number(End(EndKind.STANDS, wet.piece, wet.face), -1, place)
    if ways.lay.corner.pieces[wet.piece].sheet is Sheet.ABSORBS:
        trail = _landed(ways, region, wet.piece, end)
    else:
        crossing = Crossing(Cause.LEVEL, wet.face, wet.piece, None)
        trail = ways.trails.number(crossing, end, place)
    shape = region.shape
    if not alone:
        shape = shape.intersection(Polygon(_outline(_whole(wet))))
    return Start(region.face, region.layer, trail, shape.area, region.share, wet.index, shape)


Cell = tuple[float, float, Line, Line, int]


def _whole(wet: WetTile) -> Cell:
    t = wet.tile
    return t.left, t.right, t.bottom, t.top, -1


def _cells(ways: Ways, wet: WetTile, column: Column) -> Iterator[Cell]:
    """Parts of a column between events, with one trail each."""
    top = wet.tile.top
    for j, event in enumerate(column.events):
        way = ways.ways[column.first_node + j]
        for left, right, trail in way.parts(column.left, column.right):
            yield left, right, event.line, top, trail
        top = event.line


def _outline(cell: Cell) -> list[tuple[float, float]]:
    left, right, low, high, _ = cell
    l0, l1 = low.at(left), low.at(right)
    h0, h1 = max(high.at(left), l0), max(high.at(right), l1)
    return [(left, l0), (right, l1), (right, h1), (left, h0)]
