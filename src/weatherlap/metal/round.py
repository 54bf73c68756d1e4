"""A piece that goes round folds of the corner: its legs in order, and what hangs off their ends."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import shapely
from shapely import LineString, Polygon
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Face, Panel
from weatherlap.errors import InputError
from weatherlap.metal.along import Point
from weatherlap.metal.model import Toward
from weatherlap.shape.folds import TOUCH_IN, Contact
from weatherlap.shape.frames import Frame, Vector, cross, dot, minus
from weatherlap.units import tape

FAR_IN = 1e5
PARALLEL = 0.9998


@dataclass(frozen=True, slots=True)
class Flap:
    """Metal that turns round the end of a leg (counted from 0), unfolded beside it. [in, deg]

    ``shape`` and ``fold`` are in the leg's own plane: along the run, and across from its start.
    """

    leg: int
    name: str
    shape: Polygon
    fold: tuple[Point, Point]
    angle_deg: float
    toward: Toward


@dataclass(frozen=True, slots=True)
class Course:
    """A piece as its legs follow one another round parallel folds. [in]

    ``points`` are the corners of its section, the outside on the left. ``shapes`` are the legs
    seen from outside, each along the run and across from its start (of several parts where panels
    lie in one plane); ``folds`` are the stretches of the run over which each bend is made.
    ``ends`` say which side of the first leg's face the run begins and ends at. ``apart`` names
    faces whose panel touches no other, ``hidden`` what of a panel lies behind the next one.
    """

    points: tuple[Point, ...]
    faces: tuple[tuple[str, ...], ...]
    names: tuple[str, ...]
    shapes: tuple[BaseGeometry, ...]
    folds: tuple[tuple[tuple[float, float], ...], ...]
    flaps: tuple[Flap, ...]
    length_in: float
    ends: tuple[str, str]
    apart: tuple[str, ...] = ()
    hidden: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Link:
    """A fold that a piece goes round, from one panel to another, in space. [in]"""

    a: int
    b: int
    start: Vector
    end: Vector

    @property
    def length(self) -> float:
        return math.dist(self.start, self.end)

    @property
    def way(self) -> Vector:
        return _unit(minus(self.end, self.start))

    def far_side(self, panel: int) -> int:
        return self.b if panel == self.a else self.a


def course_of(corner: Corner, piece: int) -> Course:
    """How a piece goes round the folds of the corner.

    The folds that it follows for the longest way, and those parallel to them, make its section;
    panels round other folds are flaps.

    Raises
    ------
    InputError
        If it has no panel, or goes more than two ways from one of them.
    """
    own = corner.pieces[piece]
    where = f"piece {own.id}"
    panels = [corner.panels[p] for p in own.panels]
    if not panels:
        raise InputError(where, "it lies on no face", "a piece with panels")
    links = list(_links(corner, panels))
    planes = _planes(corner, panels)
    seams = [k for k in links if planes[k.a] == planes[k.b]]
    folds = [k for k in links if k not in seams]
    main = _main(folds)
    chain = _chain(where, panels, main, planes)
    chain = [_with_seams(row, panels, seams) for row in chain]
    return _laid(corner, panels, chain, main, [k for k in folds if k not in main])


def _with_seams(row: list[Panel], panels: Sequence[Panel], seams: Sequence[_Link]) -> list[Panel]:
    """Panels of one leg with those that go on from them in the same plane."""
    near: dict[int, set[int]] = {p.index: set() for p in panels}
    for seam in seams:
        near[seam.a].add(seam.b)
        near[seam.b].add(seam.a)
    reached = {n for p in row for n in _reached(near, p.index)}
    return [p for p in panels if p.index in reached]


def _planes(corner: Corner, panels: Sequence[Panel]) -> dict[int, int]:
    """For each panel the first one that lies in the same plane."""
    found: dict[int, int] = {}
    for panel in panels:
        frame = corner.faces[panel.face].frame
        found[panel.index] = next(
            (
                other.index
                for other in panels
                if other.index in found and _same_plane(frame, corner.faces[other.face].frame)
            ),
            panel.index,
        )
    return found


def _same_plane(a: Frame, b: Frame) -> bool:
    return dot(a.normal, b.normal) > PARALLEL and abs(a.height_over(b.origin)) <= TOUCH_IN


def _links(corner: Corner, panels: Sequence[Panel]) -> Iterator[_Link]:
    """The folds between panels that both come up to them, each pair once."""
    for i, a in enumerate(panels):
        for b in panels[i + 1 :]:
            found = [
                link
                for contact in corner.contacts_of[a.face]
                if contact.there == b.face
                and (link := _link(corner.faces[a.face], a, b, contact)) is not None
            ]
            if found:
                yield max(found, key=lambda link: link.length)


def _link(face: Face, a: Panel, b: Panel, fold: Contact) -> _Link | None:
    """The part of a fold that both panels come up to."""
    mine = _shares(a, fold.start, fold.end)
    theirs = _shares(b, fold.there_start, fold.there_end)
    if mine is None or theirs is None:
        return None
    low, high = max(mine[0], theirs[0]), min(mine[1], theirs[1])
    (u0, v0), (u1, v1) = fold.start, fold.end
    if (high - low) * math.hypot(u1 - u0, v1 - v0) <= 2 * TOUCH_IN:
        return None
    ends = [face.frame.to_space(u0 + s * (u1 - u0), v0 + s * (v1 - v0)) for s in (low, high)]
    return _Link(a.index, b.index, ends[0], ends[1])


def _shares(panel: Panel, start: Point, end: Point) -> tuple[float, float] | None:
    """From which share of a line to which one a panel comes up to it."""
    line = LineString([start, end])
    near = line.intersection(panel.polygon.buffer(TOUCH_IN, join_style="mitre"))
    if near.is_empty or near.length <= TOUCH_IN:
        return None
    reach = [line.project(shapely.Point(p), normalized=True) for p in shapely.get_coordinates(near)]
    slack = TOUCH_IN / line.length
    low, high = min(reach), max(reach)
    return (low + slack if low > 0 else low), (high - slack if high < 1 else high)


def _main(links: Sequence[_Link]) -> list[_Link]:
    """The parallel folds that are followed for the longest way."""
    groups = [[k for k in links if abs(dot(k.way, one.way)) > PARALLEL] for one in links]
    return max(groups, key=lambda group: sum(k.length for k in group), default=[])


def _chain(
    where: str, panels: Sequence[Panel], links: Sequence[_Link], planes: dict[int, int]
) -> list[list[Panel]]:
    """The panels of the section from start to end, those in one plane together."""
    if not links:
        return [[max(panels, key=lambda p: p.polygon.area)]]
    near: dict[int, set[int]] = {}
    for link in links:
        near.setdefault(planes[link.a], set()).add(planes[link.b])
        near.setdefault(planes[link.b], set()).add(planes[link.a])
    reached = _reached(near, planes[max(links, key=lambda k: k.length).a])
    ends = sorted(p for p in reached if len(near[p]) == 1)
    if len(ends) != 2 or sum(len(near[p]) for p in reached) != 2 * (len(reached) - 1):
        raise InputError(
            where, "it goes more than two ways from one of its panels",
            "a section that runs from one edge to another", "Make it of two pieces.",
        )  # fmt: skip
    order = [ends[0]]
    while len(order) < len(reached):
        order += near[order[-1]] - set(order)
    linked = {p for link in links for p in (link.a, link.b)}
    return [[p for p in panels if planes[p.index] == one and p.index in linked] for one in order]


def _reached(near: dict[int, set[int]], first: int) -> set[int]:
    """All that hangs together with one."""
    reached, ready = {first}, [first]
    while ready:
        for other in near[ready.pop()] - reached:
            reached.add(other)
            ready.append(other)
    return reached


@dataclass(slots=True)
class _Leg:
    """Panels of the section in the plane of their face: along ``d``, across along ``w``."""

    panels: Sequence[Panel]
    faces: tuple[Face, ...]
    d: Vector
    w: Vector
    shape: BaseGeometry

    @property
    def face(self) -> Face:
        return self.faces[0]

    def flat(self, point: Vector) -> Point:
        return dot(point, self.d), dot(point, self.w)

    def in_space(self, x: float, y: float) -> Vector:
        """A place along and across the leg, in space."""
        n = self.face.frame.normal
        off = dot(self.face.frame.origin, n)
        first, second, third = zip(self.d, self.w, n, strict=True)
        return (
            x * first[0] + y * first[1] + off * first[2],
            x * second[0] + y * second[1] + off * second[2],
            x * third[0] + y * third[1] + off * third[2],
        )

    def holds(self, link: _Link) -> bool:
        return any(p.index in (link.a, link.b) for p in self.panels)


def _leg(corner: Corner, panels: Sequence[Panel], d: Vector) -> _Leg:
    face = corner.faces[panels[0].face]
    w = cross(face.frame.normal, d)
    shapes = []
    for panel in panels:
        frame = corner.faces[panel.face].frame
        o, r, u = frame.origin, frame.right, frame.up
        turn = (dot(r, d), dot(u, d), dot(r, w), dot(u, w))
        shapes.append(affine_transform(panel.polygon, [*turn, dot(o, d), dot(o, w)]))
    whole = shapely.union_all(shapes)
    if len(shapes) > 1:  # panels that meet at a seam are one, whatever rounding left between them
        whole = whole.buffer(TOUCH_IN, join_style="mitre").buffer(-TOUCH_IN, join_style="mitre")
    faces = tuple(corner.faces[n] for n in dict.fromkeys(panel.face for panel in panels))
    return _Leg(panels, faces, d, w, whole)


def _laid(
    corner: Corner,
    panels: Sequence[Panel],
    chain: Sequence[Sequence[Panel]],
    main: Sequence[_Link],
    others: Sequence[_Link],
) -> Course:
    d = _run(corner, chain, main)
    legs = [_leg(corner, row, d) for row in chain]
    folds = [[k for k in main if a.holds(k) and b.holds(k)] for a, b in pairwise(legs)]
    hidden = [note for k in range(len(folds)) for note in _clip_pair(legs, k, folds[k])]
    numbers = {panel.index: k for k, leg in enumerate(legs) for panel in leg.panels}
    flaps = [flap for link in others for flap in _flaps(corner, legs, numbers, link)]
    used = numbers.keys() | {p for link in others for p in (link.a, link.b)}
    course = _course(legs, folds, flaps)
    titles = (corner.faces[p.face].title for p in panels if p.index not in used)
    return replace(course, hidden=tuple(hidden), apart=tuple(titles))


def _run(corner: Corner, chain: Sequence[Sequence[Panel]], main: Sequence[_Link]) -> Vector:
    """The way along the run, such that the section goes from the first panel to the last."""
    first = chain[0]
    frame = corner.faces[first[0].face].frame
    if len(chain) == 1:
        u0, v0, u1, v1 = _leg(corner, first, frame.right).shape.bounds
        return frame.right if u1 - u0 >= v1 - v0 else frame.up
    after = {p.index for p in chain[1]}
    before = {p.index for p in first}
    link = next(k for k in main if {k.a, k.b} & after and {k.a, k.b} & before)
    leg = _leg(corner, first, link.way)
    _, t = leg.flat(link.start)
    kept, _ = _front(leg, [link], corner.faces[chain[1][0].face])
    if kept.centroid.y < t:
        return link.way
    x, y, z = link.way
    return -x, -y, -z


def _front(leg: _Leg, links: Sequence[_Link], other: Face) -> tuple[BaseGeometry, float]:
    """A leg as far as it lies before the other face; how much behind it is dropped.

    Only a leg that goes on to both sides of the fold, where the fold is, has a part behind.
    """
    stretch = [leg.flat(p) for link in links for p in (link.start, link.end)]
    t = stretch[0][1]
    x0, x1 = min(x for x, _ in stretch), max(x for x, _ in stretch)
    beside = leg.shape.intersection(shapely.box(x0, -FAR_IN, x1, FAR_IN))
    _, low, _, high = beside.bounds
    if t - low <= TOUCH_IN or high - t <= TOUCH_IN or not _both_sides(leg, links, t):
        return leg.shape, 0.0
    ahead = dot(leg.w, other.frame.normal) > 0
    box = shapely.box(-FAR_IN, t if ahead else -FAR_IN, FAR_IN, FAR_IN if ahead else t)
    return leg.shape.intersection(box), (t - low if ahead else high - t)


def _both_sides(leg: _Leg, links: Sequence[_Link], t: float) -> bool:
    """Whether a leg has metal on both sides of the middle of a fold."""
    for link in links:
        (x0, _), (x1, _) = leg.flat(link.start), leg.flat(link.end)
        x = (x0 + x1) / 2
        sides = (shapely.Point(x, t - 2 * TOUCH_IN), shapely.Point(x, t + 2 * TOUCH_IN))
        if all(leg.shape.covers(side) for side in sides):
            return True
    return False


def _clip_pair(legs: Sequence[_Leg], k: int, links: Sequence[_Link]) -> Iterator[str]:
    """Both legs at a fold cut to it; a note for what lies behind."""
    for leg, other in ((legs[k], legs[k + 1]), (legs[k + 1], legs[k])):
        leg.shape, behind = _front(leg, links, other.face)
        if behind:
            yield (
                f"{tape(behind)} of the panel on {leg.face.title} lies behind "
                f"{other.face.title}: it is not part of the bent piece"
            )


def _course(legs: Sequence[_Leg], folds: Sequence[Sequence[_Link]], flaps: list[Flap]) -> Course:
    """Legs from fold to fold, moved so that the run and each leg begin at 0."""
    starts, lengths = [], []
    for k, leg in enumerate(legs):
        _, low, _, high = leg.shape.bounds
        start = leg.flat(folds[k - 1][0].start)[1] if k else low
        end = leg.flat(folds[k][0].start)[1] if k < len(folds) else high
        starts.append(start)
        lengths.append(end - start)
    left = min(leg.shape.bounds[0] for leg in legs)
    right = max(leg.shape.bounds[2] for leg in legs)
    shapes = [
        affine_transform(leg.shape, [1, 0, 0, 1, -left, -starts[k]]) for k, leg in enumerate(legs)
    ]
    e, n = legs[0].w, legs[0].face.frame.normal
    at, points = (0.0, 0.0), [(0.0, 0.0)]
    for leg, length in zip(legs, lengths, strict=True):
        at = at[0] + length * dot(leg.w, e), at[1] + length * dot(leg.w, n)
        points.append(at)
    return Course(
        points=tuple(points),
        faces=tuple(tuple(face.id for face in leg.faces) for leg in legs),
        names=tuple(" and ".join(face.title for face in leg.faces) for leg in legs),
        shapes=tuple(shapes),
        folds=tuple(_stretches(legs[k], links, left) for k, links in enumerate(folds)),
        flaps=tuple(_moved(f, left, starts[f.leg]) for f in flaps),
        length_in=right - left,
        ends=_ends(legs[0]),
    )


def _stretches(leg: _Leg, links: Sequence[_Link], left: float) -> tuple[tuple[float, float], ...]:
    """From where to where along the run each fold is gone round."""
    pairs = ((leg.flat(k.start)[0] - left, leg.flat(k.end)[0] - left) for k in links)
    return tuple(sorted((min(pair), max(pair)) for pair in pairs))


def _ends(leg: _Leg) -> tuple[str, str]:
    """The sides of the first face at which the run begins and ends."""
    along_right, along_up = dot(leg.d, leg.face.frame.right), dot(leg.d, leg.face.frame.up)
    if abs(along_right) >= abs(along_up):
        return ("left", "right") if along_right > 0 else ("right", "left")
    return ("bottom", "top") if along_up > 0 else ("top", "bottom")


def _moved(flap: Flap, x: float, t: float) -> Flap:
    a, b = flap.fold
    fold = (a[0] - x, a[1] - t), (b[0] - x, b[1] - t)
    return replace(flap, shape=affine_transform(flap.shape, [1, 0, 0, 1, -x, -t]), fold=fold)


def _flaps(
    corner: Corner, legs: Sequence[_Leg], numbers: dict[int, int], link: _Link
) -> Iterator[Flap]:
    """The panel beyond a fold that is not of the section, unfolded beside its leg."""
    known = [p for p in (link.a, link.b) if p in numbers]
    if len(known) != 1:
        return
    leg = legs[numbers[known[0]]]
    panel = corner.panels[link.far_side(known[0])]
    face = corner.faces[panel.face]
    beyond = _leg(corner, [panel], link.way)
    x0, t0 = beyond.flat(link.start)
    beyond.shape, _ = _front(beyond, [link], leg.face)
    a, b = leg.flat(link.start), leg.flat(link.end)
    c, s = (b[0] - a[0]) / link.length, (b[1] - a[1]) / link.length
    move = [c, -s, s, c, a[0] - c * x0 + s * t0, a[1] - s * x0 - c * t0]
    kept = _largest(beyond.shape)
    angle, toward = _turn(leg.face, face, link, beyond.in_space(kept.centroid.x, kept.centroid.y))
    yield Flap(
        numbers[known[0]],
        face.title,
        affine_transform(kept, move),
        (a, b),
        angle,
        toward,
    )


def _turn(here: Face, there: Face, link: _Link, inside: Vector) -> tuple[float, Toward]:
    """What metal is turned through from one face to another, and the side it closes over.

    ``inside`` is a place of the metal beyond the fold: the face itself may go on to both sides.
    """
    n, m = here.frame.normal, there.frame.normal
    angle = math.degrees(math.acos(max(-1.0, min(1.0, dot(n, m)))))
    return angle, Toward.FINISH if dot(minus(inside, link.start), n) > 0 else Toward.BACK


def mirrored(course: Course) -> Course:
    """The course seen from the other side, for metal whose painted side looks in."""
    flip = [-1, 0, 0, 1, course.length_in, 0]

    def point(p: Point) -> Point:
        return course.length_in - p[0], p[1]

    return replace(
        course,
        shapes=tuple(affine_transform(s, flip) for s in course.shapes),
        folds=tuple(
            tuple(sorted((course.length_in - b, course.length_in - a) for a, b in row))
            for row in course.folds
        ),
        flaps=tuple(
            replace(
                f,
                shape=affine_transform(f.shape, flip),
                fold=(point(f.fold[1]), point(f.fold[0])),
                toward=Toward.BACK if f.toward is Toward.FINISH else Toward.FINISH,
            )
            for f in course.flaps
        ),
        ends=(course.ends[1], course.ends[0]),
    )


def _largest(shape: BaseGeometry) -> Polygon:
    parts = [p for p in getattr(shape, "geoms", [shape]) if isinstance(p, Polygon)]
    return max(parts, key=lambda p: p.area)


def _unit(v: Vector) -> Vector:
    far = math.sqrt(dot(v, v))
    return v[0] / far, v[1] / far, v[2] / far
