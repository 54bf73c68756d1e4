"""Moment, shear and deflection along a member, under the load at which its bending is worst."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from weatherlap.drawings.look import LOOK, Look
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.structure.diagrams import MemberLines
from weatherlap.structure.holding import HoldingUp
from weatherlap.structure.model import Member
from weatherlap.structure.results import Check, number
from weatherlap.structure.staging import Carried, StageResult
from weatherlap.units import tape

BAND = 62.0
GAP = 24.0
FEWEST_LB_IN = 50.0
KINDS = ("bending", "bending, top in tension", "shear")


def lines_drawing(holding: HoldingUp, member: Member, look: Look = LOOK) -> str:
    """Three diagrams of a lying member; "" for one that is upright or was not checked."""
    own = [c for c in holding.checks if c.about == member.id and c.what in KINDS]
    if member.use.upright or not own:
        return ""
    worst = max(own, key=lambda c: (c.what.startswith("bending"), c.ratio))
    found = _carried(holding, worst)
    if found is None or member.id not in found[1].lines:
        return ""
    stage, carried = found
    return _drawing(member, stage, carried, own, look)


def _carried(holding: HoldingUp, check: Check) -> tuple[StageResult, Carried] | None:
    """The stage and combination of a check."""
    for stage in holding.stages:
        for carried in stage.carried:
            if stage.stage.id == check.stage and carried.combination.id == check.combination:
                return stage, carried
    return None


def _drawing(
    member: Member, stage: StageResult, carried: Carried, checks: Sequence[Check], look: Look
) -> str:
    lines = carried.lines[member.id]
    title = f"{member.id}: {carried.combination.id}, stage {stage.stage.id}"
    drawing = Drawing(look.width, 0.0, title=title, about=_about(lines), name=f"lines-{member.id}")
    y = look.margin + look.plain
    drawing.text((look.margin, y), title, look.plain, font_weight="bold", fill=look.ink)
    y += 10
    left, right = look.margin + 6, look.width - look.margin - 6
    scale = (right - left) / member.length_in
    holds = _hold_places(member, stage, carried)
    bands = (
        ("moment, ft lb", lines.along_in, lines.strong_lb_in / 12.0, True),
        ("shear, lb", lines.along_in, lines.shear_lb, False),
        ("deflection, in", lines.even_in, lines.move_in, False),
    )
    for words, along, values, is_flipped in bands:
        _band(drawing, look, (left, y), scale, (words, along, values, is_flipped), holds)
        y += BAND + GAP
    shares = "; ".join(f"{c.what} {100 * c.ratio:.0f} %" for c in _worst_each(checks))
    drawing.text((look.margin, y + 2), f"Worst of its limits: {shares}", look.small, fill=look.ink)
    drawing.height = y + look.small + look.margin
    return drawing.svg()


def _about(lines: MemberLines) -> str:
    most = float(np.max(np.abs(lines.strong_lb_in))) / 12.0
    return f"Greatest moment {most:,.0f} ft lb."


def _worst_each(checks: Sequence[Check]) -> list[Check]:
    """The worst of each kind."""
    worst: dict[str, Check] = {}
    for c in checks:
        if c.ratio < float("inf") and (c.what not in worst or c.ratio > worst[c.what].ratio):
            worst[c.what] = c
    return list(worst.values())


def _hold_places(member: Member, stage: StageResult, carried: Carried) -> list[float]:
    """Where something holds it. [in]"""
    return [
        member.distance_along(link.at_in)
        for link in stage.links
        if link.owner == member.id and abs(carried.push_lb[link.id][2]) > 1.0
    ]


def _band(
    drawing: Drawing, look: Look, corner: Point, scale: float,
    told: tuple[str, np.ndarray, np.ndarray, bool], holds: Sequence[float],
) -> None:  # fmt: skip
    """One diagram about its own axis; moments are drawn on the side that is in tension."""
    words, along, values, is_flipped = told
    left, top = corner
    axis = top + look.small + BAND / 2
    most = float(np.max(np.abs(values))) or 1.0
    reach = (BAND / 2 - 3) / most * (1.0 if is_flipped else -1.0)
    points = [(left + a * scale, axis + v * reach) for a, v in zip(along, values, strict=True)]
    right = left + float(along[-1]) * scale
    drawing.polygon(
        [(left, axis), *points, (right, axis)], fill=look.pale, stroke=look.ink, stroke_width=1.2
    )
    drawing.line((left, axis), (right, axis), stroke=look.ink, stroke_width=0.8)
    drawing.text((left, top + look.small - 1), words, look.small, fill=look.ink)
    for place in holds:
        x = left + place * scale
        drawing.polygon([(x, axis), (x - 4, axis + 7), (x + 4, axis + 7)], fill=look.ink)
    worst = int(np.argmax(np.abs(values)))
    text = f"{number(float(values[worst]))} at {tape(float(along[worst]))}"
    drawing.text(
        (right, top + look.small - 1), text, look.small, text_anchor="end", font_weight="bold",
        fill=look.ink,
    )  # fmt: skip
