"""Bending, shear, notches and deflection of lying members."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from weatherlap.structure.factors import Adjusted
from weatherlap.structure.frame import Array
from weatherlap.structure.inspect_at import MemberAt
from weatherlap.structure.model import Case, Ceiling, Notch, Use
from weatherlap.structure.results import Check, Value, check, outside
from weatherlap.structure.stability import (
    MOST_SLENDER_BEAM,
    beam_effective_length,
    beam_slenderness,
    beam_stability,
    needs_no_brace,
)

STEEP_RISE_PER_RUN = 0.25
DEEPEST_NOTCH_SHARE = 0.25
CREEP_DRY = 1.5
CREEP_WET = 2.0
LIVE_LIMIT = {
    Ceiling.PLASTER: 360.0, Ceiling.FLOOR: 360.0, Ceiling.GYPSUM: 240.0, Ceiling.NONE: 240.0,
    Ceiling.MASONRY: 600.0,
}  # fmt: skip
TOTAL_LIMIT = {
    Ceiling.PLASTER: 240.0, Ceiling.FLOOR: 240.0, Ceiling.GYPSUM: 180.0, Ceiling.NONE: 120.0,
    Ceiling.MASONRY: 600.0,
}  # fmt: skip
BARE_RAFTER_LIMIT = 180.0
WIND_LIMIT = {
    Ceiling.PLASTER: 360.0, Ceiling.FLOOR: 240.0, Ceiling.GYPSUM: 240.0, Ceiling.NONE: 120.0,
    Ceiling.MASONRY: 360.0,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class BendingLimit:
    """F'b for one sign of the moment, with what it was made of; ``too_slender`` if outside."""

    allowed: Adjusted
    slenderness: float
    unbraced_in: float
    too_slender: bool


def bending_limit(at: MemberAt, *, sagging: bool) -> BendingLimit:
    """F'b with beam stability for the edge that this sign of moment presses.

    The upper edge is held at the member's own bracing; the lower only where the member is held.

    Sources
    -------
    S-013 : CL; 1.0 by 4.4.1.2 up to 4 to 1 with the ends held.
    """
    member, s = at.member, at.strength
    whole = member.length_in
    own = whole if member.unbraced_in is None else member.unbraced_in
    unbraced = own if sagging else max(own, at.longest_span_in)
    flat = s.fb_star.with_factor("F'b", Value("Cfu", s.flat, "-", "S-011"))
    section = at.section
    if unbraced <= 0 or needs_no_brace(section.depth_in, width_in=section.width_in):
        return BendingLimit(flat, 0.0, unbraced, False)
    effective = beam_effective_length(unbraced, depth_in=section.depth_in)
    rb = beam_slenderness(effective, depth_in=section.depth_in, width_in=section.width_in)
    if rb > MOST_SLENDER_BEAM:
        return BendingLimit(flat, rb, unbraced, True)
    cl = beam_stability(s.fb_star.value, emin_psi=s.emin.value, slenderness=rb)
    return BendingLimit(flat.with_factor("F'b", Value("CL", cl, "-", "S-013")), rb, unbraced, False)


def bending_checks(at: MemberAt) -> list[Check]:
    """Bending stress at the worst place, for sagging and hogging.

    Sources
    -------
    S-062 : fb = M / S.
    S-013 : F'b.
    """
    stress = at.lines.strong_lb_in / at.properties["strong"]
    found = []
    for sagging in (True, False):
        signed = stress if sagging else -stress
        worst = int(np.argmax(signed))
        if signed[worst] > 1.0:
            found.append(_bending(at, worst, abs(float(stress[worst])), sagging))
    return found


def _bending(at: MemberAt, worst: int, stress_psi: float, sagging: bool) -> Check:
    """The line of one sign of moment."""
    combination, stage = at.when
    what = "bending" if sagging else "bending, top in tension"
    limit = bending_limit(at, sagging=sagging)
    if limit.too_slender:
        return outside(
            at.member.id, what=what, source="S-013", combination=combination, stage=stage,
            words=f"{at.words}: slenderness RB {limit.slenderness:.0f} is over 50 with "
            f"{limit.unbraced_in:.0f} in between places that hold its pressed edge; brace it.",
        )  # fmt: skip
    values = (
        Value("M", abs(float(at.lines.strong_lb_in[worst])), "lb in", "S-062"),
        Value("x", float(at.lines.along_in[worst]), "in", "S-062"),
        Value("S", float(at.properties["strong"][worst]), "in3", "S-062"),
        Value("lu", limit.unbraced_in, "in", "S-066"),
        *limit.allowed.lines,
    )
    return check(
        at.member.id, what=what, formula="fb = M / S <= F'b = Fb CD CM Ct CL CF Cfu Ci Cr",
        values=values, source="S-013", result=stress_psi, limit=limit.allowed.value, unit="psi",
        words=f"Stress in {what} of {at.words}", combination=combination, stage=stage,
    )  # fmt: skip


