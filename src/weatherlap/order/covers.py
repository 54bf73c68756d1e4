"""Covers for a night: pieces like any other, hung over what stands open, and traced."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shapely import Point

from weatherlap.building.corner import Corner, Face
from weatherlap.job.model import Edge, PanelRecord, PieceRecord, Sheet
from weatherlap.units import tape
from weatherlap.water.hops import Crossing
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace

COVER_LAP_IN = 6.0
"""How far a cover reaches past what it covers. Common practice, no source. [in]"""
UP_IN = 12.0
"""How far a cover goes up over what is tight above. Common practice, no source. [in]"""
LEAST_IN2 = 1.0

Box = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Cover:
    """A cover for one face: the piece that it is, where it must lap and what holds it."""

    face: str
    record: PieceRecord
    text: str


def small_covers(corner: Corner, result: Trace) -> tuple[Cover, ...]:
    """A cover on each face over the places where the rain gets in."""
    return _covers(corner, result, whole=False)


def whole_covers(corner: Corner, result: Trace) -> tuple[Cover, ...]:
    """A cover on each face over all the rain that would get in."""
    return _covers(corner, result, whole=True)


def _covers(corner: Corner, result: Trace, *, whole: bool) -> tuple[Cover, ...]:
    wrong = [
        s for s in result.starts if result.flows.trouble[s.trail] > 0 and s.area_in2 > LEAST_IN2
    ]
    covers: list[Cover] = []
    for face in corner.faces:
        boxes = [_box(corner, result, s, whole=whole) for s in wrong if s.face == face.index]
        if boxes:
            covers.append(_cover(corner, face, _around(boxes, face)))
    return tuple(covers)


def _around(boxes: list[Box], face: Face) -> Box:
    edge = face.outline.bounds
    return (
        max(min(b[0] for b in boxes) - COVER_LAP_IN, edge[0]),
        max(min(b[1] for b in boxes) - COVER_LAP_IN, edge[1]),
        min(max(b[2] for b in boxes) + COVER_LAP_IN, edge[2]),
        min(max(b[3] for b in boxes) + COVER_LAP_IN, edge[3]),
    )


def _box(corner: Corner, result: Trace, start: Start, *, whole: bool) -> Box:
    """What a cover has to shelter for one patch of rain: all of it, or where its water gets in."""
    left, low, right, top = start.patch.geometry().bounds
    ways_in = [v for face, v in _ways_in(result, start.trail) if face == start.face]
    if ways_in:
        low = min(low, *ways_in)
    if whole or not ways_in:
        return left, low, right, top
    foot = start.patch.geometry().bounds[1]
    outermost = _outermost(corner, start.face, ((left + right) / 2, (foot + top) / 2))
    bare = outermost is None or corner.pieces[outermost].sheet in (Sheet.ABSORBS, Sheet.OPEN)
    return left, low, right, top if bare else min(top, max(ways_in) + UP_IN)


def _ways_in(result: Trace, trail: int) -> Iterator[tuple[int, float]]:
    """Face and height of each crossing on the way of a patch's water."""
    trails, seen = result.ways.trails, set[int]()
    while trail >= 0 and trail not in seen:
        seen.add(trail)
        step = trails.steps[trail]
        if isinstance(step.what, Crossing):
            yield step.what.face, trails.places[trail][2]
        trail = step.after


def _outermost(corner: Corner, face: int, at: tuple[float, float]) -> int | None:
    """The outermost piece at a place."""
    found: int | None = None
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        holds = panel.polygon.covers(Point(at))
        if holds and (found is None or corner.outside(panel.piece, found)):
            found = panel.piece
    return found


def _cover(corner: Corner, face: Face, box: Box) -> Cover:
    record = PieceRecord(
        id=f"cover-{face.id}",
        title=f"cover on the {face.title}",
        sheet=Sheet.SHEDS,
        passes=0.0,
        drip=True,
        sealed=(Edge.TOP,),
        on=(PanelRecord(face=face.id, rect=box),),
    )
    return Cover(face.id, record, _words(corner, face, box))


def _words(corner: Corner, face: Face, box: Box) -> str:
    left, low, right, top = box
    edge = face.outline.bounds
    where = (
        f"from {tape(left - edge[0])} to {tape(right - edge[0])} right and from "
        f"{tape(low - edge[1])} to {tape(top - edge[1])} up"
    )
    if face.looks_down:
        return f"Hold a cover under the {face.title}, {where}."
    if top >= edge[3] - 1.0:
        head = "its top edge up under what lies above the face"
    else:
        upper = _outermost(corner, face.index, ((left + right) / 2, top - 0.5))
        name = "what is tight there" if upper is None else f"the {corner.pieces[upper].title}"
        head = f"its top edge up under {name} if that can be lifted, else taped to it"
    return (
        f"Hang a cover on the {face.title} {where}: {head}, with a batten along it screwed into "
        f"framing. Sides {tape(COVER_LAP_IN)} past the opening under battens; the foot outside "
        "of everything below, and loose, so that it drains."
    )
