"""Following: the line of one drop over the corner, to draw and to tell."""

from __future__ import annotations

from dataclasses import dataclass

from shapely.geometry.base import BaseGeometry

from weatherlap.shape.frames import Frame, Vector
from weatherlap.water.findings import Finding
from weatherlap.water.hops import (
    Cause,
    Crossing,
    End,
    EndKind,
    Go,
    Hop,
    IntoGutter,
    IntoTrough,
    Soak,
)
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace
from weatherlap.water.trails import Trails

LONGEST = 10_000
"""Steps after which a line is cut off."""
MOST_TRIED = 24
"""Drops that are tried to show a finding, those of the most water first."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on a line: face, u and v on it [in], and the piece the water is on (or None)."""

    face: int
    u: float
    v: float
    piece: int | None


@dataclass(frozen=True, slots=True)
class TrailLine:
    """The line of one drop that stands for all that take the same trail.

    ``soaked_from`` is the number of the first spot on wood that it soaks, or None; from there on
    the line shows how far the wet reaches.  ``falls_to`` is the place in space where a free fall
    ends (None: no fall at the end). [in]
    """

    spots: tuple[Spot, ...]
    flow_lph: float
    per_year_l: float
    layer: int
    end: EndKind
    piece: int | None
    on_face: int
    soaked_from: int | None
    falls_to: Vector | None
    crossings: tuple[Crossing, ...]


def trail_lines(trace: Trace, *, most: int | None = None) -> tuple[TrailLine, ...]:
    """A line for each start that takes a different trail, the heaviest first."""
    best: dict[tuple[int, int, int, int | None], list[float]] = {}
    first: dict[tuple[int, int, int, int | None], Start] = {}
    for start in trace.starts:
        key = (start.face, start.layer, start.trail, start.tile)
        flow, year = _rain(trace, start)
        if key not in first or start.area_in2 > first[key].area_in2:
            first[key] = start
        total = best.setdefault(key, [0.0, 0.0])
        total[0] += flow
        total[1] += year
    ranked = sorted(first, key=lambda k: -best[k][0])[:most]
    return tuple(_line(trace, first[k], best[k][0], best[k][1]) for k in ranked)


def finding_line(trace: Trace, finding: Finding) -> TrailLine | None:
    """The line of the most water that runs through a finding, or None if none is found.

    One drop stands for all that start with it, so it may take another of their ways; a line
    counts only if it goes through the finding and soaks nothing that the finding does not.
    """
    reach = _leading_to(trace.ways.trails, finding.trail, trace)
    hits = [s for s in trace.starts if s.trail in reach]
    hits.sort(key=lambda s: -s.area_in2 * s.share)
    for start in hits[:MOST_TRIED]:
        line = _line(trace, start, finding.flow_lph, finding.per_year_l)
        if _shows(line, finding):
            return line
    return None


def _shows(line: TrailLine, finding: Finding) -> bool:
    """Whether a line goes through a crossing of a finding's cause and soaks only what it soaks."""
    goes_through = finding.cause in _SPILLS or any(
        c.cause is finding.cause and c.face == finding.face for c in line.crossings
    )
    return goes_through and (line.soaked_from is None or line.piece in finding.wets)


_SPILLS = (Cause.OVERFULL, Cause.DAMMED)


def _leading_to(trails: Trails, goal: int, trace: Trace) -> set[int]:
    """All trails that come to a trail, itself included."""
    reach = {goal}
    outlets = trace.ways.outlet_trails
    grown = True
    while grown:
        grown = False
        for t, step in enumerate(trails.steps):
            if t in reach:
                continue
            nexts = [step.after]
            if isinstance(step.what, IntoTrough):
                nexts += [trail for _, trail in outlets[step.what.trough]]
            if any(n in reach for n in nexts):
                reach.add(t)
                grown = True
    return reach


def _rain(trace: Trace, start: Start) -> tuple[float, float]:
    face = trace.corner.faces[start.face]
    area = start.area_in2 * start.share
    return (
        area * trace.rain.design_lph_per_in2(face.facing_deg, face.tilt_deg),
        area * trace.rain.year_l_per_in2(face.facing_deg, face.tilt_deg),
    )


def inner_spot(shape: BaseGeometry) -> tuple[float, float]:
    """A place well inside a shape. [in]"""
    spot = shape.centroid if shape.covers(shape.centroid) else shape.representative_point()
    return spot.x, spot.y


def line_at(trace: Trace, start: Start, *, u: float, v: float) -> TrailLine:
    """The line of the drop that lands at a place of a start's area. [in]"""
    return _line_from(trace, start, (u, v), *_rain(trace, start))


def _line(trace: Trace, start: Start, flow_lph: float, per_year_l: float) -> TrailLine:
    return _line_from(trace, start, inner_spot(start.patch.geometry()), flow_lph, per_year_l)


def _line_from(
    trace: Trace, start: Start, place: tuple[float, float], flow_lph: float, per_year_l: float
) -> TrailLine:
    u, v = place
    walk = _Walk(trace)
    if start.tile is None:
        walk.spots.append(Spot(start.face, u, v, None))
        walk.end = End(EndKind.CAVITY, None, start.face)
    else:
        walk.go(_tile_at(trace, start.tile, u, v), u, v)
    end = walk.end or End(EndKind.CLEAR, None, start.face)
    return TrailLine(
        spots=tuple(walk.spots),
        flow_lph=flow_lph,
        per_year_l=per_year_l,
        layer=start.layer,
        end=EndKind.SOAK if walk.soaked is not None else end.kind,
        piece=walk.soaked if walk.soaked is not None else end.piece,
        on_face=end.face if end.face >= 0 else walk.spots[-1].face,
        soaked_from=walk.soaked_from,
        falls_to=walk.falls_to,
        crossings=tuple(walk.crossings),
    )


