"""Placed strips: where each layer of a section stands on the drawing, joined round the folds."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from weatherlap.building.corner import Corner
from weatherlap.drawings.cutting import MEET_IN, Band, Cut, Joint, Strip
from weatherlap.drawings.layers import (
    GAP,
    Break,
    Layer,
    Scale,
    Stacking,
    Stop,
    layers_of,
    outermost,
)
from weatherlap.drawings.svg import Point

Row = tuple[float, float, float]
WET = 2.8
"""How far off a layer's outer side its water is drawn. [drawing units]"""
NEAR_FOLD_IN = 6.0
APART = 46.0
"""Between groups of strips that are drawn closer together than they are. [drawing units]"""
APART_MOST = 70.0
_SQUARE_ON = 0.3
_ALMOST_FLAT = 0.08
_FARTHEST = 150.0
_FARTHEST_SHARP = 30.0
_SHARP = 0.6


@dataclass(frozen=True, slots=True)
class Placed:
    """A strip on the drawing: its origin, the way it runs and its outward normal (y down)."""

    strip: Strip
    scale: Scale
    layers: tuple[Layer, ...]
    origin: Point

    @property
    def way(self) -> Point:
        """The unit vector along the strip on the drawing."""
        x, z = self.strip.along
        return x, -z

    @property
    def out(self) -> Point:
        """The outward unit normal on the drawing."""
        return self.strip.normal[0], -self.strip.normal[1]

    def point(self, along: float, off: float) -> Point:
        """A place by its distances along and off the strip. [drawing units]"""
        (wx, wy), (ox, oy) = self.way, self.out
        return (
            self.origin[0] + along * wx + off * ox,
            self.origin[1] + along * wy + off * oy,
        )

    def end(self, at_in: float, *, upper: bool) -> float:
        """Where a place of the strip stands along the drawing. [drawing units]"""
        return self.scale.at(at_in, upper=upper)


@dataclass(frozen=True, slots=True)
class LayerLine:
    """A layer on the drawing: (along, x, y) on its inner side, outer side and its water's line.

    ``links`` are the outlines of what joins it to the same piece round a sharp fold.
    """

    placed: int
    layer: Layer
    inner: tuple[Row, ...]
    outer: tuple[Row, ...]
    wet: tuple[Row, ...]
    links: tuple[tuple[Point, ...], ...] = ()

    @property
    def piece(self) -> int:
        """The number of the piece."""
        return self.layer.band.piece

    def outline(self) -> list[Point]:
        """The closed outline of the layer as drawn."""
        return [(x, y) for _, x, y in self.inner] + [(x, y) for _, x, y in reversed(self.outer)]


def place(
    stacking: Stacking, cut: Cut, units_per_in: float, *, breaks: Sequence[tuple[Break, ...]]
) -> list[Placed]:
    """Every strip of a cut on the drawing, pulled apart at folds that look inward.

    ``breaks`` holds the stretches of each strip that are left out.
    """
    bare = []
    for s, gaps in zip(cut.strips, breaks, strict=True):
        scale = Scale(units_per_in, (), gaps)
        bare.append(Placed(s, scale, layers_of(stacking, s, scale), (0.0, 0.0)))
    stops: list[list[Stop]] = [[] for _ in bare]
    for joint in cut.joints:
        on_a, on_b = _rooms(bare, joint)
        if on_a > 0:
            stops[joint.a].append(Stop(joint.a_at, on_a))
        if on_b > 0:
            stops[joint.b].append(Stop(joint.b_at, on_b))
    placed = [
        Placed(p.strip, scale, layers_of(stacking, p.strip, scale), (0.0, 0.0)) if rows else p
        for p, rows, gaps in zip(bare, stops, breaks, strict=True)
        for scale in (Scale(units_per_in, tuple(_widest(rows)), gaps),)
    ]
    return _closed_up(_attached(placed, cut, units_per_in), cut)


def _widest(stops: list[Stop]) -> list[Stop]:
    """One stop at each place, with the most room that is asked for."""
    found: list[Stop] = []
    for stop in sorted(stops, key=lambda s: (s.at_in, -s.room)):
        if not found or stop.at_in - found[-1].at_in > MEET_IN:
            found.append(stop)
    return found


