"""New pieces at edges: a drip edge under the roof's courses, a base that keeps wood off a slab."""

from __future__ import annotations

import math
from collections.abc import Iterator

from weatherlap.building.corner import Corner, Face, Panel
from weatherlap.job.model import Change, Do, PanelRecord, PieceRecord, Sheet, Side
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.water.kinds import GROUND_UP_TO_DEG, Kind, is_roof, is_wall, kinds_of
from weatherlap.water.newpieces import Remedy, new_id

DECK_LEG_IN = 2.5
"""Leg of a drip edge up the deck. [in]"""
FASCIA_LEG_IN = 1.5
"""Its leg down the fascia. [in]"""
SHORT_OF_NOSE_IN = 0.25
"""How far the roof's courses end behind the nose of the drip edge. [in]"""


def drip_edge(corner: Corner, face: int) -> Iterator[Remedy]:
    """A drip edge along an eave: under underlayment and courses, down over what is on the fascia.

    The courses are cut back so that the metal's nose stands free.
    """
    roof, kinds = corner.faces[face], kinds_of(corner)
    if not is_roof(roof):
        return
    on_roof = [corner.panels[p] for p in corner.panels_on[face]]
    if any(kinds[p.piece] & Kind.DRIP_EDGE for p in on_roof):
        return
    left, low, right, _ = roof.outline.bounds
    legs = [PanelRecord(face=roof.id, rect=(left, low, right, low + DECK_LEG_IN))]
    legs += _past_eave(corner, roof, low)
    over = [p for p in on_roof if kinds[p.piece] & (Kind.ROOFING | Kind.BARRIER | Kind.MEMBRANE)]
    at_nose = [p for p in over if p.polygon.bounds[1] < low + SHORT_OF_NOSE_IN - TOUCH_IN]
    record = PieceRecord(
        id=new_id(corner, "drip-edge"),
        title="new drip edge",
        what="drip-edge",
        drip=True,
        on=tuple(legs),
        behind=_names(corner, [p for p in over if p.polygon.bounds[1] < low + DECK_LEG_IN]),
    )
    cut = tuple(
        Change(
            do=Do.EXTEND,
            piece=corner.pieces[p.piece].id,
            face=roof.id,
            side=Side.BOTTOM,
            by=p.polygon.bounds[1] - low - SHORT_OF_NOSE_IN,
        )
        for p in at_nose
        if kinds[p.piece] & Kind.ROOFING
    )
    text = f"add a drip edge along the eave of the {roof.title}, under its courses"
    yield Remedy((Change(do=Do.ADD, new=record), *cut), text)


def _names(corner: Corner, panels: list[Panel]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(corner.pieces[p.piece].id for p in panels))


def _past_eave(corner: Corner, roof: Face, low: float) -> Iterator[PanelRecord]:
    """The legs past the eave: round the underside of a nose, if there is one, and down a wall."""
    here, line = roof, low
    for _ in range(2):
        step = _level_fold(corner, here, line)
        if step is None:
            return
        face, at = step
        left, foot, right, top = face.outline.bounds
        if is_wall(face):
            yield PanelRecord(face=face.id, rect=(left, max(at - FASCIA_LEG_IN, foot), right, at))
            return
        if not face.looks_down or top - foot > FASCIA_LEG_IN:
            return
        yield PanelRecord(face=face.id, rect=(left, foot, right, top))
        here, line = face, foot if abs(at - top) < TOUCH_IN else top


def _level_fold(corner: Corner, face: Face, line: float) -> tuple[Face, float] | None:
    """The face that folds on along a level line of a face, and where on it. [in]"""
    for contact in corner.contacts_of[face.index]:
        here, there = (contact.start, contact.end), (contact.there_start, contact.there_end)
        level = all(abs(p[1] - line) < TOUCH_IN for p in here)
        if level and abs(there[0][1] - there[1][1]) < TOUCH_IN:
            return corner.faces[contact.there], there[0][1]
    return None


def off_ground(corner: Corner, piece: int, ground: int, lacks_in: float) -> Iterator[Remedy]:
    """Wood cut off at its foot, clear of soil or slab; a post is stood on a metal base. [in]"""
    own = corner.pieces[piece]
    by = math.ceil(lacks_in * 16 - TOUCH_IN) / 16
    feet = [p for p in map(corner.panels.__getitem__, own.panels) if _stands(corner, p)]
    lowest = min((_foot(corner, p) for p in feet), default=0.0)
    feet = [p for p in feet if _foot(corner, p) < lowest + by]
    if not feet or any(p.polygon.bounds[3] - p.polygon.bounds[1] <= 2 * by for p in feet):
        return
    changes = [
        Change(do=Do.EXTEND, piece=own.id, face=f, side=Side.BOTTOM, by=-by)
        for f in dict.fromkeys(corner.faces[p.face].id for p in feet)
    ]
    text = f"cut the foot of the {own.title} off, clear of the {corner.pieces[ground].title}"
    if own.role == "frame":
        if any(_wide(p) for p in feet):
            return
        changes.append(Change(do=Do.ADD, new=_metal_base(corner, own.title, feet, by)))
        text += ", and stand it on a metal base"
    yield Remedy(tuple(changes), text)


def _stands(corner: Corner, panel: Panel) -> bool:
    face = corner.faces[panel.face]
    return face.tilt_deg > GROUND_UP_TO_DEG and not face.looks_down


def _foot(corner: Corner, panel: Panel) -> float:
    """Height of the lowest corner of a panel. [in]"""
    frame = corner.faces[panel.face].frame
    return min(frame.to_space(u, v)[2] for u, v in panel.polygon.exterior.coords)


def _wide(panel: Panel) -> bool:
    u0, v0, u1, v1 = panel.polygon.bounds
    return bool(u1 - u0 > v1 - v0)


def _metal_base(corner: Corner, title: str, feet: list[Panel], high: float) -> PieceRecord:
    legs = []
    for panel in feet:
        u0, v0, u1, _ = panel.polygon.bounds
        legs.append(PanelRecord(face=corner.faces[panel.face].id, rect=(u0, v0, u1, v0 + high)))
    return PieceRecord(
        id=new_id(corner, "post-base"),
        title=f"metal base under the {title}",
        sheet=Sheet.SHEDS,
        passes=0.0,
        on=tuple(legs),
    )
