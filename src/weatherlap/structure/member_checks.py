"""All checks of all members and bearings at a stage."""

from __future__ import annotations

from weatherlap.structure.beams import (
    bending_checks,
    deflection_checks,
    notch_checks,
    shear_check,
    wind_deflection_check,
)
from weatherlap.structure.bearing import bearing_checks
from weatherlap.structure.columns import column_checks, tension_checks
from weatherlap.structure.inspect_at import MemberAt, links_by_member
from weatherlap.structure.model import Framing
from weatherlap.structure.results import Check, Missing, governing
from weatherlap.structure.staging import StageResult


def check_member(at: MemberAt, *, dead: MemberAt) -> list[Check]:
    """Every check of one member under one combination."""
    found = [*column_checks(at), *tension_checks(at)]
    if at.member.use.upright:
        found += wind_deflection_check(at)
    else:
        found += bending_checks(at)
        found += shear_check(at)
        found += notch_checks(at)
        found += deflection_checks(at, dead)
    return found


def check_stage(
    framing: Framing, stage: StageResult, *, only: str | None = None
) -> tuple[tuple[Check, ...], list[Missing]]:
    """The worst of each check of each member and bearing at a stage, and what stopped others.

    Parameters
    ----------
    only : str, optional
        Look at this member alone, without bearings.
    """
    checks: list[Check] = []
    missing: dict[str, Missing] = {}
    members = {m.id: m for m in framing.members}
    links = links_by_member(framing.members, stage=stage)
    dead = {
        name: MemberAt(members[name], lines, stage.dead, stage, links[name])
        for name, lines in stage.dead.lines.items()
    }
    for carried in stage.carried:
        for name, lines in carried.lines.items():
            if name in carried.loose or only not in (None, name):
                continue
            at = MemberAt(members[name], lines, carried, stage, links[name])
            checks += check_member(at, dead=dead[name])
        if only is not None:
            continue
        found, open_ = bearing_checks(framing, stage=stage, carried=carried)
        checks += found
        missing |= {m.about: m for m in open_}
    return governing(checks), list(missing.values())
