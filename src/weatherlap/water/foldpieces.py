"""New pieces where a roof or a ledge runs up against a wall: base flashing, diverter, counter."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import shapely
from shapely import LineString, Polygon, box
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Panel, Piece
from weatherlap.job.model import Change, Do, Edge, PanelRecord, PieceRecord, Side
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Place
from weatherlap.water.kinds import SIDING_OR_TRIM, Kind, is_roof, kinds_of
from weatherlap.water.newpieces import Remedy, new_id
from weatherlap.water.shelves import Shelf, shelves, strip_above

LEG_IN = 4.0
"""Leg of a base flashing up the wall and out on the roof. [in]"""
COUNTER_IN = (1.0, 6.0)
"""Foot and top of a counter flashing over the roof, square to it. [in]"""
DIVERTER_UP_IN = 4.25
DIVERTER_ALONG_IN = 6.0
DIVERTER_DOWN_IN = 5.75
DIVERTER_PAST_IN = 1.25
NEAR_IN = 12.0
LEAST_AREA_SQIN = 0.25
_OUTER_SKIN = SIDING_OR_TRIM | Kind.CHANNEL | Kind.OPENING
_INNER_ROOF = Kind.BARRIER | Kind.MEMBRANE | Kind.ABSORBS | Kind.WOODEN


def panel_record(face: str, shape: BaseGeometry) -> PanelRecord:
    """The record of a panel: a rect where it is one, else its outline. [in]"""
    part = max(_parts(shape), key=lambda p: p.area)
    part = Polygon(shapely.simplify(part, 1e-6).exterior)
    u0, v0, u1, v1 = (round(x, 4) for x in part.bounds)
    if abs(part.area - (u1 - u0) * (v1 - v0)) < 1e-3:
        return PanelRecord(face=face, rect=(u0, v0, u1, v1))
    corners = tuple((round(u, 4), round(v, 4)) for u, v in part.exterior.coords[:-1])
    return PanelRecord(face=face, outline=corners)


def _parts(shape: BaseGeometry) -> Iterable[Polygon]:
    return [p for p in shapely.get_parts(shape) if isinstance(p, Polygon)]


def shelf_near(corner: Corner, face: int, place: Place) -> Shelf | None:
    """The foot of a wall nearest to a place, on the wall's face or on the lower one. [in]"""
    best: tuple[float, Shelf] | None = None
    for shelf in shelves(corner):
        line = {shelf.wall: shelf.wall_line, shelf.low: shelf.low_line}.get(face)
        far = NEAR_IN if line is None else float(line.distance(shapely.Point(place)))
        if far < NEAR_IN and (best is None or far < best[0]):
            best = far, shelf
    return None if best is None else best[1]


def base_flashing(corner: Corner, shelf: Shelf) -> Iterator[Remedy]:
    """A flashing bent round the fold, up behind what ends above it and out on the lower face.

    Beside a slope it lies under the roof's courses, at the head of one over them.
    """
    if any(_bent_round(corner, piece, shelf) for piece in corner.pieces):
        return
    up = _on_wall(corner, shelf, LEG_IN)
    out = _on_low(corner, shelf, LEG_IN)
    behind = _ends_above(corner, shelf.wall, up)
    if shelf.slopes and is_roof(corner.faces[shelf.low]):
        behind += _courses(corner, shelf.low, out)
    record = _record(corner, "flashing", "new base flashing", "apron-flashing",
                     ((shelf.wall, up), (shelf.low, out)), behind)  # fmt: skip
    where = corner.faces[shelf.low].title
    text = f"add a base flashing where the {where} meets the {corner.faces[shelf.wall].title}"
    yield Remedy((Change(do=Do.ADD, new=record),), text)


def _bent_round(corner: Corner, piece: Piece, shelf: Shelf) -> bool:
    """Whether a piece is a flashing with legs on both sides of a fold."""
    own = {corner.panels[p].face for p in piece.panels}
    return piece.role == "flashing" and {shelf.wall, shelf.low} <= own


def _on_wall(corner: Corner, shelf: Shelf, high: float) -> BaseGeometry:
    strip = strip_above(shelf.on_wall, reach_in=high)
    return strip.intersection(corner.faces[shelf.wall].outline)


def _on_low(corner: Corner, shelf: Shelf, far: float) -> BaseGeometry:
    outline = corner.faces[shelf.low].outline
    sides = (strip_above(shelf.on_low, reach_in=by) for by in (far, -far))
    return max((s.intersection(outline) for s in sides), key=lambda s: s.area)


def _over(corner: Corner, face: int, shape: BaseGeometry) -> Iterator[Panel]:
    """Panels on a face that lie over or under a shape, told by their boxes as laps are. [in]"""
    u0, v0, u1, v1 = shape.bounds
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        w0, x0, w1, x1 = panel.polygon.bounds
        if min(u1, w1) - max(u0, w0) >= TOUCH_IN and min(v1, x1) - max(v0, x0) >= TOUCH_IN:
            yield panel


