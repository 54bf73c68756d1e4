"""Rules at the foot of a wall: base flashing, the diverter, and siding kept clear."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

import shapely
from shapely import LineString, Point

from weatherlap.shape.frames import Place
from weatherlap.sources.rulebook import rule
from weatherlap.water.kinds import SIDING_OR_TRIM, Kind, is_wall
from weatherlap.water.rulings import RuleResult, Setting, asks, inch_text, judge
from weatherlap.water.shelves import (
    Shelf,
    contact_along,
    reach_in,
    shelves,
    strip_above,
    up_normal,
)

TOUCH_IN = 1 / 8
ROOFING_REACH_IN = 12.0
SIDING_REACH_IN = 4.0
BARE_IN = 1.0
DIVERTER_REACH_IN = 8.0
LONGEST_DIVERTER_IN = 24.0
PAST_IN = 1.0
NO_BASE = Kind.DRIP_EDGE | Kind.HEAD_FLASHING | Kind.PAN


def fold_rules(setting: Setting) -> Iterator[RuleResult]:
    """Every rule at the foot of a wall."""
    base: set[int] = set()
    for shelf in shelves(setting.corner):
        if setting.near(shelf.low, Kind.ROOFING, to=shelf.low_line, reach_in=ROOFING_REACH_IN):
            legs = _base_legs(setting, shelf)
            base |= legs.keys()
            yield from _base_flashing(setting, shelf, legs)
            yield from _bare_fold(setting, shelf, legs)
            yield from _diverter(setting, shelf)
            yield from _clear_above(setting, shelf, "siding-to-roof")
        elif setting.near(shelf.low, Kind.FLASHING, to=shelf.low_line, reach_in=TOUCH_IN):
            yield from _clear_above(setting, shelf, "siding-to-flashing")
    yield from _behind_siding(setting, base)


Legs = dict[int, tuple[float, float, tuple[float, float]]]


def _base_legs(setting: Setting, shelf: Shelf) -> Legs:
    """Flashings bent round the fold: width up the wall, out on the roof, extent along. [in]"""
    corner = setting.corner
    on_low = {
        corner.panels[p].piece: corner.panels[p].polygon
        for p in setting.near(shelf.low, Kind.FLASHING, to=shelf.low_line, reach_in=TOUCH_IN)
    }
    legs: Legs = {}
    for p in setting.near(shelf.wall, Kind.FLASHING, to=shelf.wall_line, reach_in=TOUCH_IN):
        panel = corner.panels[p]
        roof = on_low.get(panel.piece)
        if roof is None or setting.kinds[panel.piece] & NO_BASE:
            continue
        up = reach_in(panel.polygon, line=shelf.on_wall)
        out = reach_in(roof, line=shelf.on_low)
        legs[panel.piece] = (up, out, contact_along(roof, line=shelf.on_low))
    return legs


def _base_flashing(setting: Setting, shelf: Shelf, legs: Legs) -> Iterator[RuleResult]:
    for piece, (up, out, (start, end)) in legs.items():
        middle = shelf.wall_line.interpolate((start + end) / 2)
        for key, leg, where in (
            ("base-flashing-up", up, "up the wall"),
            ("base-flashing-out", out, "out on the roof"),
        ):
            yield judge(
                key,
                measured_in=leg,
                text=f"{setting.name(piece)} reaches {inch_text(leg)} {where}; {asks(key)}.",
                pieces=(piece,),
                face=shelf.wall,
                at=(middle.x, middle.y),
            )


def _bare_fold(setting: Setting, shelf: Shelf, legs: Legs) -> Iterator[RuleResult]:
    """The longest stretch of a roof along a sided or masonry wall that no flashing covers."""
    siding = setting.near(
        shelf.wall, Kind.SIDING | Kind.MASONRY, to=shelf.wall_line, reach_in=SIDING_REACH_IN
    )
    if not siding:
        return
    start, end = _widest_gap((leg[2] for leg in legs.values()), length_in=shelf.length_in)
    if end - start <= BARE_IN:
        return
    middle = shelf.wall_line.interpolate((start + end) / 2)
    roofing = setting.near(shelf.low, Kind.ROOFING, to=shelf.low_line, reach_in=ROOFING_REACH_IN)
    pieces = [setting.corner.panels[p].piece for p in (siding[0], roofing[0])]
    yield judge(
        "base-flashing-up",
        measured_in=0.0,
        text=(
            f"No flashing is bent from the roof up the wall along {inch_text(end - start)} beside "
            f"{setting.name(pieces[0])}; {asks('base-flashing-up')} up the wall."
        ),
        pieces=tuple(pieces),
        face=shelf.wall,
        at=(middle.x, middle.y),
    )


def _widest_gap(covered: Iterable[tuple[float, float]], *, length_in: float) -> tuple[float, float]:
    """The longest part of a line that no interval covers. [in]"""
    best, at = (0.0, 0.0), 0.0
    for start, end in sorted(covered):
        if start - at > best[1] - best[0]:
            best = (at, min(start, length_in))
        at = max(at, end)
    return (at, length_in) if length_in - at > best[1] - best[0] else best


def _eave_at_wall(setting: Setting, shelf: Shelf) -> bool:
    """Whether the roof ends at the fold's low end while the wall goes on past it."""
    (a, b), (c, d) = shelf.on_low
    long = shelf.length_in
    along = ((c - a) / long, (d - b) / long)
    roof, wall = setting.corner.faces[shelf.low].outline, setting.corner.faces[shelf.wall].outline
    nudge = _into(roof, shelf.on_low)
    ahead = Point(c + PAST_IN * along[0] + nudge[0], d + PAST_IN * along[1] + nudge[1])
    if roof.contains(ahead):
        return False
    (e, _), (g, h) = shelf.on_wall
    past = math.copysign(PAST_IN, g - e)
    return bool(wall.contains(Point(g + past, h - PAST_IN / 2)))


