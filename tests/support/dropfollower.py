"""A follower of single drops, slow and plain, written from docs/water.md alone.

A drop is let fall at a place of a face and followed by the rules, event by event, to its ends.
A trough splits it; so the answer is a share for each end.  Nothing is remembered from one drop
to the next but how much each trough and gutter gets.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field

from dropcorner import LEAST, DropCorner, DropFace, DropGutter, DropPiece, DropTrough
from dropgeometry import (
    NEAR,
    NUDGE,
    Point,
    Space,
    column,
    distance,
    edges,
    inside,
    inward,
    share_along,
)

from weatherlap.job.model import Job

End = tuple[str, str | None, str]
"""How a drop ends, at which piece (or None), on which face."""

FIRST, SECOND = 0, 1
FAR_IN = 0.01
"""How far down from a fold a face must go on for water to run down it. [in]"""
SHORTEST_FALL = 1 / 16
"""A trough or fold whose ends differ by less in height is level. [in]"""


@dataclass
class Drop:
    """A drop on its way: what is left of it, and the shares that have ended."""

    ends: dict[End, float] = field(default_factory=lambda: defaultdict(float))
    caught: dict[tuple[str, int | str], float] = field(default_factory=lambda: defaultdict(float))


@dataclass(frozen=True)
class Place:
    """Where water is: on a face, at u and v, on a piece."""

    face: DropFace
    u: float
    v: float
    piece: DropPiece


class Follower:
    """Follows drops over the corner of a job.

    ``spills`` is the share that goes on over the lip of each trough ("trough", number) and each
    gutter ("gutter", id); what is not named carries all that comes.
    """

    def __init__(self, job: Job, *, spills: dict[tuple[str, int | str], float] | None = None):
        self.corner = DropCorner(job)
        self.spills = spills or {}

    def rain(self, face: int, place: Point, layer: int) -> tuple[Drop, float] | None:
        """The ends of the rain at a place, and the share of it that takes this layer.

        None where no rain takes it.
        """
        here, drop = self.corner.faces[face], Drop()
        pieces = self.corner.at(face, place)
        lands = self.corner.outermost(pieces)
        leaks = lands.passes if lands is not None else 0.0
        if layer == SECOND:
            if leaks <= 0.0:
                return None
            lands = self.corner.outermost(p for p in pieces if self.corner.outside(lands, p))
        self._arrive(drop, 1.0, here, place, lands, None)
        return drop, leaks if layer == SECOND else 1.0 - leaks

    def _arrive(
        self,
        drop: Drop,
        share: float,
        face: DropFace,
        place: Point,
        onto: DropPiece | None,
        off: DropPiece | None,
    ) -> bool:
        """Water comes onto a piece of a face; whether it runs on (else it has ended)."""
        if onto is None:
            drop.ends["cavity", None, face.id] += share
        elif onto.absorbs and onto is not off:
            drop.ends["soak", onto.id, face.id] += share
        elif face.level:
            drop.ends["stands", onto.id, face.id] += share
        else:
            self._run(drop, share, Place(face, *place, onto), off)
            return True
        return False

    # Rules 1, 2 and 4: running down, going behind, coming out.

    def _run(self, drop: Drop, share: float, at: Place, off: DropPiece | None = None) -> None:
        """On down a panel; where water came off another piece, what is met less than 1/16 in above
        the place takes it too."""
        low = self._foot(at)
        rim = self._rim(at, low)
        events = [
            *self._lips(at, low, over=LEAST if off else -NEAR),
            *self._holders(at, low),
            *self._tops(at, low, off),
            *self._stops(at, low),
        ]
        events.append((low, 0, "rim" if low <= rim + LEAST - NEAR else "foot", None))
        top = max(event[0] for event in events)
        v, _, kind, what = max((e for e in events if e[0] > top - NEAR), key=lambda e: e[1])
        if kind == "rim":
            v = rim
        elif kind == "fold":
            v = what
        here = Place(at.face, at.u, v, at.piece)
        if kind == "lip":
            self._into_trough(drop, share, here, what)
        elif kind == "held":
            drop.ends["held", what.id, at.face.id] += share
        elif kind == "top":
            self._arrive(drop, share, at.face, (at.u, v), what, at.piece)
        elif kind == "foot":
            self._leave(drop, share, here, [at.u])
        else:
            self._over_edge(drop, share, here)

    def _rim(self, at: Place, low: float) -> float:
        """The face's own edge nearest below; a panel may stand out by 1/16 in over it. [in]"""
        stretches = column(at.face.corners, at.u)
        nearest = min(stretches, key=lambda s: max(s[0] - low, low - s[1]), default=(low, low))
        return nearest[0]

    def _foot(self, at: Place) -> float:
        """The lower edge of the panel straight below. [in]"""
        for low, high in at.piece.column(at.face.number, at.u):
            if low < at.v - NEAR and at.v <= high + 2 * NUDGE:
                return low
        pinched = [
            low for low, high in at.piece.column(at.face.number, at.u) if low <= at.v + 1 / 16
        ]
        if pinched:
            return min(max(pinched), at.v)
        raise ValueError(f"{at.piece.id} is not at {at.u:g}, {at.v:g} of {at.face.id}")

    def _lips(self, at: Place, low: float, *, over: float):
        for trough in at.piece.troughs.get(at.face.number, ()):
            height = trough.height(at.u)
            if height is not None and low - NEAR <= height < at.v + over:
                yield height, 4, "lip", trough

    def _holders(self, at: Place, low: float):
        held: dict[float, list[DropPiece]] = defaultdict(list)
        for piece in self._outside_of(at):
            if not piece.sealed_bottom:
                continue
            for edge, _ in piece.column(at.face.number, at.u):
                near = low - LEAST + NEAR <= edge < at.v - NEAR
                if near and self._is_edge(at.face, piece, at.u, edge):
                    held[max(edge, low)].append(piece)
        for edge, pieces in held.items():
            yield edge, 3, "held", self.corner.outermost(pieces)

    def _tops(self, at: Place, low: float, off: DropPiece | None):
        tops: dict[float, list[DropPiece]] = defaultdict(list)
        for piece in self._outside_of(at):
            if not piece.sealed_top:
                continue
            for _, edge in piece.column(at.face.number, at.u):
                left = piece is off and self._ends_at(piece, at)
                over = -LEAST if left else LEAST if off else -NEAR
                if not low + NEAR < edge < at.v + over:
                    continue
                if self._stuck_to(piece, at.face, at.u, edge) is not at.piece:
                    continue
                if self._is_edge(at.face, piece, at.u, edge):
                    tops[edge].append(piece)
        for edge, pieces in tops.items():
            yield edge, 2, "top", self.corner.outermost(pieces)

    def _ends_at(self, piece: DropPiece, at: Place) -> bool:
        """Whether a piece has its lower edge at a place, so that water may have left it there."""
        column = piece.column(at.face.number, at.u)
        return any(abs(low - at.v) <= LEAST for low, _ in column)

    def _stops(self, at: Place, low: float):
        """Folds inside the face, where others run into it."""
        for other in self.corner.faces:
            if other is at.face:
                continue
            for a, b in edges(other.corners):
                v = _crossing(at.face, other.plane.space(a), other.plane.space(b), at.u)
                if v is None or not low - LEAST + NEAR <= v < at.v - NEAR:
                    continue
                if not at.face.on_rim((at.u, v)):
                    yield max(v, low), 1, "fold", v

    def _outside_of(self, at: Place) -> list[DropPiece]:
        every = self.corner.on_face[at.face.number]
        return [p for p in every if p is not at.piece and self.corner.outside(p, at.piece)]

    def _stuck_to(self, top: DropPiece, face: DropFace, u: float, v: float) -> DropPiece | None:
        """The outermost piece inside one along its upper edge."""
        return self.corner.outermost(
            p
            for p in self.corner.on_face[face.number]
            if self.corner.outside(top, p) and _reaches(p, face, [u], v)
        )

    def _is_edge(self, face: DropFace, piece: DropPiece, u: float, v: float) -> bool:
        """Whether a piece really ends here and does not go on round a fold."""
        point = face.plane.space((u, v))
        for other in self._meeting(face, point):
            if any(_touches(shape, other, point) for shape in piece.shapes.get(other.number, ())):
                return False
        return True

    # Rule 3: leaving a panel.

    def _leave(self, drop: Drop, share: float, at: Place, beside: list[float]) -> None:
        landing = self._below(at, beside)
        if landing is None:
            drop.ends["cavity", None, at.face.id] += share
            return
        piece, u = landing
        self._arrive(drop, share, at.face, (u, at.v), piece, at.piece)

    def _below(self, at: Place, beside: list[float]) -> tuple[DropPiece, float] | None:
        """What takes the water that leaves a panel, and the u at which it runs on there."""
        every = self.corner.on_face[at.face.number]
        lands = self.corner.outermost(
            p
            for p in every
            if self.corner.outside(at.piece, p)
            and p is not at.piece
            and _reaches(p, at.face, beside, at.v)
        )
        taker = self.corner.outermost(
            p
            for p in every
            if p.sealed_top
            and p is not at.piece
            and (lands is None or self.corner.outside(p, lands))
            and _begins(p, at.face, beside, at.v)
            and self._is_edge(at.face, p, at.u, at.v)
        )
        onto = taker or lands
        if onto is None:
            return None
        for u in beside:
            if any(
                lo <= at.v - LEAST + NEAR and hi >= at.v - LEAST
                for lo, hi in onto.column(at.face.number, u)
            ):
                return onto, u
        raise ValueError("no way on")

    # Rule 5: troughs.

    def _into_trough(self, drop: Drop, share: float, at: Place, trough: DropTrough) -> None:
        outlets = _outlets(trough, at.face)
        over = 1.0 if not outlets else self.spills.get(("trough", trough.number), 0.0)
        drop.caught["trough", trough.number] += share
        if over > 0.0:
            self._run(drop, share * over, at)
        for end, open_end in outlets:
            part = share * (1.0 - over) / len(outlets)
            there = Place(at.face, *end, at.piece)
            if part > 0.0 and open_end:
                self._out_of_trough(drop, part, there)
            elif part > 0.0:
                self._run(drop, part, Place(at.face, self._beside(there), end[1], at.piece))

    def _out_of_trough(self, drop: Drop, share: float, at: Place) -> None:
        beside = [at.u - NUDGE, at.u + NUDGE]
        if self._below(at, beside) is not None:
            self._leave(drop, share, at, beside)
            return
        point = at.face.plane.space((at.u, at.v))
        if at.face.on_rim((at.u, at.v)) and not self._meeting(at.face, point):
            self._fall(drop, share, at, point)
        else:
            drop.ends["cavity", None, at.face.id] += share

    def _beside(self, at: Place) -> float:
        """The u of a dammed end, drawn inside its panel. [in]"""
        for u in (at.u - NUDGE, at.u + NUDGE):
            if any(
                lo < at.v - NEAR and at.v <= hi + NEAR
                for lo, hi in at.piece.column(at.face.number, u)
            ):
                return u
        return at.u

    # Rule 6: folds.

    def _meeting(self, face: DropFace, point: Space) -> list[DropFace]:
        """The other faces that meet a face at a point of it."""
        found = []
        for other in self.corner.faces:
            if other is face:
                continue
            u, v, height = other.plane.flat(point)
            if abs(height) > NEAR:
                continue
            if other.on_rim((u, v)) or (
                inside(other.corners, (u, v)) and _lies_along(face, other, point)
            ):
                found.append(other)
        return found

    def _over_edge(self, drop: Drop, share: float, at: Place) -> None:
        point = at.face.plane.space((at.u, at.v))
        over = at.v + LEAST - NEAR
        covers = [
            p
            for p in self._outside_of(at)
            if any(lo <= over <= hi for lo, hi in p.column(at.face.number, at.u))
        ]
        self._off(drop, share, at, covers, self._meeting(at.face, point))

    def _off(
        self, drop: Drop, share: float, at: Place, covers: list[DropPiece], faces: list[DropFace]
    ) -> None:
        """Water leaves its face at a place where others may meet it."""
        point = at.face.plane.space((at.u, at.v))
        if not faces:
            self._fall(drop, share, at, point)
            return
        other = max(faces, key=lambda f: f.plane.normal[2])
        if other.tilt <= 90:
            self._onto(drop, share, at, covers, other)
        elif at.piece.drip and not covers:
            self._fall(drop, share, at, point)
        else:
            self._cling(drop, share, at, covers, other)

    def _beyond(
        self, piece: DropPiece, covers: list[DropPiece], other: DropFace, inner: Point
    ) -> DropPiece | None:
        """What takes the water of a piece on the next face, just over the fold."""
        there = self.corner.at(other.number, inner)
        if piece in there:
            return piece
        return self.corner.outermost(
            p for p in there if all(self.corner.outside(c, p) for c in covers)
        )

    def _cling(
        self, drop: Drop, share: float, at: Place, covers: list[DropPiece], other: DropFace
    ) -> None:
        """Water clings to an underside: to what it comes onto there."""
        place = other.plane.flat(at.face.plane.space((at.u, at.v)))[:2]
        onto = self._beyond(at.piece, covers, other, _just_in(other, place))
        drop.ends["cling", (onto or at.piece).id, other.id] += share

    def _onto(
        self, drop: Drop, share: float, at: Place, covers: list[DropPiece], other: DropFace
    ) -> None:
        """Water comes over a fold onto the next face."""
        place = other.plane.flat(at.face.plane.space((at.u, at.v)))[:2]
        inner = _just_in(other, place)
        onto = self._beyond(at.piece, covers, other, inner)
        falls = inside(other.corners, (inner[0], inner[1] - FAR_IN))
        if falls or onto is None or onto.absorbs or other.level:
            self._arrive(drop, share, other, inner, onto, at.piece)
        else:
            self._down_valley(drop, share, Place(other, *inner, onto), place, at.face)

    def _down_valley(
        self, drop: Drop, share: float, at: Place, place: Point, came: DropFace
    ) -> None:
        """Along a fold from which the next face rises, to its low end."""
        fold = _fold_through(at.face, came, place)
        low, high = sorted(fold, key=lambda p: at.face.plane.space(p)[2])
        fall = at.face.plane.space(high)[2] - at.face.plane.space(low)[2]
        if fall < SHORTEST_FALL:
            drop.ends["stands", at.piece.id, at.face.id] += share
            return
        length = math.dist(place, low)
        way = ((low[0] - place[0]) / length, (low[1] - place[1]) / length)
        gone, piece = 0.0, at.piece
        while True:
            end = _end_along(piece, at, way, gone)
            if end > length - LEAST:
                break
            onto = self._below_along(piece, at, way, end)
            if onto is None or onto.absorbs:
                self._arrive(drop, share, at.face, low, onto, piece)
                return
            gone, piece = end, onto
        faces = [f for f in self._meeting(at.face, at.face.plane.space(low)) if f is not came]
        covers = [
            p
            for p in self._outside_of(Place(at.face, at.u, at.v, piece))
            if _lies(p, at, way, length - LEAST / 2)
        ]
        self._off(drop, share, Place(at.face, *low, piece), covers, faces)

    def _below_along(self, piece: DropPiece, at: Place, way: Point, end: float) -> DropPiece | None:
        """What takes the water that runs along a fold where its panel ends."""
        every = [p for p in self.corner.on_face[at.face.number] if p is not piece]
        lands = self.corner.outermost(
            p
            for p in every
            if self.corner.outside(piece, p)
            and _lies(p, at, way, end - LEAST + NEAR)
            and _lies(p, at, way, end + LEAST - NEAR)
        )
        taker = self.corner.outermost(
            p
            for p in every
            if p.sealed_top
            and (lands is None or self.corner.outside(p, lands))
            and any(
                abs(lo - end) <= LEAST + NEAR
                and hi >= end + LEAST
                and _enters_from_above(p, at, way, lo)
                for lo, hi in p.along(at.face.number, (at.u, at.v), way)
            )
        )
        return taker or lands

    # Rule 7: free edges.

    def _fall(self, drop: Drop, share: float, at: Place, point: Space) -> None:
        """Straight down from a point: into gutters, onto faces, or clear."""
        below = []
        for piece in self.corner.pieces:
            height = _gutter_below(piece.gutter, point)
            if height is not None:
                below.append((height, piece, None))
        for face in self.corner.faces:
            height = _face_below(face, point)
            if height is not None:
                below.append((height, None, face))
        for height, gutter, face in sorted(below, key=lambda b: -b[0]):
            if gutter is not None:
                over = self.spills.get(("gutter", gutter.id), 0.0)
                drop.caught["gutter", gutter.id] += share
                drop.ends["gutter", gutter.id, ""] += share * (1.0 - over)
                share *= over
                if share <= 0.0:
                    return
                continue
            u, v, _ = face.plane.flat((point[0], point[1], height))
            rims = {
                p.number: p
                for more in (0.0, -NUDGE, NUDGE)
                for p in self.corner.at(face.number, (u, v + more))
            }
            onto = self.corner.outermost(rims.values())
            self._arrive(drop, share, face, (u, v), onto, at.piece)
            return
        drop.ends["clear", None, at.face.id] += share