def _tile_at(trace: Trace, tile: int, u: float, v: float) -> int:
    """The tile of the same panel that holds a place."""
    tiling = trace.ways.lay.tiling
    if tiling.tiles[tile].tile.holds(u, v):
        return tile
    panel = tiling.tiles[tile].panel
    near = tiling.near(tiling.tiles[tile].face, (u, v, u, v))
    held = (t for t in near if tiling.tiles[t].panel == panel and tiling.tiles[t].tile.holds(u, v))
    return next(held, tile)


class _Walk:
    """One drop on its way."""

    def __init__(self, trace: Trace) -> None:
        self.trace = trace
        self.lay = trace.ways.lay
        self.spots: list[Spot] = []
        self.end: End | None = None
        self.soaked: int | None = None
        self.soaked_from: int | None = None
        self.falls_to: Vector | None = None
        self.crossings: list[Crossing] = []

    def go(self, tile: int, u: float, v: float) -> None:
        wet = self.lay.tiling.tiles[tile]
        self._add(wet.face, u, v, wet.piece)
        if self.trace.corner.pieces[wet.piece].sheet.value == "absorbs":
            self._soak(wet.piece)
        columns = self.lay.columns[tile]
        if not columns:
            self.end = End(EndKind.STANDS, wet.piece, wet.face)
            return
        column = next((c for c in columns if c.left <= u <= c.right), columns[-1])
        below = [j for j, e in enumerate(column.events) if e.line.at(u) <= v]
        node = column.first_node + (below[0] if below else len(column.events) - 1)
        for _ in range(LONGEST):
            nxt = self._step(node, u)
            if nxt is None:
                return
            node, u = nxt

    def _add(self, face: int, u: float, v: float, piece: int | None) -> None:
        self.spots.append(Spot(face, u, v, piece))

    def _soak(self, piece: int) -> None:
        if self.soaked is None:
            self.soaked, self.soaked_from = piece, len(self.spots) - 1

    def _step(self, node: int, u: float) -> tuple[int, float] | None:
        """To the end of a node's stretch and over its hop; None at the trail's end."""
        hops = self.trace.ways.hops[node]
        if node < len(self.lay.column_of_node):
            column, event = self.lay.column_of_node[node], self.lay.event_of(node)
            wet = self.lay.tiling.tiles[column.tile]
            self._add(wet.face, u, event.line.at(u), wet.piece)
            hop = next((h for h in hops if h.left <= u <= h.right), hops[-1])
        else:
            wet = self.lay.tiling.tiles[self.lay.stop_of(node).tile]
            hop = hops[0]
            self._add(*hop.at, wet.piece)
        return self._over(hop, u)

    def _over(self, hop: Hop, u: float) -> tuple[int, float] | None:
        for tag in hop.tags:
            if isinstance(tag, IntoTrough) and not self._spills(tag):
                outlet = self.trace.ways.outlets[tag.trough][0].hops[0]
                self._add(*outlet.at, self.spots[-1].piece)
                return self._over(outlet, outlet.left)
            if isinstance(tag, IntoGutter) and not self._spills(tag):
                self.end = End(EndKind.GUTTER, tag.piece, self.spots[-1].face)
                self.falls_to = self._gutter_place(tag.piece)
                return None
            if isinstance(tag, Crossing):
                self.crossings.append(tag)
        return self._land(hop, u)

    def _land(self, hop: Hop, u: float) -> tuple[int, float] | None:
        if isinstance(hop.goal, End):
            self.end = hop.goal
            for tag in hop.tags:
                if isinstance(tag, Soak):
                    self._soak(tag.piece)
            if hop.goal.kind is EndKind.CLEAR:
                self.falls_to = self._space(self.spots[-1])
            return None
        self._enter(hop.goal, u)
        for tag in hop.tags:
            if isinstance(tag, Soak):
                self._soak(tag.piece)
        return hop.goal.node, hop.goal.across.at(u)

    def _enter(self, goal: Go, u: float) -> None:
        """Add the place where the water arrives, on its new piece or face."""
        last = self.spots[-1]
        if goal.node >= len(self.lay.column_of_node):
            wet = self.lay.tiling.tiles[self.lay.stop_of(goal.node).tile]
        else:
            wet = self.lay.tiling.tiles[self.lay.column_of_node[goal.node].tile]
        if wet.face == last.face:
            place = (goal.across.at(u) if goal.across.slope else last.u, last.v)
        else:
            place = _below(self.trace.corner.faces[wet.face].frame, self._space(last))
        self._add(wet.face, *place, wet.piece)

    def _space(self, spot: Spot) -> Vector:
        return self.trace.corner.faces[spot.face].frame.to_space(spot.u, spot.v)

    def _spills(self, tag: IntoTrough | IntoGutter) -> bool:
        return tag in self.trace.spilling

    def _gutter_place(self, piece: int) -> Vector:
        gutter = self.trace.corner.pieces[piece].gutter
        x, y, _ = self._space(self.spots[-1])
        assert gutter is not None
        return x, y, 0.5 * (gutter.start[2] + gutter.end[2])


def _below(frame: Frame, point: Vector) -> tuple[float, float]:
    """The place on a plane straight below a point, or the nearest on an upright plane. [in]"""
    x, y, z = point
    n = frame.normal
    if abs(n[2]) > 1e-9:
        z -= frame.height_over(point) / n[2]
    return frame.to_plane((x, y, z))
