"""New pieces that a carpenter would put in: flashings, sheets, pans, sound trim."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Polygon, box

from weatherlap.building.corner import Corner, Panel, Piece
from weatherlap.job.model import Change, Do, PanelRecord, PieceRecord, Sheet, Side
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.water.crossings import stops
from weatherlap.water.hops import Crossing

LAP_IN = {Sheet.RESISTS: 2.0, Sheet.SHEDS: 2.0}
"""Lap that an extension or a new sheet is given, by what the piece does with water. [in]"""
LEG_IN = 4.0
"""Leg of a new flashing on each side of a fold. [in]"""
NARROW_IN = 8.0
"""A face of no more depth than this is covered whole by a new flashing. [in]"""
DRIP_LEG_IN = 2.0
"""Leg of a new flashing down the front of a narrow face. [in]"""
NEW_SHEET = "new barrier"
"""Title of a new sheet; no other is put under it.  One that does not reach is the wrong one."""
OVER_PANS = ("window-frame", "window-glass", "door-unit")
"""What stands in an opening, over a pan that takes the water it lets by."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """Changes that belong together, and what they do in a few words."""

    changes: tuple[Change, ...]
    text: str

    @property
    def key(self) -> str:
        """A name that is the same for the same changes."""
        return "|".join(c.model_dump_json(exclude_defaults=True) for c in self.changes)

    def pieces(self) -> set[str]:
        """Ids of the pieces that must be got at."""
        names = {c.piece for c in self.changes} | {c.over for c in self.changes}
        return {n for n in names if n is not None}


def panel_on(corner: Corner, piece: int, face: int) -> Panel | None:
    """The panel of a piece on a face, or None."""
    own = (corner.panels[p] for p in corner.pieces[piece].panels)
    return next((p for p in own if p.face == face), None)


def new_id(corner: Corner, stem: str) -> str:
    """An id that no piece has."""
    number = 1
    while f"{stem}-{number}" in corner.piece_named:
        number += 1
    return f"{stem}-{number}"


def outer_at(corner: Corner, piece: int, face: int, box: tuple[float, ...]) -> tuple[str, ...]:
    """Ids of the pieces on a face that lie outside a piece (itself too) where a box is. [in]"""
    names = []
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        u0, v0, u1, v1 = panel.polygon.bounds
        apart = u0 >= box[2] or u1 <= box[0] or v0 >= box[3] or v1 <= box[1]
        same = panel.piece == piece
        if not apart and (same or corner.outside(panel.piece, piece)):
            names.append(corner.pieces[panel.piece].id)
    return tuple(dict.fromkeys(names))


def moved_strip(shape: Polygon, side: Side | None, by: float) -> Polygon:
    """The strip that a side moves over, out (by over 0) or in, along the whole of its box. [in]"""
    u0, v0, u1, v1 = shape.bounds
    low, high = min(by, 0.0), max(by, 0.0)
    return {
        Side.TOP: box(u0, v1 + low, u1, v1 + high),
        Side.BOTTOM: box(u0, v0 - high, u1, v0 - low),
        Side.LEFT: box(u0 - high, v0, u0 - low, v1),
    }.get(side or Side.RIGHT, box(u1 + low, v0, u1 + high, v1))


def new_flashing(
    corner: Corner,
    crossing: Crossing,
    panel: Panel,
    place: tuple[float, float],
    fold: tuple[int, float],
) -> Iterator[Remedy]:
    """A flashing round the fold: up behind the piece above, out over what lies on the next face.

    A narrow next face (a ledger's top, a sill) is covered whole, with a drip leg down its front.
    """
    assert crossing.upper is not None
    face, (there, v_there) = corner.faces[crossing.face], fold
    u0, _, u1, _ = panel.polygon.bounds
    upper = corner.pieces[crossing.upper]
    up_leg = (u0, place[1], u1, place[1] + LEG_IN)
    legs = [PanelRecord(face=face.id, rect=up_leg)]
    legs += _legs_beyond(corner, there, v_there, (u0, u1))
    record = PieceRecord(
        id=new_id(corner, "flashing"),
        title="new flashing",
        what="apron-flashing",
        drip=True,
        on=tuple(legs),
        behind=outer_at(corner, upper.index, face.index, up_leg),
    )
    change = Change(do=Do.ADD, new=record)
    yield Remedy((change,), f"add a flashing round the fold, up behind the {upper.title}")


def _legs_beyond(
    corner: Corner, face: int, v_fold: float, across: tuple[float, float]
) -> Iterator[PanelRecord]:
    """The legs of a new flashing past a fold, on the next face and a narrow one's front. [in]"""
    w0, low, w1, top = corner.faces[face].outline.bounds
    left, right = max(across[0], w0), min(across[1], w1)
    narrow = top - low <= NARROW_IN
    foot = low if narrow else v_fold - LEG_IN
    yield PanelRecord(face=corner.faces[face].id, rect=(left, foot, right, v_fold))
    if not narrow:
        return
    for contact in corner.contacts_of[face]:
        front = corner.faces[contact.there]
        level = abs(contact.start[1] - low) + abs(contact.end[1] - low) < TOUCH_IN
        if level and not front.looks_down and not contact.inside_there:
            edge = contact.there_start[1]
            yield PanelRecord(face=front.id, rect=(left, edge - DRIP_LEG_IN, right, edge))
            return


def new_sheet(
    corner: Corner, crossing: Crossing, panel: Panel, place: tuple[float, float]
) -> Iterator[Remedy]:
    """A sheet under the piece above and over what comes next below, or to the foot of the face."""
    assert crossing.upper is not None
    face = corner.faces[crossing.face]
    u0, _, u1, _ = panel.polygon.bounds
    upper = corner.pieces[crossing.upper]
    tops = [
        corner.panels[p].polygon.bounds[3]
        for p in corner.panels_on[face.index]
        if stops(corner.pieces[corner.panels[p].piece])
        and not corner.outside(corner.panels[p].piece, upper.index)
        and corner.panels[p].piece != upper.index
        and corner.panels[p].polygon.bounds[3] <= place[1] + TOUCH_IN
    ]
    lap = LAP_IN[Sheet.RESISTS]
    low = max([t - lap for t in tops], default=face.outline.bounds[1])
    box = (u0, max(low, face.outline.bounds[1]), u1, place[1] + lap)
    if upper.title == NEW_SHEET:
        return
    if upper.record.what in OVER_PANS:
        yield _pan(corner, upper.index, face.index, box)
    else:
        yield _barrier(corner, upper.index, face.index, box, f"under the {upper.title}")


def _pan(corner: Corner, under: int, face: int, box: tuple[float, ...]) -> Remedy:
    record = PieceRecord(
        id=new_id(corner, "sill-pan"),
        title="new sill pan",
        what="sill-pan",
        passes=0.0,
        on=(PanelRecord(face=corner.faces[face].id, rect=(box[0], box[1], box[2], box[3])),),
        behind=outer_at(corner, under, face, box),
    )
    text = f"add a sill pan, with end dams and a back dam, under the {corner.pieces[under].title}"
    return Remedy((Change(do=Do.ADD, new=record),), text)


def _barrier(
    corner: Corner, inside_of: int, face: int, box: tuple[float, ...], where: str
) -> Remedy:
    record = PieceRecord(
        id=new_id(corner, "barrier"),
        title=NEW_SHEET,
        sheet=Sheet.RESISTS,
        on=(PanelRecord(face=corner.faces[face].id, rect=(box[0], box[1], box[2], box[3])),),
        behind=outer_at(corner, inside_of, face, box),
    )
    return Remedy((Change(do=Do.ADD, new=record),), f"add a barrier sheet {where}")


def cover_bare(corner: Corner, crossing: Crossing) -> Iterator[Remedy]:
    """A barrier over all of a bare piece of wood, behind whatever lies outside it."""
    if crossing.lower is None:
        return
    wood = corner.pieces[crossing.lower]
    if wood.sheet is not Sheet.ABSORBS:
        return
    faces = corner.face_named
    legs = tuple(
        PanelRecord(face=p.face, rect=p.rect, outline=p.outline)
        for p in wood.record.on
        if not faces[p.face].looks_down
    )
    outer: list[str] = []
    for leg in legs:
        panel = panel_on(corner, wood.index, faces[leg.face].index)
        if panel is not None:
            outer += outer_at(corner, wood.index, panel.face, panel.polygon.bounds)
    record = PieceRecord(
        id=new_id(corner, "barrier"),
        title=NEW_SHEET,
        sheet=Sheet.RESISTS,
        drip=True,
        on=legs,
        behind=tuple(n for n in dict.fromkeys(outer) if n != wood.id),
    )
    change = Change(do=Do.ADD, new=record)
    yield Remedy((change,), f"cover the {wood.title} with a barrier sheet")


def without_joint(corner: Corner, crossing: Crossing) -> Iterator[Remedy]:
    """A piece of trim right over wood that lets rain by: a new one, without joint or split."""
    if crossing.upper is None or crossing.lower is None:
        return
    upper, wood = corner.pieces[crossing.upper], corner.pieces[crossing.lower]
    single = upper.role == "trim" and upper.record.run is None
    if single and upper.passes > 0 and wood.sheet is Sheet.ABSORBS:
        change = Change(
            do=Do.REPLACE, piece=upper.id, passes=0.0, title=f"new {upper.title}, without a joint"
        )
        yield Remedy((change,), f"replace the {upper.title} by a sound one without a joint")


def over_all(corner: Corner, flashing: Piece, face: int) -> Iterator[Remedy]:
    """A flashing as long as the face that it should keep dry, with the same legs."""
    mine = [
        corner.panels[p].polygon.bounds for p in flashing.panels if corner.panels[p].face == face
    ]
    if not mine or any(p.rect is None for p in flashing.record.on):
        return
    edge = corner.faces[face].outline.bounds
    left, right = min(b[0] for b in mine) - edge[0], edge[2] - max(b[2] for b in mine)
    if max(left, right) <= TOUCH_IN:
        return
    legs = tuple(
        p.model_copy(update={"rect": (p.rect[0] - left, p.rect[1], p.rect[2] + right, p.rect[3])})
        for p in flashing.record.on
        if p.rect is not None
    )
    change = Change(do=Do.REPLACE, piece=flashing.id, title=f"new {flashing.title}", on=legs)
    where = corner.faces[face].title
    yield Remedy((change,), f"replace the {flashing.title} by one over all of the {where}")


def stretched(corner: Corner, crossing: Crossing, place: tuple[float, float]) -> Iterator[Remedy]:
    """Flashings round a fold that stop beside a place, made as long as the face."""
    for p in corner.panels_on[crossing.face]:
        panel = corner.panels[p]
        piece = corner.pieces[panel.piece]
        u0, low, u1, top = panel.polygon.bounds
        beside = not u0 <= place[0] <= u1 and low - LEG_IN <= place[1] <= top + LEG_IN
        if piece.role == "flashing" and len(piece.panels) > 1 and beside:
            for face in sorted({corner.panels[q].face for q in piece.panels}):
                if corner.faces[face].outline.bounds[3] <= NARROW_IN:
                    yield from over_all(corner, piece, face)
                    return