def _crossing(face: DropFace, a: Space, b: Space, u: float) -> float | None:
    """The v at which an edge in space, if it lies in a face, crosses its line at u. [in]"""
    u0, v0, h0 = face.plane.flat(a)
    u1, v1, h1 = face.plane.flat(b)
    if abs(h0) > NEAR or abs(h1) > NEAR or abs(u1 - u0) < NEAR:
        return None
    if not min(u0, u1) <= u <= max(u0, u1):
        return None
    v = v0 + (v1 - v0) * (u - u0) / (u1 - u0)
    return v if inside(face.corners, (u, v)) else None


def _lies_along(face: DropFace, other: DropFace, point: Space) -> bool:
    """Whether an edge of a face through a point lies in the plane of another."""
    u, v, _ = face.plane.flat(point)
    for a, b in edges(face.corners):
        if distance((u, v), a, b) < NEAR and all(
            abs(other.plane.flat(face.plane.space(end))[2]) < NEAR for end in (a, b)
        ):
            return True
    return False


def _just_in(face: DropFace, place: Point) -> Point:
    """A place a little inside a face from one on its rim; a little down from one in its middle."""
    u, v = place
    met = [e for e in edges(face.corners) if distance(place, *e) < NEAR]
    for a, b in met:
        x, y = inward(face.corners, a, b)
        u, v = u + NUDGE * x, v + NUDGE * y
    return (u, v) if met else (u, v - NUDGE)


