"""Starts: every area of rain with the trail on which its water sets out."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from weatherlap.job.model import Sheet
from weatherlap.shape.patches import Patch, Trapezoid
from weatherlap.shape.tiles import Line
from weatherlap.water.catch import Region, regions
from weatherlap.water.columns import Column
from weatherlap.water.hops import Cause, Crossing, End, EndKind, Soak
from weatherlap.water.tiling import WetTile
from weatherlap.water.ways import Ways


@dataclass(frozen=True, slots=True)
class Start:
    """Rain on an area of a face that sets out on one trail. [in2]

    ``tile`` is one of the panel where it lands (None in a cavity), ``patch`` the area on the face.
    """

    face: int
    layer: int
    trail: int
    area_in2: float
    share: float
    tile: int | None
    patch: Patch


@dataclass(slots=True)
class Cell:
    """A part of a tile from which all water takes one trail (None: it is on a level top)."""

    tile: int
    left: float
    right: float
    low: Line
    high: Line
    trail: int | None

    @property
    def outline(self) -> Trapezoid:
        """Where it lies. [in]"""
        l0, l1 = self.low.at(self.left), self.low.at(self.right)
        h0, h1 = max(self.high.at(self.left), l0), max(self.high.at(self.right), l1)
        return self.left, self.right, l0, l1, h0, h1


def starts(ways: Ways) -> list[Start]:
    """Every area of rain with the trail it sets out on."""
    cells = _Cells(ways)
    found: list[Start] = []
    for region in regions(ways.lay.corner):
        if region.panel is None:
            trail = _into_cavity(ways, region)
            found.append(_start(region, trail, None, region.patch))
        else:
            found += _starts_on_panel(ways, region, *cells.of_panel(region.panel))
    return found


class _Cells:
    """The cells of each panel, made once."""

    def __init__(self, ways: Ways) -> None:
        self._ways = ways
        self._tiles: dict[int, list[int]] = {}
        for wet in ways.lay.tiling.tiles:
            self._tiles.setdefault(wet.panel, []).append(wet.index)
        self._known: dict[int, tuple[list[Cell], tuple[Trapezoid, ...]]] = {}

    def of_panel(self, panel: int) -> tuple[list[Cell], tuple[Trapezoid, ...]]:
        """The cells of a panel, one for each part of a tile with one trail, and their outlines."""
        if panel not in self._known:
            cells = [c for t in self._tiles[panel] for c in self._of_tile(t)]
            self._known[panel] = cells, tuple(c.outline for c in cells)
        return self._known[panel]

    def _of_tile(self, tile: int) -> Iterator[Cell]:
        wet = self._ways.lay.tiling.tiles[tile]
        columns = self._ways.lay.columns[tile]
        if not columns:
            t = wet.tile
            yield Cell(tile, t.left, t.right, t.bottom, t.top, None)
        for column in columns:
            yield from _cells(self._ways, wet, column)


def _start(region: Region, trail: int, tile: int | None, patch: Patch, even: float = 1.0) -> Start:
    """A start on a part of a region; ``even`` takes up the rounding of the parts. [-]"""
    area = patch.area * even
    if region.more_in2:
        area *= 1.0 + region.more_in2 / region.patch.area
    return Start(region.face, region.layer, trail, area, region.share, tile, patch)


def _middle(region: Region) -> tuple[int, float, float]:
    return region.face, *region.patch.middle()


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


def _starts_on_panel(
    ways: Ways, region: Region, cells: list[Cell], outlines: tuple[Trapezoid, ...]
) -> list[Start]:
    """A region shared out among the trails of its panel; the parts make up the whole."""
    trails = {cell.trail for cell in cells}
    parts = region.patch.parts(outlines) if len(trails) > 1 else []
    if not parts:
        trail = _trail_from(ways, region, cells[0])
        return [_start(region, trail, cells[0].tile, region.patch)]
    whole = sum(patch.area for _, patch in parts)
    even = region.patch.area / whole
    return [
        _start(region, _trail_from(ways, region, cells[n]), cells[n].tile, patch, even)
        for n, patch in parts
    ]


def _trail_from(ways: Ways, region: Region, cell: Cell) -> int:
    wet = ways.lay.tiling.tiles[cell.tile]
    if cell.trail is None:
        return _onto_level(ways, region, wet)
    return _landed(ways, region, wet.piece, cell.trail)


def _onto_level(ways: Ways, region: Region, wet: WetTile) -> int:
    """The trail of rain that lands on a level top: it stands there."""
    place = _middle(region)
    end = ways.trails.number(End(EndKind.STANDS, wet.piece, wet.face), -1, place)
    if ways.lay.corner.pieces[wet.piece].sheet is Sheet.ABSORBS:
        return _landed(ways, region, wet.piece, end)
    crossing = Crossing(Cause.LEVEL, wet.face, wet.piece, None)
    return ways.trails.number(crossing, end, place)


def _cells(ways: Ways, wet: WetTile, column: Column) -> Iterator[Cell]:
    """Parts of a column between events, with one trail each."""
    top = wet.tile.top
    for j, event in enumerate(column.events):
        way = ways.ways[column.first_node + j]
        for left, right, trail in way.parts(column.left, column.right):
            yield Cell(wet.index, left, right, event.line, top, trail)
        top = event.line
