"""Water in a section: trails that set out at the plane, on the layers that they run on."""

from __future__ import annotations

import itertools
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from shapely import LineString

from weatherlap.building.corner import Corner
from weatherlap.drawings.cutting import Cut, Strip
from weatherlap.drawings.lanes import Lanes, bounds_of, piece_under, rain_on_faces
from weatherlap.drawings.naming import names
from weatherlap.drawings.placed import WET, LayerLine, Placed
from weatherlap.drawings.placing import Box
from weatherlap.drawings.svg import Point
from weatherlap.water.follow import Spot, TrailLine, line_at
from weatherlap.water.hops import Crossing, EndKind
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace

OFF_PLANE_IN = 0.75
"""Water that runs further than this from the plane is shown to leave the section. [in]"""
_SLACK_IN = 0.2
_BELOW_TOP_IN = 2.0


@dataclass(frozen=True, slots=True)
class OnLayer:
    """A spot of a trail on the drawing: which layer line (or None), how far along, and where.

    ``hidden`` says that it lies in a stretch that is left out.
    """

    line: int | None
    along: float
    at: Point
    hidden: bool = False


@dataclass(frozen=True, slots=True)
class WetStretch:
    """A layer that soaks between two places along it. [drawing units]"""

    line: int
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class CutTrail:
    """A trail as a section draws it: ``points`` to its end or to the wood that it soaks.

    ``reach`` runs on from there, as far as the wet goes.  ``leaves`` is the depth to which it
    runs out of the plane, positive into the drawing, or None
    where it stays in the plane to its end. [in]
    """

    points: tuple[Point, ...]
    reach: tuple[Point, ...]
    begins: Spot
    spots: tuple[Spot, ...]
    flow_lph: float
    layer: int
    end: EndKind
    leaves: float | None
    falls: bool
    crossings: tuple[tuple[Crossing, Point], ...]
    wet: tuple[WetStretch, ...]
    hidden: bool
    in_gutter: bool


@dataclass(frozen=True)
class Chart:
    """Where places of the corner stand on a section's drawing."""

    corner: Corner
    cut: Cut
    placed: Sequence[Placed]
    lines: Sequence[LayerLine]
    gutters: Mapping[int, Box]

    @cached_property
    def _of_piece(self) -> dict[tuple[int, int], list[int]]:
        """Numbers of the layer lines by face and piece."""
        found: dict[tuple[int, int], list[int]] = {}
        for k, line in enumerate(self.lines):
            found.setdefault((self.placed[line.placed].strip.face, line.piece), []).append(k)
        return found

    def spot(self, spot: Spot) -> OnLayer | None:
        """A spot of a trail on the drawing, or None where it is off the plane."""
        best: OnLayer | None = None
        best_off = _SLACK_IN
        own = [] if spot.piece is None else self._of_piece.get((spot.face, spot.piece), [])
        for k in own:
            line = self.lines[k]
            t, off = self.placed[line.placed].strip.foot((spot.u, spot.v))
            band = line.layer.band
            beyond = max(band.start - t, t - band.end, 0.0)
            if off <= OFF_PLANE_IN and beyond < best_off:
                best, best_off = self._on_line(k, t), beyond
        return best or self._on_face(spot)

    def _on_line(self, k: int, t: float) -> OnLayer:
        line = self.lines[k]
        band, scale = line.layer.band, self.placed[line.placed].scale
        inside = min(max(t, band.start), band.end)
        along = scale.at(inside, upper=inside - band.start < band.end - inside)
        hidden = hides(self.placed[line.placed], t)
        return OnLayer(k, along, point_along(line, along), hidden)

    def _on_face(self, spot: Spot) -> OnLayer | None:
        for placed in self.placed:
            if placed.strip.face != spot.face:
                continue
            t, off = placed.strip.foot((spot.u, spot.v))
            if off <= OFF_PLANE_IN and -_SLACK_IN <= t <= placed.strip.length_in + _SLACK_IN:
                along = placed.scale.at(t, upper=False)
                return OnLayer(None, along, placed.point(along, WET), hides(placed, t))
        return None


def hides(placed: Placed, t_in: float) -> bool:
    """Whether a place of a strip lies in a stretch that is left out. [in]"""
    return any(b.low_in < t_in < b.high_in for b in placed.scale.breaks)


