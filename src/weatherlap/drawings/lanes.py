"""Lanes: trails set side by side, so that each is seen, and joined where one meets another."""

from __future__ import annotations

from array import array
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from weatherlap.building.corner import Corner
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


class _Lines:
    """Where the lines on one face run; ``apart`` is a lane's width. [in]"""

    def __init__(self, apart: float) -> None:
        self._apart = apart
        self._rows = array("d")
        self._firsts: list[int] = []

    def add(self, boxes: Sequence[Box]) -> None:
        """Keep the boxes round the segments of one line."""
        self._firsts.append(len(self._rows) // 3)
        for left, low, right, _ in boxes:
            self._rows.extend((left, right, low))

    def crowd(self, places: Sequence[Point]) -> list[int]:
        """For each place, how many lines run within a lane's width below it."""
        u, top = np.array(places).T[:, :, None]
        left, right, low = np.frombuffer(self._rows).reshape(-1, 3).T
        near = (left - self._apart < u) & (u < right + self._apart) & (low < top)
        counts: list[int] = np.logical_or.reduceat(near, self._firsts, axis=1).sum(axis=1).tolist()
        return counts


@dataclass(slots=True)
class Lanes:
    """The trails so far and where they run; ``apart`` is a lane's width on each face. [in]"""

    apart: Sequence[float]
    lines: list[TrailLine] = field(default_factory=list)
    flows: list[tuple[float, float]] = field(default_factory=list)
    on_piece: dict[tuple[int, int | None], list[Segment]] = field(
        default_factory=lambda: defaultdict(list)
    )
    on_face: dict[int, _Lines] = field(default_factory=dict)

    @classmethod
    def on(cls, corner: Corner) -> Lanes:
        """No trail yet, on the faces of a corner."""
        bounds = [face.outline.bounds for face in corner.faces]
        return cls([LANE_SHARE * (u1 - u0) for u0, _, u1, _ in bounds])

    def joined(self, face: int, piece: int | None, box: Box) -> int | None:
        """The trail that passes over a box on a piece, if one does."""
        for k, u0, v0, u1, v1 in self.on_piece[face, piece]:
            if u1 >= box[0] and u0 <= box[2] and v1 >= box[1] - SAME_IN and v0 <= box[3] + SAME_IN:
                return k
        return None

    def crowd(self, face: int, places: Sequence[Point]) -> list[int]:
        """How many trails of a face run within a lane's width below each of some places."""
        lines = self.on_face.get(face)
        return [0] * len(places) if lines is None else lines.crowd(places)

    def add(self, line: TrailLine) -> None:
        """Keep a trail."""
        number = len(self.lines)
        self.lines.append(line)
        self.flows.append((line.flow_lph, line.per_year_l))
        boxes: dict[int, list[Box]] = defaultdict(list)
        for a, b in pairwise(line.spots):
            if a.face == b.face:
                box = min(a.u, b.u), min(a.v, b.v), max(a.u, b.u), max(a.v, b.v)
                boxes[a.face].append(box)
                if a.piece == b.piece:
                    self.on_piece[a.face, a.piece].append((number, *box))
        for face, own in boxes.items():
            if face not in self.on_face:
                self.on_face[face] = _Lines(self.apart[face])
            self.on_face[face].add(own)


def spaced_trails(trace: Trace, *, most: int | None = None) -> tuple[TrailLine, ...]:
    """A line for each different way of the rain, side by side, the heaviest first.

    Rain that lands on another trail's way is added to that trail.

    Parameters
    ----------
    most : int, optional
        How many lines are given at most.
    """
    lanes = Lanes.on(trace.corner)
    for start, flow, year in _ranked(trace):
        at = lanes.joined(start.face, piece_under(trace, start), bounds_of(start))
        if at is not None:
            lanes.flows[at] = (lanes.flows[at][0] + flow, lanes.flows[at][1] + year)
            continue
        u, v = _lane(start, lanes)
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


def rain_on_faces(trace: Trace) -> list[tuple[float, float]]:
    """The rain on each face: in the design rain [L/h per in2] and in a year [L per in2]."""
    rain = trace.rain
    return [
        (
            rain.design_lph_per_in2(face.facing_deg, face.tilt_deg),
            rain.year_l_per_in2(face.facing_deg, face.tilt_deg),
        )
        for face in trace.corner.faces
    ]


def piece_under(trace: Trace, start: Start) -> int | None:
    """The piece that rain of a start lands on, or None in a cavity."""
    return None if start.tile is None else trace.ways.lay.tiling.tiles[start.tile].piece


def _ranked(trace: Trace) -> list[tuple[Start, float, float]]:
    """Starts worth drawing with their rain [L/h, L a year], the first layer and the top first."""
    rows = []
    rain = rain_on_faces(trace)
    for start in trace.starts:
        area = start.area_in2 * start.share
        design, year = rain[start.face]
        u0, _, u1, v1 = bounds_of(start)
        top = trace.corner.faces[start.face].frame.to_space(0.5 * (u0 + u1), v1)[2]
        rows.append((start, area * design, area * year, top))
    heaviest = {
        layer: max((r[1] for r in rows if r[0].layer == layer), default=0.0) for layer in (0, 1)
    }
    kept = [r for r in rows if r[1] > LEAST_SHARE * heaviest[r[0].layer]]
    kept.sort(key=lambda r: (r[0].layer, -r[3], r[0].face, -r[1], r[0].trail))
    return [(start, flow, year) for start, flow, year, _ in kept]


def bounds_of(start: Start) -> Box:
    """The box round a start's area. [in]"""
    return start.patch.bounds


def _lane(start: Start, lanes: Lanes) -> Point:
    """Where rain of a start is shown to land: beside the trails that are there."""
    left, _, right, _ = bounds_of(start)
    places = _tops(start, [left + share * (right - left) for share in _TRIES])
    if not places:
        return inner_spot(start.patch.geometry())
    crowd = lanes.crowd(start.face, places)
    return places[crowd.index(min(crowd))]


def _tops(start: Start, us: Sequence[float]) -> list[Point]:
    """Places a little below the upper edge of a start's area, at each u that lies in it. [in]"""
    boxes = start.patch.boxes
    if boxes is not None and len(boxes) == 1:
        left, low, right, high = boxes[0]
        top = high - min(_BELOW_TOP_IN, 0.3 * (high - low))
        return [(u, top) for u in us if left < u < right]
    found = []
    for u in us:
        low, high = max(start.patch.spans(u), key=lambda s: s[1] - s[0], default=(0.0, 0.0))
        if low < high:
            found.append((u, high - min(_BELOW_TOP_IN, 0.3 * (high - low))))
    return found
