"""Uprights: compression with buckling both ways, built-up columns, and compression with bending."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from weatherlap.structure.beams import BendingLimit, bending_limit
from weatherlap.structure.factors import Adjusted
from weatherlap.structure.frame import Array
from weatherlap.structure.inspect_at import MemberAt
from weatherlap.structure.lumber import Book
from weatherlap.structure.results import Check, Value, check, outside
from weatherlap.structure.stability import (
    MOST_SLENDER_COLUMN,
    MOST_SLENDER_WHILE_BUILDING,
    column_stability,
    euler_stress,
)

NAILED_SHARE = 0.6
BOLTED_SHARE = 0.75
LEAST_AXIAL_SHARE = 0.02


@dataclass(frozen=True, slots=True)
class ColumnLimit:
    """F'c with the buckling of the worse axis; slenderness both ways. [psi, -]"""

    allowed: Adjusted
    strong_slenderness: float
    weak_slenderness: float
    built_up_share: float

    @property
    def slenderness(self) -> float:
        """The greater slenderness. [-]"""
        return max(self.strong_slenderness, self.weak_slenderness)


def _smallest(at: MemberAt) -> tuple[float, float, float]:
    """Smallest area, width and depth along the member. [in]"""
    p = at.properties
    return float(p["area"].min()), float(p["width"].min()), float(p["depth"].min())


def _between(brace_in: float | None, length_in: float) -> float:
    """Distance between braces, the whole length where none is given. [in]"""
    return length_in if brace_in is None else brace_in


def _weak_brace(at: MemberAt) -> float | None:
    """Braces across the width; what holds a lying member's edge holds it sideways too. [in]"""
    member = at.member
    if member.brace_weak_in is not None or member.use.upright:
        return member.brace_weak_in
    return member.unbraced_in


def column_limit(at: MemberAt) -> ColumnLimit:
    """F'c of a column, solid or of nailed or bolted plies.

    Sources
    -------
    S-014 : CP, both axes.
    S-020 : built-up columns, Kf on CP where the plies slide; not less than ply by ply.
    """
    member, s = at.member, at.strength
    _, width, depth = _smallest(at)
    strong = member.ke * _between(member.brace_strong_in, at.member.length_in) / depth
    weak = member.ke * _between(_weak_brace(at), member.length_in) / width
    c = 0.9 if s.book is Book.TYPED else 0.8
    fc, emin = s.fc_star.value, s.emin.value

    def cp(slenderness: float) -> float:
        return column_stability(fc, emin_psi=emin, slenderness=slenderness, c=c)

    plies = member.stock.plies
    kf = 1.0 if plies == 1 else (BOLTED_SHARE if member.bolted else NAILED_SHARE)
    alone = cp(weak * plies) if plies > 1 else 0.0
    weak_cp = max(kf * cp(weak), alone)
    least = min(cp(strong), weak_cp)
    allowed = s.fc_star.with_factor("F'c", Value("CP", least, "-", "S-014"))
    return ColumnLimit(allowed, strong, weak, kf)


def column_checks(at: MemberAt) -> list[Check]:
    """Compression of an upright, or of any member with a notable thrust or bending across.

    Sources
    -------
    S-014 : fc = P / A <= F'c.
    """
    push = float(np.max(-at.lines.axial_lb))
    area, _, _ = _smallest(at)
    limit = column_limit(at)
    pressed = push >= 1.0 and (
        at.member.use.upright or push / area >= LEAST_AXIAL_SHARE * limit.allowed.value
    )
    across = np.max(np.abs(at.lines.weak_lb_in) / at.properties["weak"])
    bent = float(across) >= LEAST_AXIAL_SHARE * at.strength.fb_star.value
    if not (pressed or bent):
        return []
    slender = _too_slender(at, limit) if pressed else []
    if slender:
        return slender
    return [*(_compression(at, limit, push, area) if pressed else []), *combined_check(at, limit)]


def _too_slender(at: MemberAt, limit: ColumnLimit) -> list[Check]:
    """A column beyond the method."""
    most = MOST_SLENDER_WHILE_BUILDING if at.member.temporary else MOST_SLENDER_COLUMN
    if limit.slenderness <= most:
        return []
    combination, stage = at.when
    return [
        outside(
            at.member.id, what="compression", source="S-014", combination=combination, stage=stage,
            words=f"{at.words}: slenderness {limit.slenderness:.0f} is over {most:g}; brace it or "
            "take a thicker one.",
        )
    ]  # fmt: skip


def _compression(at: MemberAt, limit: ColumnLimit, push: float, area: float) -> list[Check]:
    """Compression alone."""
    combination, stage = at.when
    values = (
        Value("P", push, "lb", "S-062"), Value("A", area, "in2", "S-062"),
        Value("le1/d1", limit.strong_slenderness, "-", "S-066"),
        Value("le2/d2", limit.weak_slenderness, "-", "S-066"),
        Value("Kf", limit.built_up_share, "-", "S-020"),
        *limit.allowed.lines,
    )  # fmt: skip
    return [
        check(
            at.member.id, what="compression", formula="fc = P / A <= F'c = Fc CD CM Ct CF Ci CP",
            values=values, source="S-014", result=push / area, limit=limit.allowed.value,
            unit="psi", words=f"Compression of {at.words}", combination=combination, stage=stage,
        )
    ]  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Bent:
    """Stresses along a member and the values that limit them. [psi]"""

    fc: Array
    fb1: Array
    fb2: Array
    fce1: float
    fce2: float
    fbe: float
    bending: BendingLimit