def _dot(a: Point, b: Point) -> float:
    return a[0] * b[0] + a[1] * b[1]


def _from(strip: Strip, at_in: float) -> Point:
    """The way from one end of a strip toward the other, on the drawing (z up)."""
    x, z = strip.along
    return (x, z) if at_in < strip.length_in / 2 else (-x, -z)


def side_of(a: Strip, joint: Joint, b: Strip) -> Point:
    """The way along strip ``a``, away from a joint, on the side that ``b`` looks to."""
    x, z = a.along
    if not joint.inside_a:
        return _from(a, joint.a_at)
    return (x, z) if _dot((x, z), b.normal) > 0 else (-x, -z)


def touches(band: Band, at_in: float) -> bool:
    """Whether a band begins or ends at a place of its strip. [in]"""
    return abs(band.start - at_in) <= MEET_IN or abs(band.end - at_in) <= MEET_IN


def spans(band: Band, at_in: float) -> bool:
    """Whether a band goes on to both sides of a place of its strip. [in]"""
    return band.start < at_in - MEET_IN and band.end > at_in + MEET_IN


def _rooms(placed: Sequence[Placed], joint: Joint) -> tuple[float, float]:
    """Room that a fold that looks inward needs along strip ``a`` and along strip ``b``."""
    a, b = placed[joint.a], placed[joint.b]
    along_a, along_b = side_of(a.strip, joint, b.strip), _from(b.strip, joint.b_at)
    lean_a, lean_b = _dot(along_a, b.strip.normal), _dot(along_b, a.strip.normal)
    if lean_a < _SQUARE_ON or lean_b < _SQUARE_ON:
        return 0.0, 0.0
    turning = _turning(placed, joint)
    deep_a = _near(a, joint.a_at, lambda y: spans(y.band, joint.a_at) or y.band.piece in turning)
    deep_b = _near(b, joint.b_at, lambda _: True)
    return (
        (deep_b + GAP) / lean_a if deep_b else 0.0,
        (deep_a + GAP) / lean_b if deep_a else 0.0,
    )


def _near(placed: Placed, at_in: float, keep: Callable[[Layer], bool]) -> float:
    middle = placed.end(at_in, upper=False)
    reach = NEAR_FOLD_IN * placed.scale.units_per_in
    return outermost(placed.layers, middle - reach, middle + reach, keep)


def _turning(placed: Sequence[Placed], joint: Joint) -> set[int]:
    """Pieces that go on round a fold."""
    a, b = placed[joint.a], placed[joint.b]
    on_a = {s.band.piece for s in a.layers if touches(s.band, joint.a_at)}
    on_b = {s.band.piece for s in b.layers if touches(s.band, joint.b_at)}
    return on_a & on_b


def _attached(placed: list[Placed], cut: Cut, units_per_in: float) -> list[Placed]:
    """Move each strip so that it hangs on the one before it; the first ones stay in place."""
    done: dict[int, Placed] = {}
    for root, loose in enumerate(placed):
        if root in done:
            continue
        x, z = loose.strip.start
        done[root] = replace(loose, origin=(x * units_per_in, -z * units_per_in))
        ready = [root]
        while ready:
            here = ready.pop(0)
            for joint in cut.joints:
                other = joint.b if here == joint.a else joint.a
                if here in (joint.a, joint.b) and other not in done:
                    on_a = here == joint.a
                    done[other] = _hung(done[here], placed[other], joint, a_first=on_a)
                    ready.append(other)
    return [done[i] for i in range(len(placed))]


def groups_of(cut: Cut) -> list[list[int]]:
    """Strips of a cut that hang together, as lists of their numbers."""
    group = list(range(len(cut.strips)))
    for joint in cut.joints:
        old, new = group[joint.b], group[joint.a]
        group = [new if g == old else g for g in group]
    return [[i for i, g in enumerate(group) if g == k] for k in sorted(set(group))]