def _ends_above(corner: Corner, wall: int, leg: BaseGeometry) -> list[str]:
    """What comes down over the upright leg of a flashing: siding, and sheets that end above it."""
    kinds = kinds_of(corner)
    left, foot, right, _ = leg.bounds
    names = []
    for panel in _over(corner, wall, leg):
        piece = corner.pieces[panel.piece]
        kind = kinds[piece.index]
        beside = panel.polygon.intersection(box(left, panel.polygon.bounds[1], right, foot))
        sheet = kind & (Kind.BARRIER | Kind.MEMBRANE | Kind.RESISTS)
        if kind & _OUTER_SKIN or (sheet and beside.area < LEAST_AREA_SQIN):
            names.append(piece.id)
    return names


def _courses(corner: Corner, face: int, shape: BaseGeometry) -> list[str]:
    """What lies on a roof over its underlayment where a shape is."""
    kinds = kinds_of(corner)
    panels = _over(corner, face, shape)
    return [corner.pieces[p.piece].id for p in panels if not kinds[p.piece] & _INNER_ROOF]


def _record(
    corner: Corner,
    stem: str,
    title: str,
    what: str,
    panels: tuple[tuple[int, BaseGeometry], ...],
    behind: Iterable[str],
) -> PieceRecord:
    return PieceRecord(
        id=new_id(corner, stem),
        title=title,
        what=what,
        drip=True,
        on=tuple(panel_record(corner.faces[face].id, shape) for face, shape in panels),
        behind=tuple(dict.fromkeys(behind)),
    )


def diverter(corner: Corner, face: int, foot: Place) -> Iterator[Remedy]:
    """A diverter where an eave ends at a wall that goes on: behind siding and upper sheet. [in]

    Its upright leg goes up the wall along the roof, and down past the eave over the gutter's end.
    """
    shelf = next(
        (s for s in shelves(corner) if s.wall == face and math.dist(s.on_wall[1], foot) < TOUCH_IN),
        None,
    )
    if shelf is None:
        return
    (a, _), (c, d) = shelf.on_wall
    ahead = math.copysign(1.0, a - c)
    top = shelf.wall_line.interpolate(max(shelf.length_in - DIVERTER_ALONG_IN, 0.0))
    past = c - ahead * DIVERTER_PAST_IN
    leg = Polygon(
        [
            (past, d - DIVERTER_DOWN_IN),
            (c, d - DIVERTER_DOWN_IN),
            (c, d),
            (top.x, top.y),
            (top.x, top.y + DIVERTER_UP_IN),
            (past, d + DIVERTER_UP_IN - 0.25),
        ]
    ).intersection(corner.faces[face].outline)
    behind = _ends_above(corner, face, leg)
    behind += [
        corner.pieces[p.piece].id
        for p in _over(corner, face, leg)
        if _bent_round(corner, corner.pieces[p.piece], shelf)
    ]
    record = _record(corner, "diverter", "new diverter", "kick-out", ((face, leg),), behind)
    text = f"add a diverter where the eave ends at the {corner.faces[face].title}"
    yield Remedy((Change(do=Do.ADD, new=record),), text)


def taller(corner: Corner, pieces: Iterable[tuple[int, int, float]]) -> Iterator[Remedy]:
    """Flashings with too short a leg, all replaced by ones whose leg is long enough.

    Parameters
    ----------
    pieces : (piece, wall, by)
        Each flashing, the face of its short leg and what the leg lacks. [-, -, in]
    """
    rows = list(pieces)
    changes = tuple(_replaced(corner, *row) for row in rows)
    if not rows or any(c is None for c in changes):
        return
    first = corner.pieces[rows[0][0]]
    more = f" and {len(rows) - 1} more like it" if len(rows) > 1 else ""
    text = f"replace the {first.title}{more} by longer metal, with legs as high as is asked"
    yield Remedy(tuple(c for c in changes if c is not None), text)


def _replaced(corner: Corner, piece: int, wall: int, by: float) -> Change | None:
    own = corner.pieces[piece]
    legs = [corner.panels[p].face for p in own.panels]
    shelf = next((s for s in shelves(corner) if s.wall == wall and s.low in legs), None)
    if shelf is None:
        return None
    (a, b), (c, d) = shelf.on_wall
    plumb = by * math.dist((a, b), (c, d)) / abs(a - c) if abs(a - c) > TOUCH_IN else by
    on = []
    for p in own.panels:
        panel = corner.panels[p]
        shape: BaseGeometry = panel.polygon
        if panel.face == wall:
            shape = _raised(panel.polygon, shelf.wall_line, math.ceil(plumb * 16) / 16)
            shape = shape.intersection(corner.faces[wall].outline)
        on.append(panel_record(corner.faces[panel.face].id, shape))
    return Change(do=Do.REPLACE, piece=own.id, title=f"new {own.title}", on=tuple(on))


def _raised(shape: Polygon, line: LineString, by: float) -> Polygon:
    """A leg made higher: its corners off the fold are moved up. [in]"""
    far = max(line.distance(shapely.Point(p)) for p in shape.exterior.coords)
    corners = [
        (u, v + by) if line.distance(shapely.Point(u, v)) > far / 2 else (u, v)
        for u, v in shape.exterior.coords[:-1]
    ]
    return Polygon(corners)


