"""How far a change reaches: one that is made for one place may keep the water out at another."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shapely import Point, Polygon, box

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do
from weatherlap.water.hops import Crossing
from weatherlap.water.newpieces import Remedy, moved_strip

NEAR_IN = 1.0
"""How near to a crossing what a change lays must come to be weighed against it. [in]"""

Placed = tuple[Crossing, tuple[float, float]]
"""A crossing, and where on its face. [in]"""
Laid = list[tuple[int, Polygon]]
"""Face and shape of what a change lays. [in]"""


def laid(corner: Corner, remedy: Remedy) -> Laid:
    """What a remedy lays: new panels, and the strips by which sides are moved out. [in]"""
    return [row for change in remedy.changes for row in _laid(corner, change)]


def _laid(corner: Corner, change: Change) -> Iterator[tuple[int, Polygon]]:
    for panel in change.new.on if change.new is not None else change.on:
        shape = Polygon(panel.outline) if panel.outline else box(*(panel.rect or ()))
        yield corner.face_named[panel.face].index, shape
    if change.do is Do.EXTEND and change.by is not None and change.by > 0:
        piece = corner.piece_named.get(change.piece or "")
        for p in piece.panels if piece is not None else ():
            panel_here = corner.panels[p]
            if corner.faces[panel_here.face].id == change.face:
                yield panel_here.face, moved_strip(panel_here.polygon, change.side, change.by)


def covers(rows: Laid, way: Iterable[Placed]) -> bool:
    """Whether something that is laid lies over a place where the water of a way goes in."""
    return any(
        crossing.face == face and shape.distance(Point(at)) <= NEAR_IN
        for crossing, at in way
        for face, shape in rows
    )
