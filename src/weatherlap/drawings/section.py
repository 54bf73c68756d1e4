"""Sections: what lies over what at a cut, the layers drawn apart, and where the water runs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.drawings.breaks import breaks_of
from weatherlap.drawings.cutting import Cut, cut_at
from weatherlap.drawings.layers import Break, Stacking
from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.look import LOOK, Hatch, Look, fill_of, hatch_of
from weatherlap.drawings.marks import scale_bar
from weatherlap.drawings.naming import names
from weatherlap.drawings.page import KeyRow, Page, end_rows, hatch_rows, mark_rows
from weatherlap.drawings.placed import (
    APART,
    LayerLine,
    Placed,
    groups_of,
    lines_of,
    place,
    span_of,
)
from weatherlap.drawings.placing import Box, Placer, grown
from weatherlap.drawings.sectiondetail import draw_edges, draw_gutters, draw_lips, gutter_boxes
from weatherlap.drawings.sectionlabels import draw_labels, labels_of
from weatherlap.drawings.sectiontrails import draw_cut_trails, draw_wet, edge_rows, place_findings
from weatherlap.drawings.sectionwater import Chart, CutTrail, cut_trails
from weatherlap.drawings.shown import Shown, compass
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.drawings.trails import flow_rows
from weatherlap.errors import InputError
from weatherlap.job.model import CutLine
from weatherlap.water.hops import EndKind

LABELS_WIDTH = 106.0
TALLEST = 560.0
SMALL_SCALE = 7.0
"""At fewer drawing units an inch than this, quiet stretches are left out."""
LARGEST_SCALE = 12.0
MOST_SWELL = 1.8
NEAR_CUT_IN = 3.0
_ROUNDS = 5
_AIR = 42.0
_OUTER_AIR = 18.0


@dataclass(frozen=True, slots=True)
class Laid:
    """A section laid out at a scale: its strips, its layer lines and the box they take."""

    corner: Corner
    cut: Cut
    placed: list[Placed]
    lines: list[LayerLine]
    units_per_in: float
    box: Box

    def moved(self, dx: float, dy: float) -> Laid:
        """The same, moved on the drawing."""
        placed = [replace(p, origin=(p.origin[0] + dx, p.origin[1] + dy)) for p in self.placed]
        x0, y0, x1, y1 = self.box
        box = (x0 + dx, y0 + dy, x1 + dx, y1 + dy)
        lines = lines_of(self.corner, placed, self.cut)
        return Laid(self.corner, self.cut, placed, lines, self.units_per_in, box)


def section(shown: Shown, cut: CutLine, *, prefix: str = "", look: Look = LOOK) -> str:
    """A section at a cut line as SVG.

    Layers stand apart in their true order; heights and slopes are true, thicknesses are not.
    ``prefix`` begins every id in the drawing, where two states stand on one page.

    Raises
    ------
    InputError
        If the line does not cut the face that it names.
    """
    corner = shown.corner
    face = corner.face_named.get(cut.face)
    where = f"cut {cut.id!r}"
    if face is None:
        raise InputError(where, f"no face {cut.face!r}", "a face of the job")
    found = cut_at(corner, face.index, cut.at)
    if not any(s.face == face.index for s in found.strips):
        raise InputError(
            where, f"{cut.at:g} in does not cut face {face.id!r}", "a place on the face"
        )
    title = " ".join(f"Section {cut.id}".split()[: 1 if cut.id.lower() == "section" else 2])
    title = f"{title}: {cut.title}" if cut.title else title
    view = f"Looking {compass(face.facing_deg - 90.0)}, outside on the right."
    page = Page(look, name=f"{prefix}section-{cut.id}", title=title, about=f"{shown.title}. {view}")
    top = page.heading(title, [shown.title, view])
    room = page.room - 2 * LABELS_WIDTH - 2 * _OUTER_AIR
    laid = lay_out(shown, found, room=room)
    x = look.margin + LABELS_WIDTH + _OUTER_AIR + 0.5 * (room - (laid.box[2] - laid.box[0]))
    return _draw(page, shown, laid.moved(x - laid.box[0], top + _AIR - laid.box[1]))


def lay_out(shown: Shown, cut: Cut, *, room: float) -> Laid:
    """A cut at the largest scale that fits; quiet stretches are left out where that helps."""
    told = frozenset(p for f in shown.findings for p in (f.upper, f.lower) if p is not None)
    runs = _runs(shown.corner)
    close = {p: k for p, k in runs.items() if p not in told}
    stacking = Stacking(shown.corner, 1.0, close, frozenset(runs))
    gaps: Sequence[tuple[Break, ...]] = tuple(() for _ in cut.strips)
    laid = _fitted(stacking, cut, room, gaps)
    if laid.units_per_in < SMALL_SCALE:
        places = _places(shown, cut)
        gaps = breaks_of(shown.corner, cut, places=places, pieces=told)
        laid = _fitted(stacking, cut, room, gaps)
    swell = min(0.55 * room / max(laid.box[2] - laid.box[0], 1.0), MOST_SWELL)
    if swell > 1.1:
        laid = _fitted(replace(stacking, swell=swell), cut, room, gaps)
    return laid


def _runs(corner: Corner) -> dict[int, int]:
    """The number of the run that each course belongs to."""
    runs = [n.pieces for n in names(corner, range(len(corner.pieces))) if len(n.pieces) > 1]
    return {p: k for k, run in enumerate(runs) for p in run}


def _places(shown: Shown, cut: Cut) -> list[tuple[int, float]]:
    """Where findings at the plane are on the strips of a cut. [in]"""
    rows = []
    for f in shown.findings:
        for k, strip in enumerate(cut.strips):
            t, off = strip.foot(f.at)
            near = f.upper is not None and off <= NEAR_CUT_IN
            if strip.face == f.face and near and 0.0 <= t <= strip.length_in:
                rows.append((k, t))
    return rows


def _fitted(stacking: Stacking, cut: Cut, room: float, gaps: Sequence[tuple[Break, ...]]) -> Laid:
    """A cut at the largest scale at which it fits the room."""
    low, high = _sized(stacking, cut, gaps, 1.0), _sized(stacking, cut, gaps, 2.0)
    fits = [
        (most - (a[1] - a[0])) / max(b[1] - b[0] - (a[1] - a[0]), 1e-6) + 1.0
        for most, a, b in (
            (room, low.box[::2], high.box[::2]),
            (TALLEST, low.box[1::2], high.box[1::2]),
        )
    ]
    scale = min(max(min(fits), 0.1), LARGEST_SCALE)
    for _ in range(_ROUNDS):
        laid = _sized(stacking, cut, gaps, scale)
        x0, y0, x1, y1 = laid.box
        if x1 - x0 <= room * 1.01 and y1 - y0 <= TALLEST * 1.01:
            break
        scale *= 0.98 * min(room / max(x1 - x0, 1.0), TALLEST / max(y1 - y0, 1.0))
    return laid


def _sized(stacking: Stacking, cut: Cut, gaps: Sequence[tuple[Break, ...]], scale: float) -> Laid:
    placed = place(stacking, cut, scale, breaks=gaps)
    lines = lines_of(stacking.corner, placed, cut)
    return Laid(stacking.corner, cut, placed, lines, scale, _extent(placed, lines, cut, scale))


def _extent(
    placed: Sequence[Placed], lines: Sequence[LayerLine], cut: Cut, units_per_in: float
) -> Box:
    points = [p for line in lines for p in line.outline()]
    for x0, y0, x1, y1 in gutter_boxes(cut, placed, units_per_in).values():
        points += [(x0, y0), (x1, y1)]
    points += [p.point(t, 0.0) for p in placed for t in (0.0, _full(p))]
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def _full(placed: Placed) -> float:
    return placed.end(placed.strip.length_in, upper=True)


def _draw(page: Page, shown: Shown, laid: Laid) -> str:
    """Everything from the face lines to the key, from the back to the front."""
    look, drawing, corner = page.look, page.drawing, shown.corner
    boxes = gutter_boxes(laid.cut, laid.placed, laid.units_per_in)
    chart = Chart(corner, laid.cut, laid.placed, laid.lines, boxes)
    trails = cut_trails(shown.trace, chart) if shown.trace is not None else []
    frame = (
        look.margin + LABELS_WIDTH,
        laid.box[1] - 20,
        look.width - look.margin - LABELS_WIDTH,
        laid.box[3] + 22,
    )
    _inside_outside(drawing, frame)
    named = _face_lines(drawing, shown, laid)
    _layers(drawing, corner, laid.lines)
    draw_wet(drawing, chart, trails)
    lips = draw_lips(drawing, corner, laid.placed, laid.lines)
    sorts = draw_edges(drawing, corner, laid.lines) | ({"lip"} if lips else set())
    broken = _breaks(drawing, laid)
    labels = labels_of(corner, laid.lines, boxes, frame, room=LABELS_WIDTH - 6)
    low = draw_labels(drawing, labels, frame)
    draw_gutters(drawing, laid.cut, boxes)
    placer = _placer(frame, laid, [*boxes.values(), *named])
    ends = draw_cut_trails(drawing, trails, placer)
    missing = place_findings(drawing, shown, chart, trails, placer)
    bottom = max(low, frame[3]) + 8
    scale_bar(drawing, (look.margin + 8, bottom + 16), laid.units_per_in, room=120.0)
    words = [
        "Layers are drawn apart and thicker than they are, in their true order. Heights along "
        "each face are true to the bar; where faces meet, they are pulled apart."
    ]
    words += ["Between waved lines a stretch with nothing new in it is left out."] if broken else []
    words += [f"Not at this cut: finding {', '.join(missing)}."] if missing else []
    end = page.notes(bottom + 34, words)
    rows = _key(corner, laid, trails, sorts, ends)
    lettered = len(missing) < len(shown.findings)
    rows += mark_rows(findings=lettered, readings=False, damages=False)
    return page.finish(page.key(end, rows))


def _key(
    corner: Corner,
    laid: Laid,
    trails: Sequence[CutTrail],
    sorts: set[str],
    ends: Sequence[EndKind],
) -> list[KeyRow]:
    """The rows of the key: hatches, flows, edges and ends of trails."""
    rows = hatch_rows({hatch_of(corner.pieces[x.piece]) for x in laid.lines}, strong=True)
    rows += flow_rows([t.flow_lph for t in trails], [t.layer for t in trails])
    leaves = [t.leaves for t in trails if t.leaves is not None]
    return [
        *rows,
        *edge_rows(sorts, wet=any(t.wet for t in trails), leaves=leaves),
        *end_rows(ends),
    ]


def _inside_outside(drawing: Drawing, frame: Box) -> None:
    for words, x, anchor in (("INSIDE", frame[0], "start"), ("OUTSIDE", frame[2], "end")):
        drawing.text(
            (x, frame[1] - 2), words, LOOK.small, text_anchor=anchor, fill=LOOK.grey,
            letter_spacing=1.2,
        )  # fmt: skip


def _face_lines(drawing: Drawing, shown: Shown, laid: Laid) -> list[Box]:
    """The faces themselves, thin, with their names on the inside where there is room.

    Gives the boxes that the names take.
    """
    named: set[int] = set()
    boxes: list[Box] = []
    for p in sorted(laid.placed, key=lambda p: -_full(p)):
        a, b = p.point(0.0, 0.0), p.point(_full(p), 0.0)
        drawing.line(a, b, **{**LOOK.fold.attributes(), "stroke": LOOK.grey, "stroke_width": 0.8})
        words = shown.corner.faces[p.strip.face].title
        free = _free_stretch(p)
        if p.strip.face not in named and text_width(words, LOOK.small) < 0.9 * (free[1] - free[0]):
            named.add(p.strip.face)
            boxes.append(_along(drawing, p, words, 0.5 * (free[0] + free[1])))
    return boxes


def _free_stretch(placed: Placed) -> tuple[float, float]:
    """The longest stretch of a strip without a break. [drawing units]"""
    edges = [0.0]
    for gap in sorted(placed.scale.breaks, key=lambda b: b.low_in):
        edges += [
            placed.scale.at(gap.low_in, upper=False),
            placed.scale.at(gap.high_in, upper=False),
        ]
    edges.append(_full(placed))
    return max(zip(edges[::2], edges[1::2], strict=True), key=lambda e: e[1] - e[0])


def _along(drawing: Drawing, placed: Placed, words: str, middle: float) -> Box:
    """A face's name along it, on its inner side, readable from below or from the right."""
    angle = math.degrees(math.atan2(placed.way[1], placed.way[0]))
    angle = angle - 180.0 if angle > 90.0 else angle + 180.0 if angle <= -90.01 else angle
    turn = math.radians(angle)
    below = placed.out[0] * math.sin(turn) - placed.out[1] * math.cos(turn) > 0
    x, y = placed.point(middle, -(4.0 + (0.8 * LOOK.small if below else 0.0)))
    drawing.text(
        (x, y),
        words,
        LOOK.small,
        text_anchor="middle",
        fill=LOOK.grey,
        font_style="italic",
        transform=f"rotate({angle:.2f} {x:.2f} {y:.2f})",
    )
    half = 0.5 * text_width(words, LOOK.small)
    wide, high = half * abs(math.cos(turn)) + 6, half * abs(math.sin(turn)) + 6
    return x - wide, y - high, x + wide, y + high


