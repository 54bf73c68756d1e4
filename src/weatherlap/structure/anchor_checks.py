"""Anchors in shear, and tension with shear together (ACI 318-19 chapter 17)."""

from __future__ import annotations

from math import sqrt

from weatherlap.structure.anchors import (
    PHI_STEEL,
    AnchorGroup,
    AnchorLoad,
    Capacity,
    Slab,
    check_geometry,
    nominal_breakout,
    tension_capacities,
)
from weatherlap.structure.results import Check, Missing, Value, check

PHI_CONCRETE_SHEAR = 0.70
PRYOUT_STEP_IN = 2.5


def steel_shear(group: AnchorGroup) -> Capacity:
    """Steel in shear, phi n 0.6 Ase futa, 0.8 with a grout pad. [lb]

    Sources
    -------
    S-053 : 17.7.1.
    """
    phi = PHI_STEEL[group.ductile][1]
    pad = 0.8 if group.grout_pad else 1.0
    futa = min(group.steel_psi, 125000.0)
    values = (
        Value("phi", phi, "-", "S-053"), Value("n", group.count, "-", "S-066"),
        Value("Ase", group.steel_area_in2, "in2", "S-066"), Value("futa", futa, "psi", "S-066"),
        Value("grout pad", pad, "-", "S-053"),
    )  # fmt: skip
    nominal = group.count * 0.6 * group.steel_area_in2 * futa * pad
    return Capacity("steel in shear", "phi Vsa = phi n 0.6 Ase futa", phi * nominal, values)


def shear_breakout(
    group: AnchorGroup, slab: Slab, *, edge_in: float, sides_in: tuple[float | None, float | None],
    along: int, spacing_in: float,
) -> Capacity:  # fmt: skip
    """Concrete breakout in shear toward one edge, by the row nearest to it. [lb]

    Parameters
    ----------
    edge_in : float
        Distance ca1 of that row. [in]
    sides_in : tuple
        Edges at both sides; None is far. [in]
    along : int
        Anchors in the row. [-]
    spacing_in : float
        Their spacing. [in]

    Sources
    -------
    S-053 : 17.7.2.
    """
    ha, da = slab.thickness_in, group.diameter_in
    ca1 = _shear_edge(edge_in, sides_in, ha, spacing_in if along > 1 else 0.0)
    wide = sum(1.5 * ca1 if s is None else min(s, 1.5 * ca1) for s in sides_in)
    wide += min(spacing_in, 3 * ca1) if along > 1 else 0.0
    ratio = min(wide * min(ha, 1.5 * ca1) / (4.5 * ca1**2), float(along))
    le = min(group.effective_in, 8 * da)
    root = slab.lightweight * sqrt(slab.strength_psi) * ca1**1.5
    basic = min(7 * (le / da) ** 0.2 * sqrt(da) * root, 9 * root)
    side = min((s for s in sides_in if s is not None), default=1e9)
    edge = 1.0 if side >= 1.5 * ca1 else 0.7 + 0.3 * side / (1.5 * ca1)
    crack = 1.0 if slab.cracked else 1.4
    thin = max(1.0, sqrt(1.5 * ca1 / ha))
    values = (
        Value("phi", PHI_CONCRETE_SHEAR, "-", "S-053"), Value("ca1", ca1, "in", "S-066"),
        Value("AVc/AVco", ratio, "-", "S-053"), Value("psi ed", edge, "-", "S-053"),
        Value("psi c", crack, "-", "S-053"), Value("psi h", thin, "-", "S-053"),
        Value("le", le, "in", "S-066"), Value("da", da, "in", "S-066"),
        Value("Vb", basic, "lb", "S-053"),
    )  # fmt: skip
    return Capacity(
        "concrete breakout in shear",
        "phi Vcbg = phi (AVc/AVco) psi_ed psi_c psi_h Vb",
        PHI_CONCRETE_SHEAR * ratio * edge * crack * thin * basic, values,
    )  # fmt: skip


def _shear_edge(
    edge_in: float, sides_in: tuple[float | None, float | None], ha: float, spacing: float
) -> float:
    """ca1, reduced where both sides and the thickness are narrow. [in]

    Sources
    -------
    S-053 : 17.7.2.1.2.
    """
    both = [s for s in sides_in if s is not None and s < 1.5 * edge_in]
    if len(both) == 2 and ha < 1.5 * edge_in:
        return max(max(both) / 1.5, ha / 1.5, spacing / 3)
    return edge_in