def span_of(placed: Sequence[Placed], group: Sequence[int]) -> tuple[float, float]:
    """The highest and lowest place that a group of strips takes on the drawing."""
    ys = []
    for i in group:
        p = placed[i]
        ys += [p.point(t, 0.0)[1] for t in (0.0, p.end(p.strip.length_in, upper=True))]
        ys += [p.point(t, a + y.thickness)[1] for y in p.layers for t, a in y.profile]
    return min(ys), max(ys)


def _closed_up(placed: list[Placed], cut: Cut) -> list[Placed]:
    """Groups of strips with nothing between them are drawn closer together."""
    rows = sorted((span_of(placed, g), g) for g in groups_of(cut))
    done = list(placed)
    lowest, shift = rows[0][0][1], 0.0
    for (top, bottom), group in rows[1:]:
        empty = top - shift - lowest
        if empty > APART_MOST:
            shift += empty - APART
        for i in group:
            x, y = done[i].origin
            done[i] = replace(done[i], origin=(x, y - shift))
        lowest = max(lowest, bottom - shift)
    return done


def _hung(fixed: Placed, loose: Placed, joint: Joint, *, a_first: bool) -> Placed:
    a, b = (fixed, loose) if a_first else (loose, fixed)
    on_a, on_b = joint_places(a, b, joint)
    here, there = (on_a, on_b) if a_first else (on_b, on_a)
    at = fixed.point(here, 0.0)
    x, y = loose.point(there, 0.0)
    return replace(loose, origin=(loose.origin[0] + at[0] - x, loose.origin[1] + at[1] - y))


def joint_places(a: Placed, b: Placed, joint: Joint) -> tuple[float, float]:
    """Where a joint stands along each of its strips, outside the room made there."""
    ahead = _dot(side_of(a.strip, joint, b.strip), a.strip.along) > 0
    on_a = a.end(joint.a_at, upper=not ahead)
    on_b = b.end(joint.b_at, upper=joint.b_at > b.strip.length_in / 2)
    return on_a, on_b


def lines_of(corner: Corner, placed: Sequence[Placed], cut: Cut) -> list[LayerLine]:
    """Every layer's lines on the drawing.

    A piece that goes round a fold is mitred there; a layer that ends at the fold, inside of all
    such pieces, runs in under them.
    """
    lines = [
        LayerLine(
            i,
            layer,
            _side(p, layer, 0.0),
            _side(p, layer, layer.thickness),
            _side(p, layer, layer.thickness + WET),
        )
        for i, p in enumerate(placed)
        for layer in p.layers
    ]
    for joint in cut.joints:
        turning = sorted(_turning(placed, joint))
        for piece in turning:
            _mitre(lines, placed, joint, piece)
        _run_in(corner, lines, placed, joint, turning)
    return lines


def _run_in(
    corner: Corner,
    lines: list[LayerLine],
    placed: Sequence[Placed],
    joint: Joint,
    turning: Sequence[int],
) -> None:
    a, b = placed[joint.a], placed[joint.b]
    if not turning or not any(abs(s.at_in - joint.b_at) <= MEET_IN for s in b.scale.stops):
        return
    _, on_b = joint_places(a, b, joint)
    lean = max(_dot(_from(b.strip, joint.b_at), a.strip.normal), _SQUARE_ON)
    deep = _near(a, joint.a_at, lambda y: spans(y.band, joint.a_at)) / lean + 2.0
    first = joint.b_at < b.strip.length_in / 2
    for k, line in enumerate(lines):
        if line.placed != joint.b or not touches(line.layer.band, joint.b_at):
            continue
        if line.piece in turning or any(corner.outside(line.piece, t) for t in turning):
            continue
        along = on_b + (deep if first else -deep)
        rows = (line.inner, line.outer, line.wet)
        inner, outer, wet = (_ended(row, b, along, first=first) for row in rows)
        lines[k] = replace(line, inner=inner, outer=outer, wet=wet)


def _ended(rows: tuple[Row, ...], placed: Placed, along: float, *, first: bool) -> tuple[Row, ...]:
    """The rows with one end moved along the strip."""
    t, x, y = rows[0 if first else -1]
    (wx, wy), move = placed.way, along - t
    return _with_end(rows, (x + move * wx, y + move * wy), placed, first=first)