def _layers(drawing: Drawing, corner: Corner, lines: Sequence[LayerLine]) -> None:
    """Each piece as one outline, filled with its hatch."""
    shapes: dict[int, list[BaseGeometry]] = {}
    for line in lines:
        outlines = (line.outline(), *line.links)
        shapes.setdefault(line.piece, []).extend(Polygon(o).buffer(0) for o in outlines)
    for piece, parts in shapes.items():
        hatch = hatch_of(corner.pieces[piece])
        whole = shapely.union_all([part.buffer(0.05, join_style="mitre") for part in parts])
        drawing.shape(
            whole,
            fill=LOOK.paper if hatch is Hatch.BARRIER else fill_of(drawing, hatch, strong=True),
            data_piece=corner.pieces[piece].id,
            **_rim(hatch),
        )
    for line in lines:
        if line.layer.hatch is Hatch.BARRIER:
            _dashed(drawing, line)


def _dashed(drawing: Drawing, line: LayerLine) -> None:
    """The heavy dashes inside a barrier sheet."""
    middle = [
        (0.5 * (a[1] + b[1]), 0.5 * (a[2] + b[2]))
        for a, b in zip(line.inner, line.outer, strict=False)
    ]
    drawing.polyline(
        middle if len(line.inner) == len(line.outer) else [(x, y) for _, x, y in line.outer],
        stroke=LOOK.ink,
        stroke_width=line.layer.thickness * 0.75,
        stroke_dasharray="7 4",
        stroke_linecap="butt",
    )