def point_along(line: LayerLine, along: float) -> Point:
    """The place of a layer's water at a distance along its strip. [drawing units]"""
    rows = line.wet
    if along <= rows[0][0]:
        return rows[0][1], rows[0][2]
    for a, b in itertools.pairwise(rows):
        if along <= b[0]:
            share = (along - a[0]) / (b[0] - a[0]) if b[0] > a[0] else 1.0
            return a[1] + share * (b[1] - a[1]), a[2] + share * (b[2] - a[2])
    return rows[-1][1], rows[-1][2]


def run_along(line: LayerLine, placed: Placed, start: float, stop: float) -> list[Point]:
    """The water's way on one layer between two places along it. [drawing units]"""
    low, high = min(start, stop), max(start, stop)
    gaps = [
        (placed.scale.at(b.low_in, upper=False), placed.scale.at(b.high_in, upper=False))
        for b in placed.scale.breaks
    ]
    inner = [
        (x, y)
        for t, x, y in line.wet
        if low + 1e-6 < t < high - 1e-6 and not any(a < t < b for a, b in gaps)
    ]
    if start > stop:
        inner.reverse()
    return [point_along(line, start), *inner, point_along(line, stop)]


def cut_trails(trace: Trace, chart: Chart) -> list[CutTrail]:
    """The trails of the rain that lands at the plane; those that join a trail above are added."""
    rows = [(start, place) for start in trace.starts for place in _landings(chart, start)]
    height = chart.corner.faces
    rows.sort(key=lambda r: (r[0].layer, -height[r[0].face].frame.to_space(*r[1])[2], r[0].trail))
    courses = {
        p
        for name in names(chart.corner, range(len(chart.corner.pieces)))
        if len(name.pieces) > 1
        for p in name.pieces
    }
    lanes, found, rain = Lanes.on(trace.corner), list[CutTrail](), rain_on_faces(trace)
    for start, (u, v) in rows:
        piece, first = piece_under(trace, start), _first(trace, start)
        near = (u - OFF_PLANE_IN, v, u + OFF_PLANE_IN, v)
        joined = lanes.joined(start.face, piece, near)
        if joined is not None:
            flow = start.area_in2 * start.share * rain[start.face][0]
            found[joined] = _with(chart, found[joined], flow, first, Spot(start.face, u, v, piece))
            continue
        line = line_at(trace, start, u=u, v=v)
        if line.layer and piece in courses and not line.end.is_trouble:
            continue
        trail = _trail(chart, line, first)
        if trail is not None and not trail.hidden:
            found.append(trail)
            lanes.add(line)
    return found


def _with(
    chart: Chart, trail: CutTrail, flow_lph: float, first: Crossing | None, spot: Spot
) -> CutTrail:
    """A trail with the flow of rain that lands on its way, and the crossing where it does."""
    here = chart.spot(spot) if first is not None else None
    more: tuple[tuple[Crossing, Point], ...] = ()
    if first is not None and here is not None and first not in {c for c, _ in trail.crossings}:
        more = ((first, here.at),)
    flow = trail.flow_lph + flow_lph
    return replace(trail, flow_lph=flow, crossings=trail.crossings + more)


def _first(trace: Trace, start: Start) -> Crossing | None:
    """The crossing with which a start's trail begins: rain on what should be covered."""
    what = trace.ways.trails.steps[start.trail].what
    if not isinstance(what, Crossing):
        return None
    landed = None if start.tile is None else trace.ways.lay.tiling.tiles[start.tile].piece
    return what if what.lower == landed and what.upper != landed else None


def _landings(chart: Chart, start: Start) -> list[Point]:
    """Where rain of a start lands at the plane: near the upper end of each stretch."""
    found: list[Point] = []
    u0, v0, u1, v1 = bounds_of(start)
    for strip in (p.strip for p in chart.placed):
        (a, b), (c, d) = strip.on_start, strip.on_end
        aside = max(a, c) < u0 or min(a, c) > u1 or max(b, d) < v0 or min(b, d) > v1
        if strip.face != start.face or aside:
            continue
        common = LineString([strip.on_start, strip.on_end]).intersection(start.patch.geometry())
        parts = getattr(common, "geoms", [common])
        found += [
            _landing(strip, part)
            for part in parts
            if isinstance(part, LineString) and part.length > _SLACK_IN
        ]
    return found


def _landing(strip: Strip, part: LineString) -> Point:
    """Near the upper end of a stretch, or in its middle where the strip is level."""
    level = abs(strip.end[1] - strip.start[1]) < 1e-6
    below = 0.5 * part.length if level else min(0.15 * part.length, _BELOW_TOP_IN)
    ahead = strip.foot(part.coords[-1][:2])[0] > strip.foot(part.coords[0][:2])[0]
    at = part.interpolate(part.length - below if ahead else below)
    return at.x, at.y


