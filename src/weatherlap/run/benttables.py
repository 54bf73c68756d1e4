"""Bent pieces as tables that JSON can hold."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from weatherlap.metal.flat import FlatPattern
from weatherlap.metal.girth import Strip
from weatherlap.metal.model import Profile
from weatherlap.metal.orders import BendPlan
from weatherlap.run.bentmaking import Cut
from weatherlap.run.bentpieces import Bent, BentPiece

Table = dict[str, Any]


def bent_table(bent: Bent) -> Table:
    """Everything that the shop sheets say, lengths in inches, angles in degrees."""
    return {
        "brake": asdict(bent.shop.brake),
        "pieces": [piece_table(p) for p in bent.pieces],
        "not_made": [{"id": n, **asdict(problem)} for n, problem in bent.faulty],
    }


def piece_table(piece: BentPiece) -> Table:
    """One bent piece."""
    how = piece.making
    return {
        "id": piece.id,
        "title": piece.title,
        "pieces": list(piece.pieces),
        "new": piece.is_new,
        "what": piece.what,
        "count": piece.count,
        "metal": piece.metal_key,
        "painted": piece.painted,
        "girth_in": _r(piece.girth_in),
        "length_in": _r(piece.length_in),
        "lengths": [[_r(a), _r(b)] for a, b in how.runs],
        "profile": _profile(how.wanted),
        "too_wide": how.fit.too_wide,
        "too_long": how.fit.too_long,
        "order": None if how.plan is None else _plan(how.plan),
        "parts_tried_deg": list(how.parts_deg),
        "changes": [{"kind": c.remedy.value, "text": c.text} for c in how.changes],
        "made": [_cut(c) for c in how.cuts],
        "notes": list(piece.notes),
    }


def _r(value: float) -> float:
    return round(value, 4)


def _profile(profile: Profile) -> Table:
    legs = [
        {"name": leg.name, "length_in": _r(leg.length_in), "measure": leg.measure.value}
        for leg in profile.legs
    ]
    bends = [
        {"angle_deg": _r(b.angle_deg), "toward": b.toward.value, "radius_in": b.radius_in}
        for b in profile.bends
    ]
    return {"id": profile.id, "legs": legs, "bends": bends}


def _strip(strip: Strip) -> Table:
    return {"girth_in": _r(strip.girth_in), "lines_in": [_r(x) for x in strip.lines_in]}


def _plan(plan: BendPlan) -> Table:
    blocked = None
    if plan.blocked is not None:
        blocked = {
            "furthest": list(plan.blocked.furthest),
            "never": list(plan.blocked.never),
            "reasons": [
                {"bend": r.bend, "edge_out": r.in_front.value, "why": r.text}
                for r in plan.blocked.reasons
            ],
        }
    return {
        "possible": plan.possible,
        "states_tried": plan.states,
        "by_hand": list(plan.by_hand),
        "part_open": None if plan.part is None else asdict(plan.part),
        "handling": plan.handling,
        "blocked": blocked,
        "steps": [{**asdict(s), "in_front": s.in_front.value} for s in plan.steps],
    }


def _cut(cut: Cut) -> Table:
    return {
        "profile": _profile(cut.profile),
        "strip": _strip(cut.strip),
        "order": _plan(cut.plan),
        "patterns": [_pattern(p) for p in cut.patterns],
    }


def _pattern(pattern: FlatPattern) -> Table:
    return {
        "id": pattern.profile_id,
        "blank_in": [_r(x) for x in pattern.blank_in],
        "area_in2": _r(pattern.area_in2),
        "outline": [[_r(x), _r(y)] for x, y in pattern.outline],
        "bend_lines": [
            {
                "start": [_r(x) for x in n.start], "end": [_r(x) for x in n.end],
                "angle_deg": _r(n.angle_deg), "toward": n.toward.value, "bend": n.bend,
            }
            for n in pattern.bend_lines
        ],
    }  # fmt: skip
