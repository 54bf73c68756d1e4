"""Landing: what water drops onto at the end of a panel, and in which node it goes on."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from dataclasses import dataclass

from weatherlap.job.model import Sheet
from weatherlap.shape.tiles import Line
from weatherlap.water.columns import Column, EventKind, column_index
from weatherlap.water.crossings import crossing_below, crossing_under
from weatherlap.water.hops import Cause, Crossing, End, EndKind, Go, Hop, Soak, Tag
from weatherlap.water.lay import Lay
from weatherlap.water.tiling import LEAST, Span, WetTile, above, cut, shared

SAME = Line(1.0, 0.0)


@dataclass(frozen=True, slots=True)
class Leaving:
    """Water that leaves ``piece`` along ``line`` on ``face``, parameter u over ``span``. [in]"""

    piece: int
    face: int
    line: Line
    span: Span

    def narrowed(self, span: Span) -> Leaving:
        """The same over another span."""
        return Leaving(self.piece, self.face, self.line, span)

    @property
    def middle(self) -> tuple[float, float]:
        """The place in the middle of the span. [in]"""
        u = 0.5 * (self.span[0] + self.span[1])
        return u, self.line.at(u)

    @property
    def at(self) -> tuple[int, float, float]:
        """The face and place in the middle of the span."""
        return self.face, *self.middle


def stop(leaving: Leaving, end: End, tags: tuple[Tag, ...] = ()) -> Hop:
    """A hop that ends the trail."""
    return Hop(*leaving.span, tags, end, leaving.at)


def arrive(
    lay: Lay, leaving: Leaving, tile: int, *, across: Line, up: Line, tags: tuple[Tag, ...] = ()
) -> list[Hop]:
    """The hops of water that arrives on a tile at (across(u), up(u)). [in]"""
    wet = lay.tiling.tiles[tile]
    piece = lay.corner.pieces[wet.piece]
    soaks = piece.sheet is Sheet.ABSORBS and wet.piece != leaving.piece
    if soaks:
        tags = (*tags, Soak(wet.piece, wet.face))
    if lay.corner.faces[wet.face].is_level:
        if not soaks:
            tags = (*tags, Crossing(Cause.LEVEL, wet.face, wet.piece, None))
        return [stop(leaving, End(EndKind.STANDS, wet.piece, wet.face), tags)]
    if lay.corner.faces[wet.face].looks_down:
        return [stop(leaving, End(EndKind.CLING, wet.piece, wet.face), tags)]
    columns = lay.columns[tile]
    if len(columns) == 1 and len(columns[0].events) == 1:
        return [Hop(*leaving.span, tags, Go(columns[0].first_node, across), leaving.at)]
    hops = []
    for span in cut(leaving.span, _seams(lay, tile, across, up)):
        part = leaving.narrowed(span)
        u = 0.5 * (span[0] + span[1])
        column = columns[column_index(columns, across.at(u))]
        node = column.node_at(across.at(u), up.at(u), not_onto=_of_piece(lay, column, leaving))
        hops.append(Hop(*span, tags, Go(node, across), part.at))
    return hops


def _of_piece(lay: Lay, column: Column, leaving: Leaving) -> list[int]:
    """Tiles of the piece that water leaves, among those that a column's water can pass onto."""
    tiles = lay.tiling.tiles
    onto = (e.what for e in column.events if e.kind is EventKind.ONTO)
    return [t for t in onto if tiles[t].piece == leaving.piece]


def _seams(lay: Lay, tile: int, across: Line, up: Line) -> list[float]:
    """Where water that arrives along a line comes into another node. [in]"""
    points: list[float] = []
    for column in lay.columns[tile]:
        if across.slope:
            points.append((column.left - across.rise) / across.slope)
        for event in column.events[:-1]:
            lean = up.slope - event.line.slope * across.slope
            if abs(lean) > 1e-12:
                gap = up.rise - event.line.slope * across.rise - event.line.rise
                points += [-gap / lean, (-gap - LEAST) / lean]
    return points


@dataclass(frozen=True, slots=True)
class Around:
    """Tiles at the place that water leaves from: where each one can take or cover it."""

    takers: list[tuple[Span, int]]
    sealed: list[tuple[Span, int]]
    covers: list[tuple[Span, int]]

    def points(self) -> list[float]:
        """All ends of the spans. [in]"""
        rows = (*self.takers, *self.sealed, *self.covers)
        return [u for span, _ in rows for u in span]


