"""What a cover is held by and where it laps, in words."""

from __future__ import annotations

from shapely import Point

from weatherlap.building.corner import Corner, Face
from weatherlap.order.sheeting import Box
from weatherlap.units import tape

COVER_LAP_IN = 6.0
"""How far a cover reaches past what it covers. Common practice, no source. [in]"""
STEEP_DEG = 60.0
"""From this tilt on a cover hangs, below it lies. Own choice. [degrees]"""
LYING_DEG = 9.5
"""Up to this tilt (2 in 12) a cover is only weighed down. Own choice. [degrees]"""


def cover_words(corner: Corner, face: Face, box: Box) -> str:
    """Where a cover goes, how its head is closed and what holds it."""
    left, low, right, top = box
    edge = face.outline.bounds
    where = (
        f"from {tape(left - edge[0])} to {tape(right - edge[0])} right and from "
        f"{tape(low - edge[1])} to {tape(top - edge[1])} up"
    )
    if face.looks_down:
        return (
            f"Hold a cover under the {face.title}, {where}, with a batten along each edge "
            "screwed into framing."
        )
    round_it = _round_words(corner, face, box)
    head = _head_words(corner, face, box)
    if face.tilt_deg >= STEEP_DEG:
        return (
            f"Hang a cover on the {face.title} {where}: {head}, with a batten along it screwed "
            f"into framing.{round_it} Sides {tape(COVER_LAP_IN)} past the opening under battens; "
            "the foot outside of everything below, with a batten rolled into it as a weight, and "
            "loose, so that it drains."
        )
    hold = (
        "Weigh it down with boards along all sides"
        if face.tilt_deg <= LYING_DEG
        else "Roll a batten into each side and screw it to what is tight beside the opening"
    )
    return (
        f"Lay a cover on the {face.title} {where}: {head}.{round_it} {hold}; the foot lies over "
        "what is tight below, weighed down with sand bags that let the water by."
    )


def _head_words(corner: Corner, face: Face, box: Box) -> str:
    left, _, right, top = box
    if top >= face.outline.bounds[3] - 1.0:
        return "its top edge up under what lies above the face"
    upper = outermost(corner, face.index, ((left + right) / 2, top - 0.5))
    name = "what is tight there" if upper is None else f"the {corner.pieces[upper].title}"
    return f"its top edge up under {name} if that can be lifted, else taped to it"


def outermost(corner: Corner, face: int, at: tuple[float, float]) -> int | None:
    """The outermost piece at a place."""
    found: int | None = None
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        holds = panel.polygon.covers(Point(at))
        if holds and (found is None or corner.outside(panel.piece, found)):
            found = panel.piece
    return found


def _round_words(corner: Corner, face: Face, box: Box) -> str:
    """Round which corners a cover goes on, where its side comes to a fold."""
    titles: list[str] = []
    for contact in corner.contacts_of[face.index]:
        (u0, v0), (u1, v1) = contact.start, contact.end
        upright = abs(u0 - u1) < abs(v0 - v1)
        beside = min(abs(u0 - box[0]), abs(u0 - box[2])) < 1.0
        shares = min(v0, v1) < box[3] and max(v0, v1) > box[1]
        if upright and beside and shares and not contact.inside_here:
            titles.append(corner.faces[contact.there].title)
    if not titles:
        return ""
    onto = " and the ".join(dict.fromkeys(titles))
    return f" Carry its side {tape(COVER_LAP_IN)} round the corner onto the {onto}."