def _into(outline: shapely.Polygon, line: tuple[Place, Place]) -> Place:
    """A small step from a line on the rim of an outline to its inside. [in]"""
    u, v = up_normal(line)
    middle = LineString(line).interpolate(0.5, normalized=True)
    for sign in (0.5, -0.5):
        if outline.contains(Point(middle.x + sign * u, middle.y + sign * v)):
            return sign * u, sign * v
    return 0.0, 0.0


def _diverter(setting: Setting, shelf: Shelf) -> Iterator[RuleResult]:
    """A piece that turns water out where an eave ends at a wall that goes on."""
    if not shelf.slopes or not _eave_at_wall(setting, shelf):
        return
    foot = Point(shelf.on_wall[1])
    lengths = dict(_diverters(setting, shelf.wall, foot))
    for piece, length in _diverters(setting, shelf.low, Point(shelf.on_low[1])):
        lengths[piece] = max(length, lengths.get(piece, 0.0))
    found = max(lengths, key=lambda piece: lengths[piece], default=None)
    if found is None:
        text = (
            "The eave ends at a wall that goes on, and nothing turns the roof's water out from "
            "the wall: put a diverter there, under the siding and over the gutter's end."
        )
    else:
        text = (
            f"{setting.name(found)} turns the roof's water out where the eave ends at the wall; "
            f"{asks('diverter')} at least, and big enough for the flow."
        )
    yield judge(
        "diverter",
        measured_in=0.0 if found is None else lengths[found],
        text=text,
        pieces=() if found is None else (found,),
        face=shelf.wall,
        at=(foot.x, foot.y),
    )


def _diverters(setting: Setting, face: int, foot: Point) -> Iterator[tuple[int, float]]:
    """Pieces by a roof's foot that lead water out, with their length. [in]"""
    corner = setting.corner
    for p in setting.near(face, Kind.SHEDS | Kind.RESISTS, to=foot, reach_in=DIVERTER_REACH_IN):
        panel = corner.panels[p]
        kind = setting.kinds[panel.piece]
        lines = [math.dist(t.start, t.end) for t in panel.troughs]
        short = [length for length in lines if length <= LONGEST_DIVERTER_IN]
        if kind & Kind.KICK_OUT:
            u0, v0, u1, v1 = panel.polygon.bounds
            yield panel.piece, max(short, default=max(u1 - u0, v1 - v0))
        elif short and not kind & Kind.CHANNEL:
            yield panel.piece, max(short)


def _clear_above(setting: Setting, shelf: Shelf, key: str) -> Iterator[RuleResult]:
    """How near each piece of siding or trim comes down to a roof or flashing."""
    corner, asked = setting.corner, rule(key)
    strip, line = strip_above(shelf.on_wall, reach_in=SIDING_REACH_IN), shelf.wall_line
    nearest: dict[int, tuple[float, Place]] = {}
    for p in setting.near(shelf.wall, SIDING_OR_TRIM, to=line, reach_in=SIDING_REACH_IN):
        part = corner.panels[p].polygon.intersection(strip)
        if part.buffer(-TOUCH_IN / 2).is_empty:
            continue
        gap = float(part.distance(line))
        piece = corner.panels[p].piece
        if piece not in nearest or gap < nearest[piece][0]:
            foot = shapely.shortest_line(part, line).coords[0]
            nearest[piece] = (gap, (foot[0], foot[1]))
    below = "the roof" if key == "siding-to-roof" else "the flashing"
    for piece, (gap, at) in nearest.items():
        good = asked.good or asked.value
        advice = f"; {inch_text(good)} is better" if gap < good else ""
        yield judge(
            key,
            measured_in=gap,
            text=f"{setting.name(piece)} ends {inch_text(gap)} above {below}; {asks(key)}{advice}.",
            pieces=(piece,),
            face=shelf.wall,
            at=at,
        )


def _behind_siding(setting: Setting, base: set[int]) -> Iterator[RuleResult]:
    """Whether the siding lies outside the upright leg of each base flashing that it laps."""
    kinds, faces = setting.kinds, setting.corner.faces
    for lap in setting.laps:
        outer_base, inner_base = lap.outer in base, lap.inner in base
        if not (outer_base or inner_base) or not is_wall(faces[lap.face]):
            continue
        siding, flashing = (lap.inner, lap.outer) if outer_base else (lap.outer, lap.inner)
        if not kinds[siding] & Kind.SIDING:
            continue
        place = "over" if outer_base else "behind"
        yield judge(
            "flashing-behind-siding",
            measured_in=lap.height_in,
            text=(
                f"The upright leg of {setting.name(flashing)} lies {place} "
                f"{setting.name(siding)}; {rule('flashing-behind-siding').asked_by} wants it "
                "behind."
            ),
            pieces=(flashing, siding),
            face=lap.face,
            at=lap.at,
            ok=not outer_base,
        )
