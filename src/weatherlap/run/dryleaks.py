"""The leak at a spot: what the trace soaks there in a year, over the wood that it runs down."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from weatherlap.building.corner import Corner
from weatherlap.water.follow import TrailLine, inner_spot, line_at
from weatherlap.water.hops import EndKind
from weatherlap.water.starts import Start
from weatherlap.water.trace import Trace

ZONE_WIDE_IN = 16.0
"""How wide water spreads on wood as it runs down: a bay between studs. [in]"""
REACH_IN = 6.0
"""How far above and below its strip wood is still wet. [in]"""
HELD_HIGH_IN = 12.0
"""How high water that is held behind a closed edge wets what is behind it. [in]"""
SHORTEST_IN = 1.0
LEAST_LONG_IN = 12.0
TAKES_KG_M2 = 20.0
"""What wood takes up in a year before the rest runs on down. [kg/m2]"""
KG_M2_PER_L_IN2 = 1.0 / 0.0254**2


@dataclass(frozen=True, slots=True)
class Strip:
    """A strip of one piece on a face that one line of water runs down.

    ``left`` to ``right`` is how wide the water comes in, one value where it is led to a place;
    ``from_pieces`` are the pieces that the water ran on or passed before. [in, L]
    """

    face: int
    piece: int
    left: float
    right: float
    high: float
    low: float
    per_year_l: float
    from_pieces: frozenset[int]


@dataclass(frozen=True, slots=True)
class LeakAt:
    """Water that gets to a spot in a year: litres a year over each square metre. [kg/m2]

    ``piece`` is the number of the piece that takes it; ``from_pieces`` are those on its way.
    """

    piece: int
    kg_m2: float
    from_pieces: frozenset[int]


@dataclass(frozen=True)
class Wetted:
    """Every strip of wood that the water of one trace wets, worked out once."""

    trace: Trace

    @cached_property
    def strips(self) -> tuple[Strip, ...]:
        """The strips of all starts whose water soaks."""
        found: list[Strip] = []
        wets = self.trace.flows.wets
        for start in (s for s in self.trace.starts if wets[s.trail]):
            u, v = inner_spot(start.patch.geometry())
            line = line_at(self.trace, start, u=u, v=v)
            if line.soaked_from is not None and line.per_year_l > 0.0:
                found += _strips(self.trace.corner, start, line, u)
        return tuple(found)

    def soaks_at(self, *, face: int, at: tuple[float, float], piece: int) -> LeakAt | None:
        """What soaks a piece at a place on a face in a year; None if nothing does. [in]

        Little water is taken up where it comes in; what is more than wood takes runs on down.

        Sources
        -------
        D-040 : over a stud bay's width, and as far down as wood takes 20 kg/m2 a year.
        """
        left, right = _zone(self.trace.corner, face, at, piece)
        total, passed = 0.0, set[int]()
        for strip in self.strips:
            if strip.face != face or strip.piece != piece:
                continue
            if not strip.low - REACH_IN <= at[1] <= strip.high + REACH_IN:
                continue
            share = _share(strip, left, right)
            water, wide = strip.per_year_l * share, right - left
            long = _soaked_length(water, wide, strip.high - strip.low)
            if water > 0.0 and at[1] >= strip.high - long - REACH_IN:
                total += water / (wide * long)
                passed |= strip.from_pieces
        if total <= 0.0:
            return None
        return LeakAt(piece, total * KG_M2_PER_L_IN2, frozenset(passed))

    def held_at(self, *, face: int, at: tuple[float, float], piece: int) -> LeakAt | None:
        """What a closed lower edge holds in front of a place in a year; None if nothing. [in]

        Sources
        -------
        D-040 : spread over the width of the piece, up to 12 in above the edge.
        """
        held = sum(
            row.per_year_l
            for row in self.trace.ends
            if row.end is EndKind.HELD and row.piece == piece and row.on_face == face
        )
        bounds = _bounds(self.trace.corner, face, piece)
        if held <= 0.0 or bounds is None or at[1] > bounds[1] + HELD_HIGH_IN:
            return None
        high = max(min(HELD_HIGH_IN, bounds[3] - bounds[1]), SHORTEST_IN)
        area = max(bounds[2] - bounds[0], SHORTEST_IN) * high
        return LeakAt(piece, held / area * KG_M2_PER_L_IN2, frozenset({piece}))


def _strips(corner: Corner, start: Start, line: TrailLine, u: float) -> list[Strip]:
    """The strips of one line from where it first soaks, one for each piece and face."""
    assert line.soaked_from is not None
    first = line.spots[line.soaked_from]
    straight = first.face == start.face and abs(first.u - u) < 1e-6
    box = start.patch.geometry().bounds
    sides = (box[0], box[2]) if straight else (first.u, first.u)
    top = box[3] if line.soaked_from == 0 else first.v
    passed = {s.piece for s in line.spots[: line.soaked_from] if s.piece is not None}
    for crossing in line.crossings:
        passed |= {p for p in (crossing.upper, crossing.lower) if p is not None}
    found: dict[tuple[int, int], list[float]] = {}
    for spot in line.spots[line.soaked_from :]:
        if spot.piece is not None:
            found.setdefault((spot.face, spot.piece), []).append(spot.v)
    rows = []
    for (face, piece), heights in found.items():
        if corner.pieces[piece].sheet.value == "absorbs":
            high = max(top, *heights) if face == first.face else max(heights)
            high = high if piece == first.piece else max(heights)
            way = frozenset(passed | {first.piece or 0})
            rows.append(
                Strip(face, piece, sides[0], sides[1], high, min(heights), line.per_year_l, way)
            )
    return rows


def _soaked_length(litres: float, wide: float, way: float) -> float:
    """How far down its way a year's water is taken up: at least a foot, where it has that. [in]"""
    takes = litres / wide * KG_M2_PER_L_IN2 / TAKES_KG_M2
    return max(min(max(takes, LEAST_LONG_IN), way), SHORTEST_IN)


def _bounds(corner: Corner, face: int, piece: int) -> tuple[float, float, float, float] | None:
    """The box round the panels of a piece on a face. [in]"""
    boxes = [
        corner.panels[k].polygon.bounds
        for k in corner.panels_on[face]
        if corner.panels[k].piece == piece
    ]
    if not boxes:
        return None
    left, foot, right, top = zip(*boxes, strict=True)
    return min(left), min(foot), max(right), max(top)


def _zone(corner: Corner, face: int, at: tuple[float, float], piece: int) -> tuple[float, float]:
    """A bay's width round a place, within the piece. [in]"""
    bounds = _bounds(corner, face, piece)
    left, right = at[0] - 0.5 * ZONE_WIDE_IN, at[0] + 0.5 * ZONE_WIDE_IN
    if bounds is None:
        return left, right
    left, right = max(left, bounds[0]), min(right, bounds[2])
    return left, max(right, left + SHORTEST_IN)


def _share(strip: Strip, left: float, right: float) -> float:
    """The part of a strip's water that comes in within a zone. [-]"""
    if strip.right - strip.left < 1e-6:
        return float(left - 1e-6 <= strip.left <= right + 1e-6)
    inside = min(right, strip.right) - max(left, strip.left)
    return max(inside, 0.0) / (strip.right - strip.left)