def _shear_places(at: MemberAt) -> tuple[Array, Array]:
    """Places at which shear counts, and the shear there: outside the depth of every hold. [in, lb]

    Just at the depth from each hold the shear is read between the stations. Where a joint loads the
    member within its depth of a hold, everything near that hold counts.
    """
    along, shear, depth = at.lines.along_in, at.lines.shear_lb, at.section.depth_in
    keep = np.ones(len(along), dtype=bool)
    loads = at.links.loaded_at_in
    edges = []
    for place in at.held_places:
        if not any(abs(load - place) < depth for load in loads):
            keep &= np.abs(along - place) >= depth
            edges += [place - depth - 0.01, place + depth + 0.01]
    marks = np.array(
        [
            e
            for e in edges
            if 0 < e < at.member.length_in and all(abs(e - p) >= depth for p in at.held_places)
        ]
    )
    if not keep.any() and not len(marks):
        return along, shear
    return (
        np.concatenate([along[keep], marks]),
        np.concatenate([shear[keep], np.interp(marks, along, shear)]),
    )


def shear_check(at: MemberAt) -> list[Check]:
    """Shear stress at the worst place, left out within the depth of a hold for spread load.

    Sources
    -------
    S-016 : fv = 3 V / (2 b d); 3.4.3.1 (a).
    """
    places, shear = _shear_places(at)
    area = np.array([s.area_in2 for s in at.sections_at(places)])
    stress = 1.5 * np.abs(shear) / area
    worst = int(np.argmax(stress))
    if stress[worst] < 0.1:
        return []
    combination, stage = at.when
    values = (
        Value("V", abs(float(shear[worst])), "lb", "S-062"),
        Value("x", float(places[worst]), "in", "S-062"),
        Value("b d", float(area[worst]), "in2", "S-062"),
        *at.strength.fv.lines,
    )
    return [
        check(
            at.member.id, what="shear", formula="fv = 3 V / (2 b d) <= F'v = Fv CD CM Ct Ci",
            values=values, source="S-016", result=float(stress[worst]),
            limit=at.strength.fv.value, unit="psi", words=f"Shear stress of {at.words}",
            combination=combination, stage=stage,
        )
    ]  # fmt: skip


def notch_checks(at: MemberAt) -> list[Check]:
    """Shear strength left at each notch; deeper than a quarter is outside the method.

    Sources
    -------
    S-016 : 3.2.3 and 3.4.3.2, V'r = (2/3) F'v b dn (dn/d)2 on the tension side.
    """
    return [_notch(at, notch) for notch in at.member.notches]


def _notch(at: MemberAt, notch: Notch) -> Check:
    """One notch."""
    depth, width = at.section.depth_in, at.section.width_in
    combination, stage = at.when
    what = f"notch at {notch.at_in:g} in"
    inside = min(abs(notch.at_in - p) for p in (0.0, at.member.length_in)) > depth
    limit_share = DEEPEST_NOTCH_SHARE if notch.tension_side else 0.4
    if notch.depth_in > limit_share * depth or (inside and notch.tension_side):
        place = "away from the ends" if inside else f"{notch.depth_in:g} in deep"
        return outside(
            at.member.id, what=what, source="S-016", combination=combination, stage=stage,
            words=f"Notch {place} in {at.words}: only end notches of a quarter of the depth or "
            "less can be worked out; do not leave it, or ask an engineer.",
        )  # fmt: skip
    left = depth - notch.depth_in
    v = float(np.max(np.abs(at.lines.shear_lb[np.abs(at.lines.along_in - notch.at_in) <= depth])))
    share = (left / depth) ** 2 if notch.tension_side else 1.0
    fv = at.strength.fv
    return check(
        at.member.id, what=what, formula="V <= V'r = (2/3) F'v b dn (dn/d)2",
        values=(
            Value("b", width, "in", "S-062"), Value("d", depth, "in", "S-062"),
            Value("dn", left, "in", "S-066"), *fv.lines,
        ),
        source="S-016", result=v, limit=2 / 3 * fv.value * width * left * share, unit="lb",
        words=f"Shear at the notch of {at.words}", combination=combination, stage=stage,
    )  # fmt: skip


