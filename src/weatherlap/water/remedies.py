"""Remedies: the changes that could cure one crossing, found from its cause and the two pieces."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Polygon

from weatherlap.building.corner import Corner
from weatherlap.job.model import Change, Do, Edge, LineEnd, Sheet, Side
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.water.edgepieces import drip_edge
from weatherlap.water.foldpieces import base_flashing, counter_flashing, shelf_near
from weatherlap.water.hops import Cause, Crossing
from weatherlap.water.newpieces import (
    LAP_IN,
    Remedy,
    cover_bare,
    new_flashing,
    new_sheet,
    panel_on,
    stretched,
    without_joint,
)


def remedies(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> list[Remedy]:
    """The remedies for one crossing that leave alone what the client keeps. [in]"""
    found = list(_BY_CAUSE[crossing.cause](corner, crossing, place))
    return [r for r in found if not _touches_kept(corner, r)]


def _touches_kept(corner: Corner, remedy: Remedy) -> bool:
    named = (corner.piece_named.get(p) for p in remedy.pieces())
    return any(p is not None and p.record.keep for p in named)


def _title(corner: Corner, piece: int) -> str:
    return corner.pieces[piece].title


def _turn(corner: Corner, upper: int, lower: int, face: int) -> Remedy:
    """Lay a piece over another, and over all of its kind that lie over it on the face."""
    up = corner.pieces[upper]
    mine = panel_on(corner, upper, face)
    over = []
    for p in corner.panels_on[face]:
        other = corner.pieces[corner.panels[p].piece]
        alike = other.kind == corner.pieces[lower].kind != up.kind
        if (alike or other.index == lower) and corner.outside(other.index, upper):
            touches = mine is None or mine.polygon.intersects(corner.panels[p].polygon)
            if other.index == lower or touches:
                over.append(other)
    names = list(dict.fromkeys(o.id for o in over))
    changes = tuple(Change(do=Do.TURN, piece=up.id, over=name) for name in names)
    more = f" and {len(names) - 1} more like it" if len(names) > 1 else ""
    return Remedy(changes, f"lay the {up.title} over the {_title(corner, lower)}{more}")


def _turn_one(corner: Corner, upper: int, lower: int, face: int) -> Remedy:
    """Lay a piece over another: that one goes behind it, and behind what lies over it."""
    up, low = corner.pieces[upper], corner.pieces[lower]
    names = [up.id]
    mine = [corner.panels[p].polygon for p in low.panels if corner.panels[p].face == face]
    for other in sorted(_all_over(corner, upper, lower, face)):
        panels = (corner.panels[p] for p in corner.pieces[other].panels)
        laps = any(p.face == face and _lap(p.polygon, m) for p in panels for m in mine)
        if laps and corner.outside(lower, other):
            names.append(corner.pieces[other].id)
    changes = tuple(Change(do=Do.TURN, piece=name, over=low.id) for name in names)
    more = f", and {len(names) - 1} more that lie over it" if len(names) > 1 else ""
    return Remedy(changes, f"lay the {up.title} over the {low.title}{more}")


def _lap(a: Polygon, b: Polygon) -> bool:
    u0, v0, u1, v1 = a.bounds
    w0, x0, w1, x1 = b.bounds
    wide, high = min(u1, w1) - max(u0, w0), min(v1, x1) - max(v0, x0)
    return wide >= TOUCH_IN - 1e-9 and high >= TOUCH_IN - 1e-9 and bool(a.intersects(b))


def _all_over(corner: Corner, piece: int, without: int, face: int) -> set[int]:
    """All pieces that lie over a piece on a face, over those, and so on, but for one."""
    panels = [corner.panels[p] for p in corner.panels_on[face]]
    found: set[int] = set()
    queue = [piece]
    while queue:
        now = queue.pop()
        mine = [p.polygon for p in panels if p.piece == now]
        for p in panels:
            if p.piece in found or p.piece in (without, piece):
                continue
            if corner.outside(p.piece, now) and any(_lap(p.polygon, m) for m in mine):
                found.add(p.piece)
                queue.append(p.piece)
    return found


def _wrong_way(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    """Turn the lap; only against masonry, sealant along the top edge will do instead."""
    del place
    if crossing.upper is None or crossing.lower is None:
        return
    upper, lower = corner.pieces[crossing.upper], corner.pieces[crossing.lower]
    if upper.role == "masonry":
        if not lower.sealed_top:
            change = Change(do=Do.SEAL, piece=lower.id, edge=Edge.TOP)
            yield Remedy((change,), f"seal the top edge of the {lower.title} to the {upper.title}")
        yield from counter_flashing(corner, upper.index, crossing.face)
    elif corner.outside(lower.index, upper.index):
        yield _turn_one(corner, upper.index, lower.index, crossing.face)
        if (all_alike := _turn(corner, upper.index, lower.index, crossing.face)).changes[1:]:
            yield all_alike


def _at_foot(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    """A base flashing, where a roof or a ledge runs up against a wall without one."""
    shelf = shelf_near(corner, crossing.face, place)
    if shelf is not None:
        yield from base_flashing(corner, shelf)


def _too_short(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    yield from _at_foot(corner, crossing, place)
    upper, lower = crossing.upper, crossing.lower
    if upper is None or lower is None:
        return
    face = corner.faces[crossing.face]
    panel, other = panel_on(corner, upper, face.index), panel_on(corner, lower, face.index)
    if panel is None or other is None:
        return
    lap = LAP_IN.get(corner.pieces[upper].sheet, 2.0)
    gap = place[1] - other.polygon.bounds[3]
    by = round((gap + lap) * 16) / 16
    if by <= 0:
        return
    over = corner.outside(upper, lower)
    turn = () if over else _turn_one(corner, upper, lower, face.index).changes
    down = _extend(corner, upper, face.id, Side.BOTTOM, by)
    text = f"bring the {_title(corner, upper)} down over the {_title(corner, lower)}"
    yield Remedy((*turn, down), text)
    up = _extend(corner, lower, face.id, Side.TOP, by)
    text = f"bring the {_title(corner, lower)} up behind the {_title(corner, upper)}"
    yield Remedy((*turn, up), text)


def _extend(corner: Corner, piece: int, face: str, side: Side, by: float) -> Change:
    return Change(do=Do.EXTEND, piece=corner.pieces[piece].id, face=face, side=side, by=by)


def _missing(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    yield from _at_foot(corner, crossing, place)
    if crossing.upper is None:
        yield from cover_bare(corner, crossing)
        yield from stretched(corner, crossing, place)
        return
    panel = panel_on(corner, crossing.upper, crossing.face)
    if panel is None:
        return
    at_fold = _fold_below(corner, crossing.face, place)
    if at_fold is not None:
        yield from new_flashing(corner, crossing, panel, place, at_fold)
    else:
        yield from new_sheet(corner, crossing, panel, place)
    if corner.pieces[crossing.upper].sheet is Sheet.SHEDS:
        yield from cover_bare(corner, crossing)
    yield from without_joint(corner, crossing)
    yield from stretched(corner, crossing, place)


def _fold_below(corner: Corner, face: int, place: tuple[float, float]) -> tuple[int, float] | None:
    """A level fold of a face at a place: the other face, and where the fold lies on it. [in]"""
    u, v = place
    for contact in corner.contacts_of[face]:
        lo, hi = sorted((contact.start[0], contact.end[0]))
        level = abs(contact.start[1] - contact.end[1]) < TOUCH_IN
        if level and lo <= u <= hi and abs(contact.start[1] - v) < 2 * TOUCH_IN:
            there = contact.there_start[1], contact.there_end[1]
            if abs(there[0] - there[1]) < TOUCH_IN:
                return contact.there, there[0]
    return None


def _sealed(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    del place
    if crossing.lower is not None and corner.pieces[crossing.lower].sealed_bottom:
        lower = corner.pieces[crossing.lower]
        change = Change(do=Do.UNSEAL, piece=lower.id, edge=Edge.BOTTOM)
        yield Remedy((change,), f"cut the sealant at the foot of the {lower.title}")


def _no_drip(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    del place
    if crossing.upper is not None and not corner.pieces[crossing.upper].drip:
        upper = corner.pieces[crossing.upper]
        change = Change(do=Do.DRIP, piece=upper.id)
        yield Remedy((change,), f"give the {upper.title} a drip edge")
        if upper.role == "roofing":
            yield from drip_edge(corner, crossing.face)


def _dammed(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    del place
    if crossing.upper is None:
        return
    piece = corner.pieces[crossing.upper]
    for record in piece.record.on:
        for end in record.trough.closed if record.trough else ():
            where = "start" if end is LineEnd.START else "end"
            change = Change(do=Do.OPEN_END, piece=piece.id, face=record.face, end=end)
            yield Remedy((change,), f"open the dammed {where} of the {piece.title}")


def _none(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    del corner, crossing, place
    yield from ()


_BY_CAUSE = {
    Cause.WRONG_WAY: _wrong_way,
    Cause.TOO_SHORT: _too_short,
    Cause.MISSING: _missing,
    Cause.SEALED: _sealed,
    Cause.NO_DRIP: _no_drip,
    Cause.DAMMED: _dammed,
    Cause.OVERFULL: _none,
    Cause.LEVEL: _none,
}