def pryout(group: AnchorGroup, tension: Capacity) -> Capacity:
    """Concrete pried out behind the anchors, phi kcp Ncp. [lb]

    Sources
    -------
    S-053 : 17.7.3, kcp 1 under 2.5 in, else 2.
    """
    kcp = 1.0 if group.effective_in < PRYOUT_STEP_IN else 2.0
    nominal = tension.design_lb
    if group.pullout_lb is not None:
        nominal = min(nominal, group.pullout_lb * group.count)
    values = (
        Value("phi", PHI_CONCRETE_SHEAR, "-", "S-053"), Value("kcp", kcp, "-", "S-053"),
        Value("Ncp", nominal, "lb", "S-053"),
    )  # fmt: skip
    return Capacity("pryout", "phi Vcp = phi kcp Ncp", PHI_CONCRETE_SHEAR * kcp * nominal, values)


def _toward(slab: Slab, group: AnchorGroup, load: AnchorLoad) -> list[tuple[float, Capacity]]:
    """Shear on the edge it presses toward, each way; a far edge does not break."""
    left, right, near, far = slab.edges_in
    ways = (
        (load.shear_x_lb, right if load.shear_x_lb > 0 else left, (near, far), group.deep,
         group.spacing_y_in),
        (load.shear_y_lb, far if load.shear_y_lb > 0 else near, (left, right), group.across,
         group.spacing_x_in),
    )  # fmt: skip
    return [
        (
            abs(shear),
            shear_breakout(
                group, slab, edge_in=edge, sides_in=sides, along=along, spacing_in=spacing
            ),
        )
        for shear, edge, sides, along, spacing in ways
        if shear and edge is not None
    ]


def anchor_checks(
    group: AnchorGroup, slab: Slab, load: AnchorLoad
) -> tuple[list[Check], list[Missing]]:
    """Tension, shear and both together of a group under one strength-level combination.

    Sources
    -------
    S-053 : 17.6, 17.7, 17.8.
    """
    check_geometry(group, slab)
    tension, missing = tension_capacities(group, slab, load)
    checks = [
        _line(group, one, load.pull_lb, load.combination) for one in tension if load.pull_lb > 0
    ]
    shear_lb = sqrt(load.shear_x_lb**2 + load.shear_y_lb**2)
    shear: list[tuple[float, Capacity]] = []
    if shear_lb > 0:
        shear = [
            (shear_lb, steel_shear(group)),
            (shear_lb, pryout(group, nominal_breakout(group, slab, load))),
            *_toward(slab, group, load),
        ]
        checks += [_line(group, one, pounds, load.combination) for pounds, one in shear]
    if load.pull_lb > 0 and shear_lb > 0:
        checks.append(_together(group, checks, load))
    return checks, missing


def _line(group: AnchorGroup, one: Capacity, pounds: float, combination: str) -> Check:
    """One way to fail as a check."""
    return check(
        group.name, what=one.what, formula=one.formula,
        values=(Value("load", pounds, "lb", "S-062"), *one.values), source="S-053",
        result=pounds, limit=one.design_lb, unit="lb",
        words=f"{one.what.capitalize()} of anchors {group.name!r}", combination=combination,
    )  # fmt: skip


TENSION_WORDS = ("steel in tension", "concrete breakout in tension", "pullout")


def _together(group: AnchorGroup, checks: list[Check], load: AnchorLoad) -> Check:
    """Tension with shear: sum of the two worst ratios, at most 1.2.

    Sources
    -------
    S-053 : 17.8, either alone where the other is 0.2 or less.
    """
    pull = max(c.ratio for c in checks if c.what in TENSION_WORDS)
    shear = max(c.ratio for c in checks if c.what not in TENSION_WORDS)
    if min(pull, shear) <= 0.2:
        result, limit, formula = max(pull, shear), 1.0, "larger ratio <= 1 (other <= 0.2)"
    else:
        result, limit, formula = pull + shear, 1.2, "Nua/phi Nn + Vua/phi Vn <= 1.2"
    return check(
        group.name, what="tension with shear", formula=formula,
        values=(
            Value("tension ratio", pull, "-", "S-053"),
            Value("shear ratio", shear, "-", "S-053"),
        ),
        source="S-053", result=result, limit=limit, unit="-",
        words=f"Tension with shear of anchors {group.name!r}", combination=load.combination,
    )  # fmt: skip