def _trail(chart: Chart, line: TrailLine, first: Crossing | None) -> CutTrail | None:
    visited, leaves = _visited(chart, line)
    if not visited:
        return None
    soaked = len(visited) if line.soaked_from is None else line.soaked_from
    points = _points(chart, visited[: soaked + 1])
    reach = _points(chart, visited[soaked:])
    falls = leaves is None and line.falls_to is not None and line.soaked_from is None
    if falls:
        points += _fall_end(chart, line, points[-1])
    crossings = _crossings(line, visited)
    if first is not None and first not in line.crossings:
        crossings = ((first, visited[0].at), *crossings)
    return CutTrail(
        points=tuple(points),
        reach=tuple(reach),
        begins=line.spots[0],
        spots=line.spots,
        flow_lph=line.flow_lph,
        layer=line.layer,
        end=line.end,
        leaves=leaves if soaked >= len(visited) else None,
        falls=falls,
        crossings=crossings,
        wet=_wet(chart, line, visited),
        hidden=visited[0].hidden,
        in_gutter=falls and line.end is EndKind.GUTTER and line.piece in chart.gutters,
    )


def _visited(chart: Chart, line: TrailLine) -> tuple[list[OnLayer], float | None]:
    """The spots of a trail up to where it leaves the plane, and how far it then runs out."""
    visited: list[OnLayer] = []
    for spot in line.spots:
        here = chart.spot(spot)
        if here is None:
            return visited, _depth(chart, spot)
        visited.append(here)
    return visited, None


def _points(chart: Chart, visited: Sequence[OnLayer]) -> list[Point]:
    """The line through spots, along the layers that they lie on."""
    points: list[Point] = []
    last: OnLayer | None = None
    for here in visited:
        if last is not None and here.line is not None and last.line == here.line:
            line = chart.lines[here.line]
            run = run_along(line, chart.placed[line.placed], last.along, here.along)
            points += run[1:-1]
        if not here.hidden or not points:
            points.append(here.at)
        last = here
    return points


def _depth(chart: Chart, spot: Spot) -> float:
    frame = chart.corner.faces[spot.face].frame
    return chart.cut.plane.depth_in(frame.to_space(spot.u, spot.v))


def _fall_end(chart: Chart, line: TrailLine, last: Point) -> list[Point]:
    """Where a free fall is drawn to end: in its gutter, or a little below the edge."""
    piece = line.piece if line.end is EndKind.GUTTER else None
    gutter = None if piece is None else chart.gutters.get(piece)
    if gutter is None:
        return [(last[0], last[1] + 20.0)]
    x = min(max(last[0], gutter[0] + 4.0), gutter[2] - 4.0)
    return [(x, last[1] + abs(x - last[0])), (x, gutter[1] + 0.7 * (gutter[3] - gutter[1]))]


def _crossings(line: TrailLine, visited: Sequence[OnLayer]) -> tuple[tuple[Crossing, Point], ...]:
    """Each crossing on the way with its place: where the water leaves the upper piece."""
    found = []
    at = 0
    for crossing in line.crossings:
        last = len(visited) - 1
        if crossing.upper is not None:
            spots = line.spots[: len(visited)]
            hits = [
                k for k in range(at, len(spots))
                if spots[k].piece == crossing.upper and spots[k].face == crossing.face
                and (k == last or spots[k + 1].piece != crossing.upper
                     or spots[k + 1].face != crossing.face)
            ]  # fmt: skip
            if not hits:
                continue
            at = hits[0]
        found.append((crossing, visited[at].at))
    return tuple(found)


def _wet(chart: Chart, line: TrailLine, visited: Sequence[OnLayer]) -> tuple[WetStretch, ...]:
    """Stretches of wood that the trail soaks."""
    if line.soaked_from is None:
        return ()
    found = []
    rest = visited[line.soaked_from :]
    for a, b in itertools.pairwise(rest):
        if a.line is not None and a.line == b.line:
            piece = chart.corner.pieces[chart.lines[a.line].piece]
            if piece.sheet.value == "absorbs":
                low, high = sorted((a.along, b.along))
                found.append(WetStretch(a.line, low, high))
    return tuple(found)


def length_of(points: Sequence[Point]) -> float:
    """The length of a line through points. [drawing units]"""
    return sum(math.dist(a, b) for a, b in itertools.pairwise(points))