def cut_clear(corner: Corner, piece: int, shelf: Shelf, clear_in: float) -> Iterator[Remedy]:
    """Siding or trim cut back so that it stands clear of the roof or flashing below. [in]"""
    own, face = corner.pieces[piece], shelf.wall
    text = f"cut the {own.title} back, clear of what it comes down on"
    off = _cut_straight(corner, own, shelf, clear_in)
    if off is not None:
        yield Remedy((off,), text)
        return
    on, cut = [], False
    for p in own.panels:
        panel = corner.panels[p]
        shape: BaseGeometry = panel.polygon
        if panel.face == face:
            shape = shape.difference(_zone(shelf.on_wall, clear_in))
        if not _parts(shape):
            return
        cut |= shape.area < panel.polygon.area - LEAST_AREA_SQIN / 4
        on.append(panel_record(corner.faces[panel.face].id, shape))
    if cut and all(r.trough is None for r in own.record.on):
        title = f"{own.title}, cut clear"
        change = Change(do=Do.REPLACE, piece=own.id, title=title, on=tuple(on))
        yield Remedy((change,), text)


def _cut_straight(corner: Corner, piece: Piece, shelf: Shelf, clear_in: float) -> Change | None:
    """The straight cut that is enough over a level fold; the piece stays the same one. [in]"""
    mine = [corner.panels[p].polygon for p in piece.panels if corner.panels[p].face == shelf.wall]
    if shelf.slopes or len(mine) != 1:
        return None
    left, foot, right, top = mine[0].bounds
    rest = mine[0].difference(_zone(shelf.on_wall, clear_in))
    u0, v0, u1, v1 = rest.bounds
    level = abs(rest.area - (right - left) * (top - v0)) < LEAST_AREA_SQIN
    if not level or (u0, u1, v1) != (left, right, top) or v0 <= foot:
        return None
    face = corner.faces[shelf.wall].id
    return Change(do=Do.EXTEND, piece=piece.id, face=face, side=Side.BOTTOM, by=foot - v0)


def _zone(line: tuple[Place, Place], clear_in: float) -> Polygon:
    """What is to stay free along a fold and past its ends, with 1/16 in for the saw. [in]"""
    far = math.ceil(clear_in * 16 + 1) / 16
    return LineString(line).buffer(far, cap_style="square", join_style="mitre")


def counter_flashing(corner: Corner, masonry: int, face: int) -> Iterator[Remedy]:
    """A counter flashing let into a joint of the masonry and pointed, over the step flashing.

    One that is there is taken again where it reaches down far enough, else it is replaced.
    """
    shelf = next((s for s in shelves(corner) if s.wall == face), None)
    if shelf is None:
        return
    low, high = COUNTER_IN
    shape = _plumb_band(shelf, low, high).intersection(corner.faces[face].outline)
    old = next(
        (
            corner.pieces[p.piece]
            for p in _over(corner, face, shape)
            if corner.pieces[p.piece].role == "flashing"
            and not _bent_round(corner, corner.pieces[p.piece], shelf)
            and corner.outside(p.piece, masonry)
        ),
        None,
    )
    title = corner.pieces[masonry].title
    if old is None:
        record = _record(corner, "counter", "new counter flashing", "counter-flashing",
                         ((face, shape),), ())  # fmt: skip
        record = record.model_copy(update={"sealed": (Edge.TOP,)})
        text = f"add a counter flashing, let into a joint of the {title} and pointed"
        yield Remedy((Change(do=Do.ADD, new=record),), text)
        return
    yield from _counter_again(corner, old, face, shape, title)


def _plumb_band(shelf: Shelf, low: float, high: float) -> Polygon:
    """A band along a fold with plumb ends. [in]"""
    (a, b), (c, d) = shelf.on_wall
    plumb = shelf.length_in / abs(a - c)
    foot, top = low * plumb, high * plumb
    return Polygon([(a, b + foot), (c, d + foot), (c, d + top), (a, b + top)])


def _counter_again(
    corner: Corner, old: Piece, face: int, shape: BaseGeometry, masonry: str
) -> Iterator[Remedy]:
    changes: list[Change] = []
    own = [corner.panels[p].polygon for p in old.panels if corner.panels[p].face == face]
    reaches = shapely.union_all(own).buffer(TOUCH_IN).covers(shape)
    if not reaches:
        on = (panel_record(corner.faces[face].id, shape),)
        changes.append(Change(do=Do.REPLACE, piece=old.id, title=f"new {old.title}", on=on))
    if not old.sealed_top:
        changes.append(Change(do=Do.SEAL, piece=old.id, edge=Edge.TOP))
    let_in = f"let it into a joint of the {masonry} and point it"
    text = f"take the {old.title} off and {let_in}"
    if not reaches:
        text = f"replace the {old.title} by one that reaches over the step flashing, {let_in}"
    if changes:
        yield Remedy(tuple(changes), text)