def _rim(hatch: Hatch) -> dict[str, str | float | int | None]:
    if hatch is Hatch.OPEN:
        return {"stroke": LOOK.ink, "stroke_width": 0.8, "stroke_dasharray": "1.5 2"}
    return {"stroke": LOOK.ink, "stroke_width": 0.8 if hatch is Hatch.BARRIER else 1.0}


def _breaks(drawing: Drawing, laid: Laid) -> bool:
    """Paper over each stretch that is left out, between two waved lines."""
    drawn = False
    for p in laid.placed:
        deep = max((y.off(t) + y.thickness for y in p.layers for t, _ in y.profile), default=0.0)
        for gap in p.scale.breaks:
            low = p.scale.at(gap.low_in, upper=True)
            high = p.scale.at(gap.high_in, upper=False)
            edges = [_wave(p, low, -7.0, deep + 9.0), _wave(p, high, -7.0, deep + 9.0)]
            drawing.polygon([*edges[0], *reversed(edges[1])], fill=LOOK.paper)
            for edge in edges:
                drawing.polyline(edge, stroke=LOOK.ink, stroke_width=0.8)
            drawn = True
    spans = sorted(span_of(laid.placed, g) for g in groups_of(laid.cut))
    for (_, above), (below, _) in pairwise(spans):
        if abs(below - above - APART) < 1.0:
            x = 0.5 * (laid.box[0] + laid.box[2])
            for y in (above + 0.4 * APART, above + 0.6 * APART):
                points = [(x + k, y + 2.2 * math.sin(0.45 * k)) for k in range(-28, 29, 2)]
                drawing.polyline(points, stroke=LOOK.ink, stroke_width=0.8)
            drawn = True
    return drawn


def _wave(placed: Placed, along: float, low: float, high: float) -> list[Point]:
    """A waved line across the layers of a strip."""
    count = max(int((high - low) / 2.0), 4)
    return [
        placed.point(along + 2.2 * math.sin(0.45 * (high - low) * k / count),
                     low + (high - low) * k / count)
        for k in range(count + 1)
    ]  # fmt: skip


def _placer(frame: Box, laid: Laid, taken: Iterable[Box]) -> Placer:
    """Where ringed letters may stand: rather not on layers."""
    placer = Placer((frame[0] - 2, frame[1], frame[2] + 2, frame[3] + 10))
    for line in laid.lines:
        for (x0, y0), (x1, y1) in pairwise(line.outline()):
            placer.avoid(grown((min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1)), 2.0))
    for box in taken:
        placer.take(box)
    return placer
