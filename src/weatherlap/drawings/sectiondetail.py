"""Small things in a section: gutters, lips of troughs, drip edges and sealed edges."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shapely import LineString

from weatherlap.building.corner import Corner
from weatherlap.building.laying import Trough
from weatherlap.drawings.cutting import MEET_IN, Cut
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.placed import LayerLine, Placed
from weatherlap.drawings.placing import Box
from weatherlap.drawings.svg import Drawing, Point

LIP_OUT = 8.0
LIP_UP = 6.0
DRIP = 6.5
SEAL = 2.9
LEAST_GUTTER = 15.0


def gutter_outline(at: Point, *, width: float, depth: float, half_round: bool) -> list[Point]:
    """The profile of a gutter about the middle of its top. [drawing units]"""
    x, y = at
    half = width / 2
    if not half_round:
        return [(x - half, y), (x - half, y + depth), (x + half, y + depth), (x + half, y)]
    turns = [math.pi * k / 12 for k in range(13)]
    return [(x - half * math.cos(a), y + depth * math.sin(a)) for a in turns]


def gutter_boxes(cut: Cut, placed: Sequence[Placed], units_per_in: float) -> dict[int, Box]:
    """The box that each gutter at the plane takes on the drawing, by piece."""
    found: dict[int, Box] = {}
    for g in cut.gutters:
        width = max(g.width_in * units_per_in, LEAST_GUTTER)
        depth = max(g.depth_in * units_per_in, 0.5 * LEAST_GUTTER)
        x, y = _hung(g.at, width, placed, units_per_in)
        found[g.piece] = (x - width / 2, y, x + width / 2, y + depth)
    return found


def draw_gutters(drawing: Drawing, cut: Cut, boxes: Mapping[int, Box]) -> None:
    """Gutters at the plane, each in its box."""
    for g in cut.gutters:
        x0, y0, x1, y1 = boxes[g.piece]
        points = gutter_outline(
            (0.5 * (x0 + x1), y0), width=x1 - x0, depth=y1 - y0, half_round=g.shape != "box"
        )
        drawing.polyline(points, stroke=LOOK.paper, stroke_width=5.0)
        drawing.polyline(points, stroke=LOOK.ink, stroke_width=2.4)


def _hung(at: Point, width: float, placed: Sequence[Placed], units_per_in: float) -> Point:
    """Where a gutter hangs: its true place beside the nearest edge, clear of the layers there."""
    best, shift = math.inf, (at[0] * units_per_in, -at[1] * units_per_in)
    for p in placed:
        for t_in, end in ((0.0, p.strip.start), (p.strip.length_in, p.strip.end)):
            away = math.dist(end, at)
            if away < best:
                best = away
                x, y = p.point(p.end(t_in, upper=t_in > 0), 0.0)
                dx, dz = at[0] - end[0], at[1] - end[1]
                shift = (x + dx * units_per_in, y - dz * units_per_in)
    return _beside(shift, width, placed)


def _beside(at: Point, width: float, placed: Sequence[Placed]) -> Point:
    """Moved outward until it clears the upright layers at its height."""
    x, y = at
    for p in placed:
        if abs(p.out[0]) < 0.8:
            continue
        along = (p.origin[1] - y) if p.way[1] < 0 else (y - p.origin[1])
        for layer in p.layers:
            if layer.low - 2 <= along <= layer.high + 2:
                edge, _ = p.point(along, layer.off(along) + layer.thickness + 5.0)
                near = abs(edge - x) < width + 40
                if near and p.out[0] > 0:
                    x = max(x, edge + width / 2)
                elif near:
                    x = min(x, edge - width / 2)
    return x, y


def draw_edges(drawing: Drawing, corner: Corner, lines: Sequence[LayerLine]) -> set[str]:
    """Drip edges, sealed edges and trough lips of all layers; gives which sorts were drawn."""
    drawn: set[str] = set()
    for line in lines:
        piece = corner.pieces[line.piece]
        if piece.drip and _is_low_end(corner, lines, line):
            _drip(drawing, line)
            drawn.add("drip")
        for sealed, row in ((piece.sealed_bottom, 0), (piece.sealed_top, -1)):
            if sealed and _is_end(corner, lines, line, top=row == -1):
                _seal(drawing, line, row)
                drawn.add("seal")
    return drawn


def _is_low_end(corner: Corner, lines: Sequence[LayerLine], line: LayerLine) -> bool:
    return _is_end(corner, lines, line, top=False)


def _is_end(corner: Corner, lines: Sequence[LayerLine], line: LayerLine, *, top: bool) -> bool:
    """Whether a layer's upper or lower end is the piece's own, not one that goes on elsewhere."""
    del corner
    y = line.outer[-1 if top else 0][2]
    others = [o for o in lines if o.piece == line.piece]
    edge = min(o.outer[-1][2] for o in others) if top else max(o.outer[0][2] for o in others)
    return abs(y - edge) < 1.0


def _drip(drawing: Drawing, line: LayerLine) -> None:
    """The kick at the lower edge of a piece, bent outward and down."""
    (_, x0, y0), (_, x1, y1) = line.inner[0], line.outer[0]
    long = math.dist((x0, y0), (x1, y1)) or 1.0
    ox, oy = (x1 - x0) / long, (y1 - y0) / long
    tip = (x1 + DRIP * ox, y1 + DRIP * oy + 0.55 * DRIP)
    drawing.polyline([(x0, y0), (x1, y1), tip], stroke=LOOK.ink, stroke_width=3.0)


def _seal(drawing: Drawing, line: LayerLine, row: int) -> None:
    """A bead of sealant between a layer's edge and what lies behind it."""
    _, x, y = line.inner[row]
    _, ox, oy = line.outer[row]
    long = math.dist((x, y), (ox, oy)) or 1.0
    at = (x - SEAL * (ox - x) / long, y - SEAL * (oy - y) / long)
    drawing.circle(at, SEAL + 0.6, fill=LOOK.ink, stroke=LOOK.paper, stroke_width=0.7)