def live_limit(at: MemberAt) -> float:
    """The n of span/n that live load may bend a member.

    Sources
    -------
    S-027 : R301.7. S-046 : the printed rafter spans follow L/240 of live load alone.
    """
    member = at.member
    rise = abs(member.end_in[2] - member.start_in[2])
    steep = rise > STEEP_RISE_PER_RUN * max(member.plan_length_in, 1e-9)
    if member.use is Use.RAFTER and member.ceiling is Ceiling.NONE and steep:
        return BARE_RAFTER_LIMIT
    return LIVE_LIMIT[member.ceiling]


def sag_by_span(at: MemberAt, move_in: Array) -> list[tuple[float, float]]:
    """Greatest movement off the line between holds, span by span, with the span's length. [in]

    An overhang longer than the depth counts as twice its length and moves against its hold.
    """
    even, found = at.lines.even_in, []
    marks = at.held_places
    if not marks:
        return []
    for a, b in pairwise(marks):
        inside = (even >= a - 1e-6) & (even <= b + 1e-6)
        ends = np.interp((a, b), even, move_in)
        off = move_in[inside] - np.interp(even[inside], (a, b), ends)
        found.append((float(np.max(np.abs(off), initial=0.0)), b - a))
    for hold, end in ((marks[0], 0.0), (marks[-1], at.member.length_in)):
        if abs(hold - end) > at.section.depth_in:
            at_hold, at_end = np.interp((hold, end), even, move_in)
            found.append((abs(float(at_end - at_hold)), 2.0 * abs(hold - end)))
    return found


def deflection_checks(at: MemberAt, dead: MemberAt) -> list[Check]:
    """Live deflection, and live plus creeping dead deflection, against the span.

    Parameters
    ----------
    dead : MemberAt
        The same member at the same stage under dead load alone.

    Sources
    -------
    S-018 : long-term deflection, Kcr dead + live.
    S-027, S-028 : limits.
    """
    if at.carried.combination.id == dead.carried.combination.id or at.carried.upward:
        return []
    live = at.lines.move_in - dead.lines.move_in
    creep = CREEP_WET if at.member.service.wet else CREEP_DRY
    total = live + creep * dead.lines.move_in
    limits = (
        ("live deflection", live, live_limit(at), "S-027", "live <= L / n"),
        (
            "deflection with creep", total, TOTAL_LIMIT[at.member.ceiling], "S-028",
            "Kcr dead + live <= L / n",
        ),
    )  # fmt: skip
    found = []
    for what, move, n, source, formula in limits:
        spans = sag_by_span(at, move)
        if spans:
            found.append(_deflection(at, what, spans, n, source, formula))
    return found


def wind_deflection_check(at: MemberAt) -> list[Check]:
    """Deflection of a stud in a side wind, against its height.

    Sources
    -------
    S-027 : R301.7, stucco 360, other brittle 240, flexible 120; 0.7 of 0.6 W.
    """
    wind = at.carried.combination.factor(Case.WIND_SIDE)
    spans = sag_by_span(at, at.lines.move_in)
    if at.member.use is not Use.STUD or wind <= 0 or not spans:
        return []
    n = WIND_LIMIT[at.member.ceiling]
    spans = [(sag * 0.42 / wind, span) for sag, span in spans]
    return [_deflection(at, "deflection in wind", spans, n, "S-027", "0.42 W <= H / n")]


def _deflection(
    at: MemberAt, what: str, spans: list[tuple[float, float]], n: float, source: str, formula: str
) -> Check:
    """The worst span of one kind of deflection."""
    sag, span = max(spans, key=lambda s: s[0] / s[1])
    combination, stage = at.when
    creep = CREEP_WET if at.member.service.wet else CREEP_DRY
    values = (
        Value("L", span, "in", "S-066"), Value("n", n, "-", source), *at.strength.e.lines,
        Value("Kcr", creep, "-", "S-018"),
        Value("I", at.section.strong_inertia_in4, "in4", "S-062"),
    )  # fmt: skip
    return check(
        at.member.id, what=what, formula=formula, values=values, source=source, result=sag,
        limit=span / n, unit="in", words=f"{what.capitalize()} of {at.words}",
        combination=combination, stage=stage,
    )  # fmt: skip