def _fold_through(face: DropFace, other: DropFace, place: Point) -> tuple[Point, Point]:
    """The stretch through a place of a face along which its edge and another face's are one."""
    mine = next(e for e in edges(face.corners) if distance(place, *e) < NEAR)
    for a, b in edges(other.corners):
        first, last = (face.plane.flat(other.plane.space(p)) for p in (a, b))
        if abs(first[2]) > NEAR or abs(last[2]) > NEAR:
            continue
        if distance(place, first[:2], last[:2]) < NEAR:
            shares = sorted(share_along(p[:2], *mine) for p in (first, last))
            (u0, v0), (u1, v1) = mine
            low, high = ((u0 + t * (u1 - u0), v0 + t * (v1 - v0)) for t in shares)
            return low, high
    return mine


def _enters_from_above(piece: DropPiece, at: Place, way: Point, gone: float) -> bool:
    """Whether the edge over which a way along a fold comes under a piece is an upper one."""
    u, v = at.u + (gone + NUDGE) * way[0], at.v + (gone + NUDGE) * way[1]
    return any(
        lo - LEAST <= v and abs(hi - v) <= LEAST for lo, hi in piece.column(at.face.number, u)
    )


def _end_along(piece: DropPiece, at: Place, way: Point, gone: float) -> float:
    """How far a piece goes on along a fold beyond the way gone. [in]"""
    end: float | None = None
    for low, high in piece.along(at.face.number, (at.u, at.v), way):
        begins = low - NEAR <= gone < high - NEAR if end is None else low < end + LEAST
        if begins:
            end = high
    if end is not None:
        return end
    raise ValueError(f"{piece.id} does not go on along the fold of {at.face.id}")


