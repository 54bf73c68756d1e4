"""Covers for a night: pieces like any other, hung over what stands open, and traced."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner, Face
from weatherlap.job.model import Edge, PanelRecord, PieceRecord, Sheet
from weatherlap.order.coverwords import COVER_LAP_IN, cover_words, outermost
from weatherlap.order.sheeting import Box, sheets
from weatherlap.water.hops import Crossing
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace

UP_IN = 12.0
"""How far a cover goes up over what is tight above. Common practice, no source. [in]"""
LEAST_IN2 = 1.0


@dataclass(frozen=True, slots=True)
class Cover:
    """A cover on one face: the piece that it is, where it must lap and what holds it."""

    face: str
    record: PieceRecord
    text: str


def small_covers(corner: Corner, result: Trace) -> tuple[Cover, ...]:
    """Covers on each face over the places where the rain gets in."""
    return _covers(corner, result, whole=False)


def whole_covers(corner: Corner, result: Trace) -> tuple[Cover, ...]:
    """Covers on each face over all the rain that would get in."""
    return _covers(corner, result, whole=True)


def _covers(corner: Corner, result: Trace, *, whole: bool) -> tuple[Cover, ...]:
    wrong = [
        s for s in result.starts if result.flows.trouble[s.trail] > 0 and s.area_in2 > LEAST_IN2
    ]
    covers: list[Cover] = []
    for face in corner.faces:
        boxes = [_box(corner, result, s, whole=whole) for s in wrong if s.face == face.index]
        found = sheets(boxes, lap_in=COVER_LAP_IN, edge=face.outline.bounds) if boxes else []
        covers += [_cover(corner, face, found, k) for k in range(len(found))]
    return tuple(covers)


def _box(corner: Corner, result: Trace, start: Start, *, whole: bool) -> Box:
    """What a cover has to shelter for one patch of rain: all of it, or where its water gets in."""
    left, low, right, top = start.patch.geometry().bounds
    ways_in = [v for face, v in _ways_in(result, start.trail) if face == start.face]
    if ways_in:
        low = min(low, *ways_in)
    if whole or not ways_in:
        return left, low, right, top
    foot = start.patch.geometry().bounds[1]
    over = outermost(corner, start.face, ((left + right) / 2, (foot + top) / 2))
    bare = over is None or corner.pieces[over].sheet in (Sheet.ABSORBS, Sheet.OPEN)
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


def _cover(corner: Corner, face: Face, found: Sequence[Box], number: int) -> Cover:
    several = len(found) > 1
    record = PieceRecord(
        id=f"cover-{face.id}-{number + 1}" if several else f"cover-{face.id}",
        title=f"cover {number + 1} on the {face.title}"
        if several
        else f"cover on the {face.title}",
        sheet=Sheet.SHEDS,
        passes=0.0,
        drip=True,
        sealed=(Edge.TOP,),
        on=(PanelRecord(face=face.id, rect=found[number]),),
    )
    lapped = number > 0 and found[number - 1][2] > found[number][0]
    over = f" Its left side goes over cover {number}." if lapped else ""
    return Cover(face.id, record, cover_words(corner, face, found[number]) + over)