def at_each(rows: list[tuple[Span, int]], parts: list[Span]) -> list[list[int]]:
    """For each of the parts, from left to right, the tiles whose span holds its middle."""
    found: list[list[int]] = [[] for _ in parts]
    middles = [0.5 * (lo + hi) for lo, hi in parts]
    for (lo, hi), t in rows:
        for k in range(bisect_left(middles, lo), bisect_right(middles, hi)):
            found[k].append(t)
    return found


def _reaching(wet: WetTile, leaving: Leaving, *, over: float, under: float) -> Span | None:
    """Where a tile reaches ``over`` above and ``under`` below the line. [in]"""
    tile, line = wet.tile, leaving.line
    span = shared(leaving.span, (tile.left, tile.right))
    if not (tile.top.slope or tile.bottom.slope or line.slope):
        level = line.rise
        reaches = tile.top.rise - level - over >= 0 and level - tile.bottom.rise - under >= 0
        return span if reaches else None
    span = above(wet.tile.top, leaving.line, over, span) if span else None
    return above(leaving.line, wet.tile.bottom, under, span) if span else None


def _taking(wet: WetTile, leaving: Leaving) -> Span | None:
    return _reaching(wet, leaving, over=LEAST, under=LEAST)


def look_around(lay: Lay, leaving: Leaving, over: list[int], under: list[int]) -> Around:
    """Which tiles take, cover or catch (by a sealed top) the water that leaves a panel."""
    tiles, pieces = lay.tiling.tiles, lay.corner.pieces
    low, high = leaving.span
    over, under = (
        [t for t in rows if tiles[t].tile.left <= high and tiles[t].tile.right >= low]
        for rows in (over, under)
    )
    takers = [(s, t) for t in under if (s := _taking(tiles[t], leaving))]
    covers = [(s, t) for t in over if (s := _taking(tiles[t], leaving))]
    sealed: list[tuple[Span, int]] = []
    for t in (*over, *under):
        if pieces[tiles[t].piece].sealed_top:
            span = _reaching(tiles[t], leaving, over=-LEAST, under=LEAST)
            span = above(leaving.line, tiles[t].tile.top, -LEAST, span) if span else None
            if span:
                sealed.append((span, t))
    return Around(takers, sealed, covers)


def drop(
    lay: Lay, leaving: Leaving, over: list[int], under: list[int], *, from_trough: bool = False
) -> list[Hop]:
    """Rule 3: water at the end of a panel drops to the outermost panel inside it, or a cavity.

    A piece sealed at its top, whose top edge meets the place, takes the water instead.
    """
    around = look_around(lay, leaving, over, under)
    spans = cut(leaving.span, around.points())
    sides = (at_each(rows, spans) for rows in (around.takers, around.sealed, around.covers))
    hops: list[Hop] = []
    for span, *here in zip(spans, *sides, strict=True):
        hops += _drop_here(lay, leaving.narrowed(span), *here, from_trough=from_trough)
    return hops


def _drop_here(
    lay: Lay,
    leaving: Leaving,
    takers: list[int],
    sealed: list[int],
    covers: list[int],
    *,
    from_trough: bool,
) -> list[Hop]:
    tiling = lay.tiling
    landing = tiling.outermost(takers) if takers else None
    inner = None if landing is None else tiling.tiles[landing].piece
    caught = [
        t for t in sealed if inner is None or lay.corner.outside(tiling.tiles[t].piece, inner)
    ]
    if caught:
        return arrive(lay, leaving, tiling.outermost(caught), across=SAME, up=leaving.line)
    crossing = crossing_under(
        tiling, leaving.face, leaving.piece, covers, from_trough=from_trough
    ) or crossing_below(tiling, leaving.face, leaving.piece, inner, leaving.middle)
    tags: tuple[Tag, ...] = (crossing,) if crossing else ()
    if landing is None:
        return [stop(leaving, End(EndKind.CAVITY, None, leaving.face), tags)]
    return arrive(lay, leaving, landing, across=SAME, up=leaving.line, tags=tags)