def _lies(piece: DropPiece, at: Place, way: Point, gone: float) -> bool:
    """Whether a piece lies beside a fold, so far along it."""
    return any(lo <= gone <= hi for lo, hi in piece.along(at.face.number, (at.u, at.v), way))


def _touches(shape: list[Point], face: DropFace, point: Space) -> bool:
    """Whether a panel comes up to a point of a fold."""
    u, v, _ = face.plane.flat(point)
    return inside(shape, (u, v)) or any(distance((u, v), a, b) < NEAR for a, b in edges(shape))


def _reaches(piece: DropPiece, face: DropFace, beside: list[float], v: float) -> bool:
    """Whether a piece reaches 1/16 in above and below a place (its rims count)."""
    return any(
        low <= v - LEAST + NEAR and high >= v + LEAST - NEAR
        for u in beside
        for low, high in piece.column(face.number, u)
    )


def _begins(piece: DropPiece, face: DropFace, beside: list[float], v: float) -> bool:
    """Whether a piece has its upper edge at a place and reaches on down."""
    return any(
        abs(high - v) <= LEAST + NEAR and low <= v - LEAST + NEAR
        for u in beside
        for low, high in piece.column(face.number, u)
    )


def _outlets(trough: DropTrough, face: DropFace) -> list[tuple[Point, bool]]:
    """The ends that water leaves by, each with whether it is open (else it spills there)."""
    fall = (trough.left[1] - trough.right[1]) * face.plane.up[2]
    if abs(fall) >= SHORTEST_FALL:
        if fall < 0:
            return [(trough.left, not trough.left_dammed)]
        return [(trough.right, not trough.right_dammed)]
    ends = [(trough.left, trough.left_dammed), (trough.right, trough.right_dammed)]
    return [(end, True) for end, dammed in ends if not dammed]


def _gutter_below(gutter: DropGutter | None, point: Space) -> float | None:
    """The height of a gutter's line below a point that falls into it. [in]"""
    if gutter is None:
        return None
    a, b = gutter.ends
    dx, dy = b[0] - a[0], b[1] - a[1]
    t = ((point[0] - a[0]) * dx + (point[1] - a[1]) * dy) / (dx * dx + dy * dy)
    past = LEAST / math.hypot(dx, dy)
    if not -past <= t <= 1.0 + past:
        return None
    t = min(max(t, 0.0), 1.0)
    away = abs(dx * (point[1] - a[1]) - dy * (point[0] - a[0])) / math.hypot(dx, dy)
    height = a[2] + t * (b[2] - a[2])
    return height if away <= gutter.width / 2 + NEAR and height < point[2] - NEAR else None


def _face_below(face: DropFace, point: Space) -> float | None:
    """The height of an upward-looking face straight below a point. [in]"""
    if face.tilt >= 90:
        return None
    over = face.plane.flat(point)[2] / face.plane.normal[2]
    z = point[2] - over
    u, v, _ = face.plane.flat((point[0], point[1], z))
    return z if over > NEAR and inside(face.corners, (u, v)) else None