def _side(placed: Placed, layer: Layer, off: float) -> tuple[Row, ...]:
    return tuple((t, *placed.point(t, a + off)) for t, a in layer.profile)


def _mitre(lines: list[LayerLine], placed: Sequence[Placed], joint: Joint, piece: int) -> None:
    on_a = [
        k for k, line in enumerate(lines)
        if line.placed == joint.a and line.piece == piece and touches(line.layer.band, joint.a_at)
    ]  # fmt: skip
    on_b = [
        k for k, line in enumerate(lines)
        if line.placed == joint.b and line.piece == piece and touches(line.layer.band, joint.b_at)
    ]  # fmt: skip
    ahead = _dot(side_of(placed[joint.a].strip, joint, placed[joint.b].strip),
                 placed[joint.a].strip.along) > 0  # fmt: skip
    near = [k for k in on_a if _begins(lines[k], joint.a_at) == ahead]
    for a in near[:1] or on_a[:1]:
        for b in on_b[:1]:
            first = _begins(lines[a], joint.a_at), _begins(lines[b], joint.b_at)
            _meet(lines, placed, (a, b), first)


def _begins(line: LayerLine, at_in: float) -> bool:
    return abs(line.layer.band.start - at_in) <= abs(line.layer.band.end - at_in)


def _meet(
    lines: list[LayerLine],
    placed: Sequence[Placed],
    pair: tuple[int, int],
    first: tuple[bool, bool],
) -> None:
    """Move the two ends of two layers, line by line, to where they cross."""
    a, b = lines[pair[0]], lines[pair[1]]
    on_a, on_b = placed[a.placed], placed[b.placed]
    rows = ((a.inner, b.inner), (a.outer, b.outer), (a.wet, b.wet))
    ends = [(p[0 if first[0] else -1][1:], q[0 if first[1] else -1][1:]) for p, q in rows]
    meets = [crossing(p, on_a.way, q, on_b.way) for p, q in ends]
    if None in meets:
        corners = (ends[0][0], ends[1][0], ends[1][1], ends[0][1])
        lines[pair[0]] = replace(a, links=(*a.links, corners))
        return
    for line, on, mine, start in ((pair[0], on_a, 0, first[0]), (pair[1], on_b, 1, first[1])):
        inner, outer, wet = (
            _with_end(row[mine], at, on, first=start)
            for row, at in zip(rows, meets, strict=True)
            if at is not None
        )
        lines[line] = replace(lines[line], inner=inner, outer=outer, wet=wet)


def _with_end(rows: tuple[Row, ...], at: Point, placed: Placed, *, first: bool) -> tuple[Row, ...]:
    """The rows with an end moved, less the rows that the end has passed."""
    way, origin = placed.way, placed.origin
    along = _dot((at[0] - origin[0], at[1] - origin[1]), way)
    if first:
        return ((rows[0][0], *at), *(r for r in rows[1:-1] if r[0] > along), rows[-1])
    return (rows[0], *(r for r in rows[1:-1] if r[0] < along), (rows[-1][0], *at))


def crossing(p: Point, along_p: Point, q: Point, along_q: Point) -> Point | None:
    """Where two lines cross; None if that is too far off to be a bend in one piece.

    Lines that hardly differ meet in the middle between their points.
    """
    cross = along_p[0] * along_q[1] - along_p[1] * along_q[0]
    if abs(cross) < _ALMOST_FLAT:
        return 0.5 * (p[0] + q[0]), 0.5 * (p[1] + q[1])
    dx, dy = q[0] - p[0], q[1] - p[1]
    t = (dx * along_q[1] - dy * along_q[0]) / cross
    s = (dx * along_p[1] - dy * along_p[0]) / cross
    if max(abs(t), abs(s)) > (_FARTHEST if abs(cross) > _SHARP else _FARTHEST_SHARP):
        return None
    return p[0] + t * along_p[0], p[1] + t * along_p[1]
