"""Rules on gutters: fall, width for the rain of the roof, and reach to the ends of the eave."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.building.corner import Face, Gutter
from weatherlap.shape.frames import Place, Vector
from weatherlap.sources.rulebook import rule
from weatherlap.units import L_PER_GAL
from weatherlap.water.channels import gutter_capacity_lph
from weatherlap.water.kinds import ROOF_UP_TO_DEG
from weatherlap.water.roofdrains import code_gutter_gpm, same_area_half_round_in
from weatherlap.water.rulings import RuleResult, Setting, asks, inch_text, judge

IN_PER_FT = 12.0
LPH_PER_GPM = 60 * L_PER_GAL
HIGHEST_FALL_IN = 36.0
ASIDE_IN = 1.0
LEAST_OVERLAP_IN = 1.0
END_CLEAR_IN = 1.0
"""A gutter may end this far from the eave's end: it is hung clear of the siding. [in]"""
LEVEL_EAVE = 0.05
WIDEST = 100.0


@dataclass(frozen=True, slots=True)
class _Eave:
    """A lower edge of a roof with the gutters that hang below it. [in]"""

    face: int
    start: Place
    length: float
    hangs: tuple[tuple[int, float, float], ...]


def gutter_rules(setting: Setting) -> Iterator[RuleResult]:
    """Every rule on gutters."""
    gutters = {p.index: p.gutter for p in setting.corner.pieces if p.gutter is not None}
    if not gutters:
        return
    eaves = list(_eaves(setting, gutters))
    for eave in eaves:
        yield _reach(setting, eave)
    for piece, gutter in gutters.items():
        run = max(math.dist(gutter.start, gutter.end), 1e-3)
        fall = abs(gutter.start[2] - gutter.end[2])
        yield _fall(setting, piece, run, fall)
        flow = _flow_lph(setting, piece, eaves)
        if flow > 0:
            yield _width(setting, piece, gutter, run, fall, flow)


def _eaves(setting: Setting, gutters: dict[int, Gutter]) -> Iterator[_Eave]:
    for face in setting.corner.faces:
        if face.tilt_deg > ROOF_UP_TO_DEG:
            continue
        corners = list(face.outline.exterior.coords)
        for a, b in pairwise(corners):
            length = math.dist(a, b)
            if length < LEAST_OVERLAP_IN or abs(a[1] - b[1]) > LEVEL_EAVE * length:
                continue
            hangs = tuple(_hangs(face, (a, b), gutters))
            if hangs:
                yield _Eave(face.index, (a[0], a[1]), length, hangs)


def _hangs(
    face: Face, edge: tuple[tuple[float, ...], tuple[float, ...]], gutters: dict[int, Gutter]
) -> Iterator[tuple[int, float, float]]:
    """Gutters below an edge, with the part of it that each runs along. [in]"""
    start, end = (face.frame.to_space(p[0], p[1]) for p in edge)
    for piece, gutter in gutters.items():
        part = _part_over(start, end, gutter)
        if part is not None and part[1] - part[0] >= LEAST_OVERLAP_IN:
            yield piece, *part


def _part_over(start: Vector, end: Vector, gutter: Gutter) -> tuple[float, float] | None:
    """The part of an edge in space that a gutter below it runs along. [in]"""
    length = math.dist(start[:2], end[:2])
    if length < LEAST_OVERLAP_IN:
        return None
    way = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    ts = []
    for point in (gutter.start, gutter.end):
        dx, dy = point[0] - start[0], point[1] - start[1]
        if abs(dx * way[1] - dy * way[0]) > gutter.width_in / 2 + ASIDE_IN:
            return None
        ts.append(dx * way[0] + dy * way[1])
    low, high = max(0.0, min(ts)), min(length, max(ts))
    drop = (start[2] + end[2]) / 2 - (gutter.start[2] + gutter.end[2]) / 2
    return (low, high) if -ASIDE_IN <= drop <= HIGHEST_FALL_IN else None


def _reach(setting: Setting, eave: _Eave) -> RuleResult:
    total, reached = 0.0, 0.0
    for _, low, high in sorted(eave.hangs, key=lambda hang: hang[1]):
        total += max(0.0, high - max(low, reached))
        reached = max(reached, high)
    pieces = tuple(piece for piece, _, _ in eave.hangs)
    short = eave.length - total
    bare = f"leaves {inch_text(short)} of it without"
    kept = "reaches both ends" if short <= END_CLEAR_IN else bare
    return judge(
        "gutter-reach",
        measured_in=total,
        required_in=eave.length - END_CLEAR_IN,
        text=(
            f"{setting.name(pieces[0])} runs along {inch_text(total)} of the eave of "
            f"{setting.corner.faces[eave.face].title} and {kept}."
        ),
        pieces=pieces,
        face=eave.face,
        at=eave.start,
    )


def _fall(setting: Setting, piece: int, run: float, fall: float) -> RuleResult:
    need = rule("gutter-fall").value * run / IN_PER_FT
    return judge(
        "gutter-fall",
        measured_in=fall,
        required_in=need,
        text=(
            f"{setting.name(piece)} falls {inch_text(fall)} in {inch_text(run)}; "
            f"{asks('gutter-fall')} a foot, {inch_text(need)} in all."
        ),
        pieces=(piece,),
    )


def _flow_lph(setting: Setting, piece: int, eaves: list[_Eave]) -> float:
    """Water that reaches a gutter: from the trace where it is known, else off its roofs. [L/h]"""
    if setting.gutter_lph is not None:
        return setting.gutter_lph.get(piece, 0.0)
    total = 0.0
    for eave in eaves:
        face = setting.corner.faces[eave.face]
        rate = setting.rain.design_lph_per_in2(face.facing_deg, face.tilt_deg)
        for hung, low, high in eave.hangs:
            if hung == piece:
                total += rate * face.outline.area * (high - low) / eave.length
    return total


def _width(
    setting: Setting, piece: int, gutter: Gutter, run: float, fall: float, flow: float
) -> RuleResult:
    """Width of a gutter against the width that the flow needs in the same shape."""
    by_code = fall >= rule("gutter-fall").value * run / IN_PER_FT * 0.999
    full = gutter_capacity_lph(gutter.shape, gutter.width_in, gutter.depth_in, fall, run)

    def carries(scale: float) -> float:
        wide, deep = gutter.width_in * scale, gutter.depth_in * scale
        if not by_code:
            return gutter_capacity_lph(gutter.shape, wide, deep, fall, run)
        size = same_area_half_round_in(gutter.shape, width_in=wide, depth_in=deep)
        return LPH_PER_GPM * code_gutter_gpm(size, fall_in_per_ft=fall / run * IN_PER_FT)

    low, high = 1 / WIDEST, WIDEST
    for _ in range(50):
        middle = math.sqrt(low * high)
        low, high = (middle, high) if carries(middle) < flow else (low, middle)
    need = gutter.width_in * high
    judged = "by the code's table" if by_code else "level, by its outlet"
    return judge(
        "gutter-size",
        measured_in=gutter.width_in,
        required_in=need,
        text=(
            f"{setting.name(piece)} takes {carries(1.0) / LPH_PER_GPM:.1f} gal/min {judged} "
            f"(full to the brim {full / LPH_PER_GPM:.1f}); the roof brings "
            f"{flow / LPH_PER_GPM:.1f} in the design rain, which asks a width of {inch_text(need)}."
        ),
        pieces=(piece,),
    )
