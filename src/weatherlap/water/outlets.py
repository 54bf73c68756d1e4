"""Outlets: where the water of a trough leaves it."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import LineString, Point

from weatherlap.shape.frames import Place
from weatherlap.shape.tiles import Line
from weatherlap.water.falling import fall
from weatherlap.water.hops import Cause, Crossing, End, EndKind, Hop, Tag
from weatherlap.water.landing import SAME, Leaving, arrive, drop
from weatherlap.water.lay import Lay
from weatherlap.water.tiling import LEAST


@dataclass(frozen=True, slots=True)
class Outlet:
    """A place where a trough lets its water out, with the share it gets. [-]"""

    share: float
    hops: list[Hop]


def trough_fall_in(lay: Lay, number: int) -> float:
    """How much lower the end of a trough's line is than its start; 0 under 1/16 in. [in]"""
    index, trough = lay.troughs[number]
    rise = lay.corner.faces[lay.corner.panels[index].face].frame.up[2]
    fall_in = (trough.start[1] - trough.end[1]) * rise
    return fall_in if abs(fall_in) > LEAST else 0.0


def outlets(lay: Lay, number: int) -> list[Outlet]:
    """Rule 5: a trough's outlets: its low end, or each open end of a level one.

    Empty where a level trough has both ends dammed: it spills where the water comes in.
    """
    index, trough = lay.troughs[number]
    panel = lay.corner.panels[index]
    fall_in = trough_fall_in(lay, number)
    ends = [(trough.start, trough.closed_start), (trough.end, trough.closed_end)]
    if fall_in:
        place, closed = ends[1] if fall_in > 0 else ends[0]
        way_out = _over_dam if closed else _out
        return [Outlet(1.0, way_out(lay, panel.piece, panel.face, place))]
    ways = [place for place, closed in ends if not closed]
    return [Outlet(1.0 / len(ways), _out(lay, panel.piece, panel.face, p)) for p in ways]


def _level(v: float) -> Line:
    return Line(0.0, v)


def _out(lay: Lay, piece: int, face: int, place: Place) -> list[Hop]:
    """Water leaves a trough's end by rule 3; where nothing is there, off a free rim it falls."""
    tiles, corner = lay.tiling.tiles, lay.corner
    u, v = place
    leaving = Leaving(piece, face, _level(v), (u, u))
    near = [t for t in lay.tiling.near(face, (u, v, u, v)) if tiles[t].piece != piece]
    over = [t for t in near if corner.outside(tiles[t].piece, piece)]
    under = [t for t in near if not corner.outside(tiles[t].piece, piece)]
    hops = drop(lay, leaving, over, under, from_trough=True)
    goal = hops[0].goal
    if isinstance(goal, End) and goal.kind is EndKind.CAVITY and _on_free_rim(lay, face, place):
        return fall(lay, leaving)
    return hops


def _over_dam(lay: Lay, piece: int, face: int, place: Place) -> list[Hop]:
    """Water that meets the dammed low end of a trough spills over the lip there."""
    tiles = lay.tiling.tiles
    u, v = place
    leaving = Leaving(piece, face, _level(v), (u, u))
    own = [
        t
        for t in lay.tiling.near(face, (u, v, u, v))
        if tiles[t].piece == piece and tiles[t].tile.holds(u, v, slack=LEAST)
    ]
    if not own:
        return _out(lay, piece, face, place)
    tags: tuple[Tag, ...] = (Crossing(Cause.DAMMED, face, piece, None),)
    tile = min(own, key=lambda t: (not tiles[t].tile.holds(u, v - 2 * LEAST), t))
    return arrive(lay, leaving, tile, across=SAME, up=_level(v - 2 * LEAST), tags=tags)


def _on_free_rim(lay: Lay, face: int, place: Place) -> bool:
    """Whether a place lies on the rim of a face where no other face begins."""
    spot = Point(place)
    if lay.corner.faces[face].outline.boundary.distance(spot) > LEAST:
        return False
    return all(
        LineString([c.start, c.end]).distance(spot) > LEAST for c in lay.corner.contacts_of[face]
    )
