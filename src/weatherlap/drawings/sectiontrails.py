"""Trails, wet wood and ringed letters of a section."""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from functools import partial

from weatherlap.drawings.look import LOOK
from weatherlap.drawings.marks import END_SIZE, end_mark, ring_radius
from weatherlap.drawings.page import KeyRow
from weatherlap.drawings.placed import LayerLine
from weatherlap.drawings.placing import Placer
from weatherlap.drawings.rings import draw_rings
from weatherlap.drawings.sectionwater import Chart, CutTrail, length_of
from weatherlap.drawings.shown import Shown
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.drawings.trails import draw_trail
from weatherlap.water.findings import Finding
from weatherlap.water.follow import Spot
from weatherlap.water.hops import Crossing, EndKind

_RAIN = (7.0, 11.0)


def draw_wet(drawing: Drawing, chart: Chart, trails: Sequence[CutTrail]) -> None:
    """Wood that soaks: a blue tint with drops along it, inside its layer."""
    spans: dict[int, list[tuple[float, float]]] = {}
    for trail in trails:
        for wet in trail.wet:
            spans.setdefault(wet.line, []).append((wet.low, wet.high))
    fill = (
        drawing.define(
            "wet",
            "pattern",
            f'<path d="M1.5 0V3.4M5.5 4V7.4" stroke="{LOOK.water}" stroke-width="1.3"/>',
            width=8.0,
            height=8.0,
            patternUnits="userSpaceOnUse",
        )
        if spans
        else ""
    )
    for k, rows in spans.items():
        for low, high in _merged(rows):
            shape = _slice(chart.lines[k], low, high)
            drawing.polygon(shape, fill=LOOK.wet, stroke="none")
            drawing.polygon(shape, fill=fill, stroke=LOOK.water, stroke_width=1.3)


def _merged(rows: Sequence[tuple[float, float]]) -> list[tuple[float, float]]:
    found: list[tuple[float, float]] = []
    for low, high in sorted(rows):
        if found and low <= found[-1][1] + 0.5:
            found[-1] = (found[-1][0], max(high, found[-1][1]))
        else:
            found.append((low, high))
    return found


def _slice(line: LayerLine, low: float, high: float) -> list[Point]:
    inner, outer = _part(line.inner, low, high), _part(line.outer, low, high)
    return inner + outer[::-1]


def _part(rows: Sequence[tuple[float, float, float]], low: float, high: float) -> list[Point]:
    points = [_at(rows, low)]
    points += [(x, y) for t, x, y in rows if low < t < high]
    return [*points, _at(rows, high)]


def _at(rows: Sequence[tuple[float, float, float]], along: float) -> Point:
    for a, b in itertools.pairwise(rows):
        if along <= b[0]:
            share = min(max((along - a[0]) / (b[0] - a[0]), 0.0), 1.0) if b[0] > a[0] else 0.0
            return a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])
    return rows[-1][1], rows[-1][2]


def draw_cut_trails(drawing: Drawing, trails: Sequence[CutTrail], placer: Placer) -> list[EndKind]:
    """All trails with their beginnings and ends; gives the kinds of ends that were drawn."""
    ends: list[EndKind] = []
    marks: list[Point] = []
    for trail in sorted(trails, key=lambda t: -t.layer):
        falling = trail.end is EndKind.CLEAR or trail.in_gutter
        if len(trail.reach) > 1:
            drawing.polyline(
                trail.reach, stroke=LOOK.water, stroke_width=0.9, stroke_dasharray="1 2.6"
            )
        if length_of(trail.points) > 1.0:
            draw_trail(
                drawing, trail.points, flow_lph=trail.flow_lph, layer=trail.layer,
                last_arrow=falling and trail.leaves is None,
            )  # fmt: skip
        if trail.layer == 0:
            _rain(drawing, trail.points[0])
    for trail in trails:
        at = trail.points[-1]
        if trail.in_gutter or any(math.dist(at, other) < 1.6 * END_SIZE for other in marks):
            continue
        marks.append(at)
        if trail.leaves is not None:
            _leaves(drawing, at, toward=trail.leaves < 0)
        else:
            end_mark(drawing, _below(at, trail), trail.end)
            ends.append(trail.end)
        placer.take((at[0] - 8, at[1] - 8, at[0] + 8, at[1] + 8))
    return ends


