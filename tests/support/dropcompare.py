"""Drops of the follower beside what the trace says of the same places."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass

import shapely
from dropcorner import LEAST, DropCorner
from dropfollower import FIRST, SECOND, End, Follower
from dropgeometry import Point, inside

from weatherlap.building.corner import build_corner
from weatherlap.job.model import Job
from weatherlap.water import hops
from weatherlap.water.channels import gutter_capacity_lph, trough_capacity_lph
from weatherlap.water.rain import SiteRain, site_rain
from weatherlap.water.trace import EndRow, Trace, trace

OFF_U, OFF_V = 0.3706, 0.4142
"""Where in a cell of the grid its drop falls: off every edge. [-]"""
GOLDEN = (0.7548776662466927, 0.5698402909980532)
"""Steps that spread places evenly over cells that follow each other. [-]"""

Where = tuple[str, int, str, str | None]
"""The rain of a face and layer (from 0), and how and at which piece it ends."""


@dataclass(frozen=True)
class Differs:
    """A drop of which the two tell different ends."""

    face: str
    layer: int
    place: Point
    follower: dict[End, float]
    trace: dict[End, float]

    def __str__(self) -> str:
        where = f"layer {self.layer + 1}, {self.face} at {self.place[0]:.4f}, {self.place[1]:.4f}"
        return f"{where}\n  follower {self.follower}\n  trace    {self.trace}"


def traced(job: Job) -> Trace:
    """The program's answer for a job."""
    return trace(build_corner(job), site_rain(job.site))


class TraceEnds:
    """What the trace says of the rain at a place, share by share."""

    def __init__(self, result: Trace) -> None:
        self.result = result
        self.known: dict[int, dict[End, float]] = {}

    def at(self, face: int, places: list[Point], layer: int) -> list[dict[End, float]]:
        """The ends of the rain of one layer at each place; none where no rain takes it."""
        found: list[dict[End, float]] = [{} for _ in places]
        name = self.result.corner.faces[face].id
        for start in self.result.starts:
            if (start.face, start.layer) != (face, layer):
                continue
            ends = {_here(e, name): s for e, s in self.trail(start.trail).items()}
            hit = shapely.contains_xy(start.patch.geometry(), places)
            for k in hit.nonzero()[0]:
                found[k] = ends
        return found

    def trail(self, number: int) -> dict[End, float]:
        """The ends of a trail, each with its share."""
        if number not in self.known:
            ends: dict[End, float] = defaultdict(float)
            for share, end in self._steps(number):
                ends[end] += share
            self.known[number] = {e: s for e, s in ends.items() if s > 1e-12}
        return self.known[number]

    def _steps(self, number: int):
        step = self.result.ways.trails.steps[number]
        what = step.what
        if isinstance(what, hops.End):
            yield 1.0, self._end(what.kind.value, what.piece, what.face)
        elif isinstance(what, hops.Soak):
            yield 1.0, self._end("soak", what.piece, what.face)
        elif isinstance(what, hops.Crossing):
            yield from self._after(step.after, 1.0)
        else:
            over = float(self.result.flows.spill[number, 0])
            yield from self._after(step.after, over)
            if isinstance(what, hops.IntoGutter):
                yield 1.0 - over, self._end("gutter", what.piece, -1)
                return
            for share, trail in self.result.ways.outlet_trails[what.trough]:
                yield from self._after(trail, (1.0 - over) * share)

    def _after(self, number: int, share: float):
        if share > 0.0:
            yield from ((share * part, end) for end, part in self.trail(number).items())

    def _end(self, kind: str, piece: int | None, face: int) -> End:
        corner = self.result.corner
        return (
            kind,
            None if piece is None else corner.pieces[piece].id,
            corner.faces[face].id if face >= 0 else "",
        )


def _here(end: End, face: str) -> End:
    """An end with the face that its rain fell on, where it names none."""
    return end[0], end[1], end[2] or face


def grid(
    corners: list[Point], step: float, *, jitter: bool = False, shift: float = 0.0
) -> list[Point]:
    """Places in a polygon, one in each cell of a grid; with jitter anywhere in its cell. [in]

    ``shift`` moves them all within their cells. [-]
    """
    us, vs = [u for u, _ in corners], [v for _, v in corners]
    columns = round((max(us) - min(us)) / step)
    rows = round((max(vs) - min(vs)) / step)
    places = []
    for k in range(columns * rows):
        i, j = divmod(k, rows)
        more = (k * GOLDEN[0], k * GOLDEN[1]) if jitter else (0.0, 0.0)
        off = ((OFF_U + more[0] + shift) % 1.0, (OFF_V + more[1] + shift) % 1.0)
        places.append((min(us) + (i + off[0]) * step, min(vs) + (j + off[1]) * step))
    return [p for p in places if inside(corners, p)]


