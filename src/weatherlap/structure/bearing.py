"""Bearing: wood squashed across the grain, along it, or at an angle; shims and least lengths."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, cos, degrees, radians, sin

from weatherlap.structure.factors import Strength, bearing_area_factor, strength
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.model import Framing, Hold, Joint, Member, Support
from weatherlap.structure.results import Check, Missing, Value, check
from weatherlap.structure.sections import whole_section
from weatherlap.structure.staging import Carried, StageResult

LEAST_ON_WOOD_OR_METAL_IN = 1.5
LEAST_ON_MASONRY_IN = 3.0
END_GRAIN_NEEDS_PLATE_SHARE = 0.75


def bearing_at_angle(along_psi: float, *, across_psi: float, angle_deg: float) -> float:
    """Bearing value at an angle to the grain (Hankinson). [psi]

    Parameters
    ----------
    along_psi, across_psi : float
        Fc* and F'c-perp. [psi]
    angle_deg : float
        Angle between the load and the grain. [deg]

    Sources
    -------
    S-017 : F'theta = Fc* F'cp / (Fc* sin2 + F'cp cos2).
    """
    s, c = sin(radians(angle_deg)) ** 2, cos(radians(angle_deg)) ** 2
    return along_psi * across_psi / (along_psi * s + across_psi * c)


@dataclass(frozen=True, slots=True)
class _Side:
    """One member of a bearing: how long the bearing is along it, where, and at what angle."""

    member: Member
    length_in: float
    from_end_in: float
    angle_deg: float


def grain_angle_deg(member: Member) -> float:
    """Angle between a downward load and the grain: 90 for a level member, 0 for a post. [deg]"""
    rise = abs(member.end_in[2] - member.start_in[2])
    return 90.0 - degrees(atan2(rise, member.plan_length_in))


def _side(member: Member, length_in: float, link: Joint | Support) -> _Side:
    """A member at a link."""
    along = member.distance_along(link.at_in)
    edge = min(along, member.length_in - along) - length_in / 2
    return _Side(member, length_in, edge, grain_angle_deg(member))


def bearing_checks(
    framing: Framing, *, stage: StageResult, carried: Carried
) -> tuple[list[Check], list[Missing]]:
    """Bearing at every joint and support that is pressed.

    Sources
    -------
    S-012 : Cb. S-017 : angle, end grain. S-019 : least lengths.
    """
    checks: list[Check] = []
    missing: list[Missing] = []
    for link in stage.links:
        push = carried.push_lb[link.id][2]
        if push < LEAST_PUSH_LB or link.hold is Hold.HUNG:
            continue
        if link.bearing_length_in <= 0 or link.bearing_width_in <= 0:
            missing.append(_unmeasured(link))
            continue
        checks += _link_checks(framing, link, push, stage, carried)
    return checks, missing


def _unmeasured(link: Joint | Support) -> Missing:
    """A bearing whose size was not measured."""
    return Missing(
        link.id, "bearing", "length and width of the bearing",
        f"Measure how much of the member sits on what is under it at {link.id!r}.", "S-064",
    )  # fmt: skip


def _link_checks(
    framing: Framing, link: Joint | Support, push: float, stage: StageResult, carried: Carried
) -> list[Check]:
    """Both members at one link, and the least length."""
    owner = framing.member(link.owner)
    wide = link.bearing_width_in
    if not owner.use.upright:
        wide = min(wide, whole_section(owner).width_in)
    area = link.bearing_length_in * wide
    if isinstance(link, Joint) and link.shim_area_in2 is not None:
        area = min(area, link.shim_area_in2)
    found = []
    if isinstance(link, Joint):
        upper, lower = framing.member(link.upper), framing.member(link.lower)
        across = link.bearing_length_in if upper.use.upright else link.bearing_width_in
        sides = [_side(upper, link.bearing_length_in, link), _side(lower, across, link)]
    else:
        sides = [_side(framing.member(link.member), link.bearing_length_in, link)]
    duration = carried.combination.duration
    for side in sides:
        s = strength(side.member, duration=duration)
        found.append(_stress_check(link, side, s, push, area, stage, carried))
    first = sides[0].member
    if not first.use.upright:
        found.append(_length_check(link, first, stage, carried))
    return found


def _stress_check(
    link: Joint | Support, side: _Side, s: Strength, push: float, area: float,
    stage: StageResult, carried: Carried,
) -> Check:  # fmt: skip
    """Bearing stress on one member."""
    cb = bearing_area_factor(side.length_in, from_end_in=side.from_end_in)
    across = s.fc_perp.with_factor("F'cp", Value("Cb", cb, "-", "S-012"))
    member = side.member
    if member.use.upright and side.angle_deg < 45.0:
        plate = 1.0 if link.on_metal else END_GRAIN_NEEDS_PLATE_SHARE
        limit, source = plate * s.fc_star.value, "S-017"
        lines = (*s.fc_star.lines, Value("plate", plate, "-", "S-017"))
        formula = "fc = R / A <= 0.75 Fc*, all of Fc* on a steel plate"
    elif side.angle_deg > 89.0:
        limit, lines, formula, source = (
            across.value, across.lines, "fcp = R / A <= F'cp = Fcp CM Ct Cb", "S-012",
        )  # fmt: skip
    else:
        limit = bearing_at_angle(s.fc_star.value, across_psi=across.value, angle_deg=side.angle_deg)
        angle = Value("angle", side.angle_deg, "deg", "S-066")
        lines = (*s.fc_star.lines, *across.lines, angle)
        formula, source = "fc = R / A <= Fc* F'cp / (Fc* sin2 + F'cp cos2)", "S-017"
    return check(
        link.id, what=f"bearing on {member.id}", formula=formula,
        values=(Value("R", push, "lb", "S-062"), Value("A", area, "in2", "S-066"), *lines),
        source=source, result=push / area, limit=limit, unit="psi",
        words=f"Bearing stress on {member.use.value} {member.id!r} at {link.id!r}",
        combination=carried.combination.id, stage=stage.stage.id,
    )  # fmt: skip


def _length_check(
    link: Joint | Support, member: Member, stage: StageResult, carried: Carried
) -> Check:
    """Least length of bearing: the result is what is needed, the limit what is there."""
    masonry = isinstance(link, Support) and not link.on_metal
    need = LEAST_ON_MASONRY_IN if masonry else LEAST_ON_WOOD_OR_METAL_IN
    under = "masonry or concrete" if masonry else "wood or metal"
    return check(
        link.id, what="bearing length", formula="least length <= length",
        values=(Value("least length", need, "in", "S-019"),
                Value("length", link.bearing_length_in, "in", "S-066")),
        source="S-019", result=need, limit=link.bearing_length_in, unit="in",
        words=f"Least bearing of {member.use.value} {member.id!r} on {under} at {link.id!r}",
        combination=carried.combination.id, stage=stage.stage.id,
    )  # fmt: skip