def _below(at: Point, trail: CutTrail) -> Point:
    drop = END_SIZE if trail.falls and trail.end is EndKind.CLEAR else 0.0
    return at[0], at[1] + drop


def _rain(drawing: Drawing, at: Point) -> None:
    """Three strokes of rain where a trail sets out."""
    for k in range(3):
        x = at[0] + 3.0 + 5.5 * k
        y = at[1] - 3.0 - 1.5 * k
        drawing.line(
            (x + 0.4 * _RAIN[0], y - _RAIN[1]), (x, y), stroke=LOOK.water, stroke_width=1.1
        )


def _leaves(drawing: Drawing, at: Point, *, toward: bool) -> None:
    """The mark of water that runs out of the drawing: a point toward you, a cross away."""
    drawing.circle(at, 5.5, fill=LOOK.paper, stroke=LOOK.water, stroke_width=1.6)
    if toward:
        drawing.circle(at, 1.9, fill=LOOK.water)
        return
    for dx in (3.5, -3.5):
        drawing.line((at[0] - dx, at[1] - 3.5), (at[0] + dx, at[1] + 3.5), stroke=LOOK.water,
                     stroke_width=1.4)  # fmt: skip


def place_findings(
    drawing: Drawing, shown: Shown, chart: Chart, trails: Sequence[CutTrail], placer: Placer
) -> list[str]:
    """Ringed letters of the findings at this cut; gives the letters of those elsewhere."""
    missing: list[str] = []
    places: list[tuple[Finding, Point]] = []
    for finding in shown.findings:
        at = _place(finding, chart, trails)
        if at is None:
            missing.append(finding.letter)
        else:
            places.append((finding, at))
            placer.take((at[0] - 4, at[1] - 4, at[0] + 4, at[1] + 4))
    rings = [
        (f, at, placer.ring(at, ring_radius(f.letter), least=2.1 * ring_radius(f.letter)))
        for f, at in places
    ]
    return [*missing, *draw_rings(drawing, rings)]


def _place(finding: Finding, chart: Chart, trails: Sequence[CutTrail]) -> Point | None:
    wanted = Crossing(finding.cause, finding.face, finding.upper, finding.lower)
    for trail in trails:
        for crossing, at in trail.crossings:
            if crossing == wanted:
                return at
    on = chart.spot(Spot(finding.face, *finding.at, finding.upper))
    return on.at if on is not None else None


def edge_rows(sorts: set[str], *, wet: bool, leaves: Sequence[float]) -> list[KeyRow]:
    """Key rows of wet wood, sealed edges and water that runs out of the drawing."""
    rows = []
    if wet:
        rows.append(KeyRow(_wet_sample, "wood that gets wet"))
    if "seal" in sorts:
        rows.append(KeyRow(_seal_sample, "edge sealed shut"))
    if "drip" in sorts:
        rows.append(KeyRow(_drip_sample, "drip edge"))
    for toward, words in ((True, "water runs on toward you"), (False, "water runs on away")):
        if any((depth < 0) is toward for depth in leaves):
            rows.append(KeyRow(partial(_leaves, toward=toward), words))
    return rows


def _wet_sample(drawing: Drawing, at: Point) -> None:
    box = (at[0] - 14, at[1] - 6, at[0] + 14, at[1] + 6)
    drawing.rect(box, fill=LOOK.wet)
    drawing.rect(box, fill=f"url(#{drawing.name}-wet)", stroke=LOOK.water, stroke_width=1.3)


def _seal_sample(drawing: Drawing, at: Point) -> None:
    drawing.circle(at, 3.5, fill=LOOK.ink)


def _drip_sample(drawing: Drawing, at: Point) -> None:
    points = [(at[0] - 4, at[1] - 7), (at[0] - 4, at[1] + 2), (at[0] + 4, at[1] + 7)]
    drawing.polyline(points, stroke=LOOK.ink, stroke_width=3.0)