def _bent(at: MemberAt, limit: ColumnLimit) -> _Bent:
    """Stresses and buckling stresses."""
    area, _, _ = _smallest(at)
    emin = at.strength.emin.value
    bending = bending_limit(at, sagging=False)
    fce1, fce2 = (
        euler_stress(emin, slenderness=v) if v > 0 else inf
        for v in (limit.strong_slenderness, limit.weak_slenderness)
    )
    return _Bent(
        np.maximum(-at.lines.axial_lb, 0.0) / area,
        np.abs(at.lines.strong_lb_in) / at.properties["strong"],
        np.abs(at.lines.weak_lb_in) / at.properties["weak"], fce1, fce2,
        inf if bending.slenderness <= 0 else 1.2 * emin / bending.slenderness**2, bending,
    )  # fmt: skip


def combined_check(at: MemberAt, limit: ColumnLimit) -> list[Check]:
    """Compression with bending both ways and with the load off centre.

    Sources
    -------
    S-015 : NDS 3.9.2 and, for an eccentric load, 15.4.1.
    """
    b = _bent(at, limit)
    off_centre = at.member.eccentricity_in
    if float(b.fb1.max()) < 1.0 and float(b.fb2.max()) < 1.0 and off_centre == 0.0:
        return []
    combination, stage = at.when
    if float(b.fc.max()) >= min(b.fce1, b.fce2) or b.bending.too_slender:
        return [
            outside(
                at.member.id, what="compression with bending", source="S-015",
                combination=combination, stage=stage,
                words=f"{at.words} buckles before it bends; take a thicker one or brace it.",
            )
        ]  # fmt: skip
    _, _, depth = _smallest(at)
    off = b.fc * (6 * off_centre / depth) * (1 + 0.234 * b.fc / b.fce1)
    room = np.maximum(1 - b.fc / b.fce2 - ((b.fb1 + off) / b.fbe) ** 2, 1e-9)
    total = (
        (b.fc / limit.allowed.value) ** 2
        + (b.fb1 + off) / (b.bending.allowed.value * (1 - b.fc / b.fce1))
        + b.fb2 / (at.strength.fb_star.value * room)
    )
    worst = int(np.argmax(total))
    return [
        check(
            at.member.id, what="compression with bending", source="S-015",
            formula="(fc/F'c)2 + (fb1 + fc (6e/d1)(1 + 0.234 fc/FcE1)) / (F'b1 (1 - fc/FcE1))"
            " + fb2 / (F'b2 (1 - fc/FcE2 - (fb1/FbE)2)) <= 1",
            values=_combined_values(at, limit, b, worst), result=float(total[worst]), limit=1.0,
            unit="-", words=f"Compression with bending of {at.words}", combination=combination,
            stage=stage,
        )
    ]  # fmt: skip


def _combined_values(at: MemberAt, limit: ColumnLimit, b: _Bent, worst: int) -> tuple[Value, ...]:
    """Figures of the combined check."""
    _, width, depth = _smallest(at)
    return (
        Value("fc", float(b.fc[worst]), "psi", "S-062"),
        Value("F'c", limit.allowed.value, "psi", "S-014"),
        Value("fb1", float(b.fb1[worst]), "psi", "S-062"),
        Value("F'b1", b.bending.allowed.value, "psi", "S-013"),
        Value("fb2", float(b.fb2[worst]), "psi", "S-062"),
        Value("F'b2", at.strength.fb_star.value, "psi", "S-013"),
        Value("FcE1", b.fce1, "psi", "S-014"), Value("FcE2", b.fce2, "psi", "S-014"),
        Value("FbE", b.fbe, "psi", "S-013"), Value("e", at.member.eccentricity_in, "in", "S-066"),
        Value("d1", depth, "in", "S-062"), Value("d2", width, "in", "S-062"),
    )  # fmt: skip


def tension_checks(at: MemberAt) -> list[Check]:
    """Tension, alone and with bending.

    Sources
    -------
    S-015 : NDS 3.9.1, ft/F't + fb/Fb* <= 1.
    """
    ft = np.maximum(at.lines.axial_lb, 0.0) / at.properties["area"]
    allowed = at.strength.ft
    if float(ft.max()) < LEAST_AXIAL_SHARE * allowed.value:
        return []
    fb = np.abs(at.lines.strong_lb_in) / at.properties["strong"]
    total = ft / allowed.value + fb / at.strength.fb_star.value
    worst = int(np.argmax(total))
    combination, stage = at.when
    return [
        check(
            at.member.id, what="tension with bending", formula="ft/F't + fb/Fb* <= 1",
            values=(
                Value("ft", float(ft[worst]), "psi", "S-062"), *allowed.lines,
                Value("fb", float(fb[worst]), "psi", "S-062"),
                Value("Fb*", at.strength.fb_star.value, "psi", "S-013"),
            ),
            source="S-015", result=float(total[worst]), limit=1.0, unit="-",
            words=f"Tension with bending of {at.words}", combination=combination, stage=stage,
        )
    ]  # fmt: skip
