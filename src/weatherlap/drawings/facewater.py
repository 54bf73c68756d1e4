"""Water on a face: the runs of every trail on it, joined where one runs into another."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.drawings.look import LOOK
from weatherlap.drawings.marks import END_SIZE, end_mark
from weatherlap.drawings.placing import Placer
from weatherlap.drawings.stackview import OnPage
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.drawings.trails import draw_trail
from weatherlap.water.follow import Spot, TrailLine
from weatherlap.water.hops import EndKind


@dataclass(frozen=True, slots=True)
class FaceRun:
    """The part of a trail on one face. [in]

    ``reach`` goes on from where it soaks wood; ``end`` is set if the trail ends on the face,
    ``goes_on`` if it runs on to another face.
    """

    places: tuple[Point, ...]
    reach: tuple[Point, ...]
    flow_lph: float
    layer: int
    end: EndKind | None
    goes_on: bool


def runs_on(face: int, trails: Sequence[TrailLine]) -> list[FaceRun]:
    """The runs of trails on a face, the lightest first."""
    found: list[FaceRun] = []
    for line in trails:
        start = 0
        while start < len(line.spots):
            if line.spots[start].face != face:
                start += 1
                continue
            stop = start
            while stop < len(line.spots) and line.spots[stop].face == face:
                stop += 1
            found.append(_run(line, start, stop))
            start = stop
    found.sort(key=lambda run: run.flow_lph)
    return found


def _run(line: TrailLine, start: int, stop: int) -> FaceRun:
    last = stop == len(line.spots)
    soaked = line.soaked_from if line.soaked_from is not None else len(line.spots)
    wet_at = min(max(soaked, start - 1), stop)
    dry, reach = line.spots[start : wet_at + 1], line.spots[max(wet_at, start) : stop]
    soaks_here = start <= soaked < stop
    ends = line.end if soaks_here or (last and line.soaked_from is None) else None
    return FaceRun(
        places=_places(dry[: stop - start]),
        reach=_places(reach) if soaked < stop else (),
        flow_lph=line.flow_lph,
        layer=line.layer,
        end=ends,
        goes_on=not last and not soaks_here,
    )


def _places(spots: Sequence[Spot]) -> tuple[Point, ...]:
    """The places of spots, less those that hardly differ from the one before."""
    found: list[Point] = []
    for spot in spots:
        if not found or abs(spot.u - found[-1][0]) + abs(spot.v - found[-1][1]) > 0.01:
            found.append((spot.u, spot.v))
    return tuple(found)


def draw_runs(
    drawing: Drawing, runs: Sequence[FaceRun], on: OnPage, placer: Placer
) -> list[EndKind]:
    """Trails with the wet below them and their ends; gives the kinds of ends drawn."""
    for run in runs:
        if len(run.reach) > 1:
            points = [on.point(*p) for p in run.reach]
            drawing.polyline(points, stroke=LOOK.wet, stroke_width=9.0, stroke_opacity=0.75)
            drawing.polyline(points, stroke=LOOK.water, stroke_width=1.1, stroke_dasharray="1 3")
    for run in runs:
        points = _on_page(run, on)
        if len(points) > 1:
            draw_trail(
                drawing, points, flow_lph=run.flow_lph, layer=run.layer, last_arrow=run.goes_on
            )
    return _draw_ends(drawing, runs, on, placer)


def _on_page(run: FaceRun, on: OnPage) -> list[Point]:
    return [on.point(*p) for p in run.places]


def _draw_ends(
    drawing: Drawing, runs: Sequence[FaceRun], on: OnPage, placer: Placer
) -> list[EndKind]:
    drawn: list[tuple[EndKind, Point]] = []
    for run in reversed(runs):
        if run.end is None:
            continue
        x, y = _on_page(run, on)[-1] if run.places else on.point(*run.reach[0])
        at = (x, y + END_SIZE) if run.end is EndKind.CLEAR else (x, y)
        if any(kind is run.end and math.dist(at, other) < 2 * END_SIZE for kind, other in drawn):
            continue
        drawn.append((run.end, at))
        end_mark(drawing, at, run.end)
        placer.take((x - END_SIZE, at[1] - END_SIZE, x + END_SIZE, at[1] + END_SIZE))
    return [kind for kind, _ in drawn]
