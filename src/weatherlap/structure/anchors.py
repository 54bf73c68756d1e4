"""Post-installed screw anchors in concrete by ACI 318-19 chapter 17, strength level.

A group in a rectangle of one or two rows each way under a post base. Concrete failure is worked out
for cracked or uncracked concrete without added steel; pullout only from the anchor's own report.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from math import sqrt

from weatherlap.errors import InputError
from weatherlap.structure.results import Missing, Value

LEAST_DEPTH_IN = 1.5
POST_INSTALLED_K = 17.0
MOST_K = 24.0


class Category(StrEnum):
    """Anchor category of its report: sensitivity and reliability."""

    ONE = "1"
    TWO = "2"
    THREE = "3"


PHI_CONCRETE_TENSION = {Category.ONE: 0.65, Category.TWO: 0.55, Category.THREE: 0.45}
PHI_STEEL = {True: (0.75, 0.65), False: (0.65, 0.60)}


@dataclass(frozen=True, slots=True)
class Slab:
    """The concrete: strength, thickness, and whether it is taken as cracked. [psi, in]

    ``edges_in``: distance from the group's outer anchors to the free edges: left, right, near,
    far; None is far away. ``lightweight`` is lambda.
    """

    strength_psi: float
    thickness_in: float
    cracked: bool = True
    edges_in: tuple[float | None, float | None, float | None, float | None] = (None,) * 4
    lightweight: float = 1.0


@dataclass(frozen=True, slots=True)
class AnchorGroup:
    """Equal screw anchors; ``pullout_lb`` and the rest as the report gives them. [in, psi, lb]

    ``effective_in`` is hef; ``breakout_k`` is kc, 17 unless the report gives more, at most 24.
    ``across`` and ``deep`` anchors at ``spacing_x_in`` and ``spacing_y_in``.
    """

    name: str
    diameter_in: float
    effective_in: float
    steel_area_in2: float
    steel_psi: float
    report: str
    across: int = 1
    deep: int = 1
    spacing_x_in: float = 0.0
    spacing_y_in: float = 0.0
    ductile: bool = False
    category: Category = Category.ONE
    pullout_lb: float | None = None
    grout_pad: bool = False
    critical_edge_in: float | None = None
    breakout_k: float = 17.0

    @property
    def count(self) -> int:
        """Number of anchors."""
        return self.across * self.deep


@dataclass(frozen=True, slots=True)
class AnchorLoad:
    """Strength-level load on the group: pull, and shear along x and y (signed). [lb]

    ``eccentric_x_in`` and ``eccentric_y_in``: pull off the middle of the group. Shear toward plus
    x presses toward the right edge, plus y toward the far edge.
    """

    pull_lb: float
    shear_x_lb: float = 0.0
    shear_y_lb: float = 0.0
    eccentric_x_in: float = 0.0
    eccentric_y_in: float = 0.0
    combination: str = ""


@dataclass(frozen=True, slots=True)
class Capacity:
    """One way in which the group fails: design strength and the figures behind it. [lb]"""

    what: str
    formula: str
    design_lb: float
    values: tuple[Value, ...] = field(default=())


def screw_effective_depth(nominal_in: float, *, thread_pitch_in: float, tip_in: float) -> float:
    """Effective depth of a screw anchor, hef = 0.85 (hnom - 0.5 ht - hs). [in]

    Parameters
    ----------
    nominal_in : float
        Depth of the screw in the concrete. [in]
    thread_pitch_in : float
        Pitch of the thread. [in]
    tip_in : float
        Length of the tip without full thread. [in]

    Sources
    -------
    S-053.
    """
    return 0.85 * (nominal_in - 0.5 * thread_pitch_in - tip_in)


def check_geometry(group: AnchorGroup, slab: Slab) -> None:
    """Refuse what the method does not cover.

    Raises
    ------
    InputError
        Depth, slab, spacing or edge outside the rules.

    Sources
    -------
    S-053 : hef at least 1.5 in, at most 2/3 ha or ha - 4 in; spacing and edge at least 3 and 6 da.
    """
    where = f"anchors {group.name!r}"
    hef, ha, da = group.effective_in, slab.thickness_in, group.diameter_in
    most = max(2 / 3 * ha, ha - 4.0)
    if not LEAST_DEPTH_IN <= hef <= most + 1e-9:
        raise InputError(
            where, f"hef {hef:g} in in a slab of {ha:g} in", f"1.5 to {most:.2f} in",
            "A thin slab does not take this anchor: cut out a pad footing.",
        )  # fmt: skip
    if not 2500 <= slab.strength_psi <= 10000:
        raise InputError(where, f"concrete of {slab.strength_psi:g} psi", "2,500 to 10,000 psi",
                         "Have the concrete tested, or ask an engineer.")  # fmt: skip
    if not POST_INSTALLED_K <= group.breakout_k <= MOST_K:
        raise InputError(where, f"kc {group.breakout_k:g}", "17, or up to 24 by the report")
    if group.count < 1 or group.across > 2 or group.deep > 2:
        raise InputError(where, f"{group.across} by {group.deep}", "one or two each way")
    spacings = [
        s
        for n, s in ((group.across, group.spacing_x_in), (group.deep, group.spacing_y_in))
        if n > 1
    ]
    if any(s < 3 * da for s in spacings):
        raise InputError(where, f"spacing {min(spacings):g} in", f"at least {3 * da:g} in (3 da)")
    near = [e for e in slab.edges_in if e is not None]
    if any(e < 6 * da for e in near):
        raise InputError(where, f"edge at {min(near):g} in", f"at least {6 * da:g} in (6 da)")


def _reach(slab: Slab, radius: float) -> list[float]:
    """How far the breakout reaches past the group each way. [in]"""
    return [radius if e is None else min(e, radius) for e in slab.edges_in]


def _least_edge(slab: Slab) -> float:
    """Nearest edge, very far where none is given. [in]"""
    return min((e for e in slab.edges_in if e is not None), default=1e9)


def depth_for_breakout(group: AnchorGroup, slab: Slab) -> float:
    """Effective depth, reduced where three or more edges are near. [in]

    Sources
    -------
    S-053 : 17.6.2.1.2.
    """
    hef = group.effective_in
    near = [e for e in slab.edges_in if e is not None and e < 1.5 * hef]
    if len(near) < 3:
        return hef
    widest = max(group.spacing_x_in, group.spacing_y_in)
    return max(max(near) / 1.5, widest / 3)


def breakout_area_ratio(group: AnchorGroup, slab: Slab) -> float:
    """ANc / ANco, at most the number of anchors. [-]

    Sources
    -------
    S-053 : 17.6.2.1, ANco = 9 hef2.
    """
    hef = depth_for_breakout(group, slab)
    left, right, near, far = _reach(slab, 1.5 * hef)
    wide = left + right + (min(group.spacing_x_in, 3 * hef) if group.across > 1 else 0.0)
    deep = near + far + (min(group.spacing_y_in, 3 * hef) if group.deep > 1 else 0.0)
    return min(wide * deep / (9 * hef**2), float(group.count))


def steel_tension(group: AnchorGroup) -> Capacity:
    """Steel in tension, phi n Ase futa. [lb]

    Sources
    -------
    S-053 : 17.6.1.
    """
    phi = PHI_STEEL[group.ductile][0]
    futa = min(group.steel_psi, 125000.0)
    nominal = group.count * group.steel_area_in2 * futa
    values = (
        Value("phi", phi, "-", "S-053"), Value("n", group.count, "-", "S-066"),
        Value("Ase", group.steel_area_in2, "in2", "S-066"), Value("futa", futa, "psi", "S-066"),
    )  # fmt: skip
    return Capacity("steel in tension", "phi Nsa = phi n Ase futa", phi * nominal, values)


def _edge_factor_tension(slab: Slab, hef: float) -> float:
    """psi ed,N. [-]"""
    edge = _least_edge(slab)
    return 1.0 if edge >= 1.5 * hef else 0.7 + 0.3 * edge / (1.5 * hef)


def nominal_breakout(group: AnchorGroup, slab: Slab, load: AnchorLoad) -> Capacity:
    """Concrete breakout in tension before phi, Ncbg. [lb]

    Sources
    -------
    S-053 : 17.6.2, uncracked 1.4 with a kc of 17 and 1.0 with the report's own, cp by the
        critical edge (4 hef unless tested).
    """
    hef = depth_for_breakout(group, slab)
    basic = group.breakout_k * slab.lightweight * sqrt(slab.strength_psi) * hef**1.5
    ratio = breakout_area_ratio(group, slab)
    off = 1.0
    for e in (load.eccentric_x_in, load.eccentric_y_in):
        off *= 1.0 / (1.0 + abs(e) / (1.5 * hef))
    edge = _edge_factor_tension(slab, hef)
    crack, split = 1.0, 1.0
    if not slab.cracked:
        crack = 1.4 if group.breakout_k == POST_INSTALLED_K else 1.0
        split = _splitting(group, slab, hef)
    values = (
        Value("ANc/ANco", ratio, "-", "S-053"), Value("psi ec", off, "-", "S-053"),
        Value("psi ed", edge, "-", "S-053"), Value("psi c", crack, "-", "S-053"),
        Value("psi cp", split, "-", "S-053"), Value("kc", group.breakout_k, "-", "S-053"),
        Value("hef", hef, "in", "S-066"), Value("f'c", slab.strength_psi, "psi", "S-066"),
        Value("lambda", slab.lightweight, "-", "S-053"), Value("Nb", basic, "lb", "S-053"),
    )  # fmt: skip
    return Capacity(
        "concrete breakout in tension",
        "Ncbg = (ANc/ANco) psi_ec psi_ed psi_c psi_cp kc lambda sqrt(f'c) hef^1.5",
        ratio * off * edge * crack * split * basic, values,
    )  # fmt: skip


def _splitting(group: AnchorGroup, slab: Slab, hef: float) -> float:
    """psi cp,N for uncracked concrete without edge steel. [-]"""
    critical = group.critical_edge_in or 4.0 * hef
    edge = _least_edge(slab)
    return 1.0 if edge >= critical else max(edge / critical, 1.5 * hef / critical)


def tension_capacities(
    group: AnchorGroup, slab: Slab, load: AnchorLoad
) -> tuple[list[Capacity], list[Missing]]:
    """All ways to fail in tension; pullout is asked for where the report's value is not typed."""
    phi = PHI_CONCRETE_TENSION[group.category]
    nominal = nominal_breakout(group, slab, load)
    found = [
        steel_tension(group),
        Capacity(
            nominal.what, "phi " + nominal.formula, phi * nominal.design_lb,
            (Value("phi", phi, "-", "S-053"), *nominal.values),
        ),
    ]  # fmt: skip
    if group.pullout_lb is None:
        ask = Missing(
            group.name, "anchor pullout", "pullout strength Np of the anchor",
            f"Type Np from the report of the anchor ({group.report}), for "
            f"{'cracked' if slab.cracked else 'uncracked'} concrete.", "S-053",
        )  # fmt: skip
        return found, [ask]
    nominal_lb = group.pullout_lb * group.count
    values = (
        Value("phi", phi, "-", "S-053"),
        Value(f"Np ({group.report})", group.pullout_lb, "lb", "S-066"),
        Value("n", group.count, "-", "S-066"),
    )  # fmt: skip
    return [*found, Capacity("pullout", "phi n Np", phi * nominal_lb, values)], []