def differences(follower: Follower, said: TraceEnds, *, step: float) -> list[Differs]:
    """The drops of a grid of which follower and trace tell different ends. [in]"""
    found = []
    for face in follower.corner.faces:
        if face.tilt > 90:
            continue
        places = grid(face.corners, step)
        for layer in (FIRST, SECOND):
            for place, theirs in zip(places, said.at(face.number, places, layer), strict=True):
                rain = follower.rain(face.number, place, layer)
                ends = {} if rain is None else rain[0].ends
                mine = {_here(e, face.id): s for e, s in ends.items()}
                if not same(mine, theirs):
                    found.append(Differs(face.id, layer, place, mine, theirs))
    return found


def same(a: dict[End, float], b: dict[End, float]) -> bool:
    """Whether two answers tell the same ends with the same shares."""
    return all(abs(a.get(end, 0.0) - b.get(end, 0.0)) < 1e-6 for end in {*a, *b})


@dataclass(frozen=True)
class Sums:
    """Area [in2] and design flow [L/h] by end, and the flow that comes to troughs and gutters."""

    area: dict[Where, float]
    flow: dict[Where, float]
    caught: dict[tuple[str, int | str], float]


def sums(
    follower: Follower, rain: SiteRain, *, step: float, jitter: bool, shift: float = 0.0
) -> Sums:
    """All drops of a grid added up, each for its cell. [in]"""
    area: dict[Where, float] = defaultdict(float)
    flow: dict[Where, float] = defaultdict(float)
    caught: dict[tuple[str, int | str], float] = defaultdict(float)
    for face in follower.corner.faces:
        if face.tilt > 90:
            continue
        places = grid(face.corners, step, jitter=jitter, shift=shift)
        for place in places:
            for layer in (FIRST, SECOND):
                fell = follower.rain(face.number, place, layer)
                if fell is None:
                    continue
                drop, share = fell
                lph = share * step**2 * rain.design_lph_per_in2(face.facing, face.tilt)
                for (kind, piece, _), part in drop.ends.items():
                    area[face.id, layer, kind, piece] += part * step**2
                    flow[face.id, layer, kind, piece] += part * lph
                for hub, part in drop.caught.items():
                    caught[hub] += part * lph
    return Sums(area, flow, caught)


def area_error(job: Job, result: Trace, *, step: float, jitter: bool, shift: float = 0.0) -> float:
    """The most by which an end's area is out, as a share of all the area rained on. [-]"""
    mine = sums(Follower(job), result.rain, step=step, jitter=jitter, shift=shift).area
    whole = sum(r.area_in2 for r in result.ends if r.layer == FIRST)
    return _most_apart(mine, _rows(result, lambda r: r.area_in2)) / whole


def flow_error(job: Job, result: Trace, *, step: float) -> float:
    """The most by which an end's flow is out, as a share of all the rain. [-]

    In each pass the drops are followed with the spills found in the pass before; troughs lie one
    over the other, so that after as many passes as there are troughs nothing changes.
    """
    capacity = capacities(job)
    spills: dict[tuple[str, int | str], float] = {}
    for _ in range(len(capacity) + 1):
        found = sums(Follower(job, spills=spills), result.rain, step=step, jitter=True)
        new = {h: max(0.0, 1.0 - capacity[h] / q) for h, q in found.caught.items() if q > 0.0}
        if new == spills:
            break
        spills = new
    return _most_apart(found.flow, _rows(result, lambda r: r.flow_lph)) / result.in_lph


def _rows(result: Trace, amount: Callable[[EndRow], float]) -> dict[Where, float]:
    rows: dict[Where, float] = defaultdict(float)
    for r in result.ends:
        piece = None if r.piece is None else result.corner.pieces[r.piece].id
        rows[result.corner.faces[r.from_face].id, r.layer, r.end.value, piece] += amount(r)
    return rows


def _most_apart(a: dict[Where, float], b: dict[Where, float]) -> float:
    return max((abs(a.get(k, 0.0) - b.get(k, 0.0)) for k in {*a, *b}), default=0.0)


def capacities(job: Job) -> dict[tuple[str, int | str], float]:
    """What each trough and gutter of a job carries, by the program's own formulas. [L/h]"""
    corner = DropCorner(job)
    found: dict[tuple[str, int | str], float] = {}
    for piece in corner.pieces:
        for face, troughs in piece.troughs.items():
            rise = corner.faces[face].plane.up[2]
            for t in troughs:
                fall = abs(t.left[1] - t.right[1]) * rise
                ends = 2 - t.left_dammed - t.right_dammed if fall < LEAST else 1
                found["trough", t.number] = trough_capacity_lph(
                    t.width, t.depth, fall, math.dist(t.left, t.right), open_ends=max(ends, 1)
                )
        if piece.gutter is not None:
            (x0, y0, z0), (x1, y1, z1) = piece.gutter.ends
            g = piece.gutter
            found["gutter", piece.id] = gutter_capacity_lph(
                g.shape, g.width, g.depth, abs(z1 - z0), math.hypot(x1 - x0, y1 - y0)
            )
    return found