def draw_lips(
    drawing: Drawing, corner: Corner, placed: Sequence[Placed], lines: Sequence[LayerLine]
) -> bool:
    """The lip of each trough where the plane crosses it; gives whether there was one."""
    drawn = False
    for line in lines:
        strip = placed[line.placed].strip
        for trough in corner.panels[line.layer.band.panel].troughs:
            t = _crossed(trough, strip.on_start, strip.on_end)
            if t is None or not _within(line, t):
                continue
            _lip(drawing, placed[line.placed], line, t)
            drawn = True
    return drawn


def _crossed(trough: Trough, start: Point, end: Point) -> float | None:
    """How far along a strip a trough's line crosses it. [in]"""
    strip = LineString([start, end])
    lip = LineString([trough.start, trough.end])
    if strip.distance(lip) > MEET_IN:
        return None
    common = strip.intersection(lip.buffer(MEET_IN))
    return float(strip.project(common.centroid)) if not common.is_empty else None


def _within(line: LayerLine, t: float) -> bool:
    band = line.layer.band
    return band.start - MEET_IN <= t <= band.end + MEET_IN


def _lip(drawing: Drawing, placed: Placed, line: LayerLine, t: float) -> None:
    band, layer = line.layer.band, line.layer
    along = placed.scale.at(min(max(t, band.start), band.end), upper=t < band.end - MEET_IN)
    off = layer.off(along) + layer.thickness
    points = [placed.point(along, off), placed.point(along, off + LIP_OUT)]
    points.append(placed.point(along + LIP_UP, off + LIP_OUT))
    drawing.polyline(points, stroke=LOOK.paper, stroke_width=5.0)
    drawing.polyline(points, stroke=LOOK.ink, stroke_width=2.6)
