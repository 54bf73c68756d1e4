"""Lanes: trails set side by side, so that each is seen, and joined where one meets another."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from weatherlap.drawings.naming import names
from weatherlap.drawings.placing import Box
from weatherlap.drawings.svg import Point
from weatherlap.water.follow import TrailLine, inner_spot, line_at
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace

SAME_IN = 0.75
"""A trail that passes within this of where rain lands takes it along. [in]"""
LEAST_SHARE = 2e-4
"""Rain that is less than this share of the heaviest start is not drawn. [-]"""
LANE_SHARE = 0.05
"""How far apart trails are set, as a share of their face's width. [-]"""
_TRIES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.14, 0.86, 0.07, 0.93)
_BELOW_TOP_IN = 3.0

Segment = tuple[int, float, float, float, float]
_NO_ROWS = np.zeros((0, 5))


@dataclass(slots=True)
class Lanes:
    """The trails so far and where they run."""

    lines: list[TrailLine] = field(default_factory=list)
    flows: list[tuple[float, float]] = field(default_factory=list)
    on_piece: dict[tuple[int, int | None], list[Segment]] = field(
        default_factory=lambda: defaultdict(list)
    )
    on_face: dict[int, list[Segment]] = field(default_factory=lambda: defaultdict(list))
    _table: dict[int, NDArray[np.float64]] = field(default_factory=dict)

    def joined(self, face: int, piece: int | None, box: Box) -> int | None:
        """The trail that passes over a box on a piece, if one does."""
        for k, u0, v0, u1, v1 in self.on_piece[face, piece]:
            if u1 >= box[0] and u0 <= box[2] and v1 >= box[1] - SAME_IN and v0 <= box[3] + SAME_IN:
                return k
        return None

    def crowd(self, face: int, u: float, top: float, apart: float) -> int:
        """How many trails of a face run within a lane's width below a place."""
        rows, table = self.on_face[face], self._table.get(face, _NO_ROWS)
        if len(table) < len(rows):
            table = np.concatenate([table, np.array(rows[len(table) :], dtype=float)])
            self._table[face] = table
        number, left, low, right, _ = table.T
        near = (left - apart < u) & (u < right + apart) & (low < top)
        return len(set(number[near].tolist()))

    def add(self, line: TrailLine) -> None:
        """Keep a trail."""
        number = len(self.lines)
        self.lines.append(line)
        self.flows.append((line.flow_lph, line.per_year_l))
        for a, b in pairwise(line.spots):
            if a.face == b.face:
                low, high = min(a.v, b.v), max(a.v, b.v)
                segment = (number, min(a.u, b.u), low, max(a.u, b.u), high)
                self.on_face[a.face].append(segment)
                if a.piece == b.piece:
                    self.on_piece[a.face, a.piece].append(segment)


def spaced_trails(trace: Trace, *, most: int | None = None) -> tuple[TrailLine, ...]:
    """A line for each different way of the rain, side by side, the heaviest first.

    Rain that lands on another trail's way is added to that trail.

    Parameters
    ----------
    most : int, optional
        How many lines are given at most.
    """
    lanes = Lanes()
    for start, flow, year in _ranked(trace):
        at = lanes.joined(start.face, piece_under(trace, start), bounds_of(start))
        if at is not None:
            lanes.flows[at] = (lanes.flows[at][0] + flow, lanes.flows[at][1] + year)
            continue
        u, v = _lane(trace, start, lanes)
        lanes.add(line_at(trace, start, u=u, v=v))
    lines = [
        replace(line, flow_lph=flow, per_year_l=year)
        for line, (flow, year) in zip(lanes.lines, lanes.flows, strict=True)
    ]
    lines = _one_of_a_kind(trace, lines)
    lines.sort(key=lambda line: -line.flow_lph)
    return tuple(lines[:most])


def _one_of_a_kind(trace: Trace, lines: Sequence[TrailLine]) -> list[TrailLine]:
    """Of trails over like courses to like ends the heaviest stands for all, with all their flow."""
    run_of = {
        p: name.pieces[0]
        for name in names(trace.corner, range(len(trace.corner.pieces)))
        for p in name.pieces
    }
    kinds: dict[tuple[object, ...], list[TrailLine]] = {}
    for line in lines:
        ways = [(s.face, s.piece if s.piece is None else run_of[s.piece]) for s in line.spots]
        steps = tuple(way for k, way in enumerate(ways) if k == 0 or way != ways[k - 1])
        kinds.setdefault((line.layer, line.end, line.on_face, steps), []).append(line)
    found = []
    for rows in kinds.values():
        heaviest = max(rows, key=lambda line: line.flow_lph)
        flow, year = sum(r.flow_lph for r in rows), sum(r.per_year_l for r in rows)
        found.append(replace(heaviest, flow_lph=flow, per_year_l=year))
    return found


def rain_on(trace: Trace, start: Start) -> tuple[float, float]:
    """The rain of a start: in the design rain [L/h] and in a year [L]."""
    face = trace.corner.faces[start.face]
    area = start.area_in2 * start.share
    return (
        area * trace.rain.design_lph_per_in2(face.facing_deg, face.tilt_deg),
        area * trace.rain.year_l_per_in2(face.facing_deg, face.tilt_deg),
    )


def piece_under(trace: Trace, start: Start) -> int | None:
    """The piece that rain of a start lands on, or None in a cavity."""
    return None if start.tile is None else trace.ways.lay.tiling.tiles[start.tile].piece


def _ranked(trace: Trace) -> list[tuple[Start, float, float]]:
    """Starts worth drawing with their rain [L/h, L a year], the first layer and the top first."""
    rows = []
    for start in trace.starts:
        flow, year = rain_on(trace, start)
        u0, _, u1, v1 = bounds_of(start)
        top = trace.corner.faces[start.face].frame.to_space(0.5 * (u0 + u1), v1)[2]
        rows.append((start, flow, year, top))
    heaviest = {
        layer: max((r[1] for r in rows if r[0].layer == layer), default=0.0) for layer in (0, 1)
    }
    kept = [r for r in rows if r[1] > LEAST_SHARE * heaviest[r[0].layer]]
    kept.sort(key=lambda r: (r[0].layer, -r[3], r[0].face, -r[1], r[0].trail))
    return [(start, flow, year) for start, flow, year, _ in kept]


def bounds_of(start: Start) -> Box:
    """The box round a start's area. [in]"""
    return start.patch.bounds


def _lane(trace: Trace, start: Start, lanes: Lanes) -> Point:
    """Where rain of a start is shown to land: beside the trails that are there."""
    u0, _, u1, _ = trace.corner.faces[start.face].outline.bounds
    apart = LANE_SHARE * (u1 - u0)
    best: tuple[int, int] | None = None
    place: Point | None = None
    left, _, right, _ = bounds_of(start)
    for k, share in enumerate(_TRIES):
        spot = _top_at(start, left + share * (right - left))
        if spot is None:
            continue
        rank = (lanes.crowd(start.face, spot[0], spot[1], apart), k)
        if best is None or rank < best:
            best, place = rank, spot
        if rank[0] == 0:
            break
    return inner_spot(start.patch.geometry()) if place is None else place


def _top_at(start: Start, u: float) -> Point | None:
    """A place a little below the upper edge of a start's area at u, or None. [in]"""
    spans = start.patch.spans(u)
    if not spans:
        return None
    low, high = max(spans, key=lambda s: s[1] - s[0])
    return u, high - min(_BELOW_TOP_IN, 0.3 * (high - low))
