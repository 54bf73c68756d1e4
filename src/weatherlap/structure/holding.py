"""The whole answer: loads, stages, checks, what is missing, cautions, when to ask an engineer.

``hold_corner`` is what is called from above; ``hold_up`` is the same for framing whose loads are
there already.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from weatherlap.structure.anchor_checks import anchor_checks
from weatherlap.structure.anchors import AnchorLoad
from weatherlap.structure.combos import strength_combinations
from weatherlap.structure.connections import Fastening, connection_checks
from weatherlap.structure.engineer import framing_cautions, framing_needs_engineer, sideways_wind
from weatherlap.structure.inspect_at import LEAST_PUSH_LB
from weatherlap.structure.lumber import reference
from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import Framing, LineLoad, Stage
from weatherlap.structure.partial import partial_checks
from weatherlap.structure.ply_nailing import column_nailing_faults, ply_nailing_checks
from weatherlap.structure.results import (
    Caution,
    Check,
    EngineerNeeded,
    Figured,
    Missing,
    governing,
)
from weatherlap.structure.roofs import AreaLoads, deck_loads, roof_loads
from weatherlap.structure.site import SnowEdition
from weatherlap.structure.staging import StageResult, cases_of, run_stages, strength_level
from weatherlap.structure.survey import NailedPlies, Survey
from weatherlap.structure.uplift import UpliftPath, uplift_paths

IN_PER_FT = 12.0


@dataclass(frozen=True, slots=True)
class Finding:
    """Something about the framing that is wrong at a stage, in words."""

    about: str
    stage: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class HoldingUp:
    """What holds the corner up, stage by stage, and whether each part carries its load.

    ``figured`` are the loads as worked out; ``uplift`` the ways of the wind at the last stage.
    """

    framing: Framing
    stages: tuple[StageResult, ...]
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]
    cautions: tuple[Caution, ...]
    engineer: tuple[EngineerNeeded, ...]
    figured: tuple[Figured, ...] = ()
    uplift: tuple[UpliftPath, ...] = ()

    @property
    def failing(self) -> tuple[Check, ...]:
        """Checks that do not hold, worst first."""
        return tuple(sorted((c for c in self.checks if not c.holds), key=lambda c: -c.ratio))


@dataclass(slots=True)
class _Found:
    """What has been found so far."""

    checks: list[Check]
    missing: dict[tuple[str, str], Missing]
    findings: list[Finding]

    def add_missing(self, open_: list[Missing]) -> None:
        """Keep each open question once."""
        for one in open_:
            self.missing.setdefault((one.about, one.what), one)


def hold_up(
    framing: Framing,
    stages: tuple[Stage, ...],
    *,
    first: frozenset[str],
    fastenings: tuple[Fastening, ...] = (),
    snow_is_strength_level: bool = False,
) -> HoldingUp:
    """Run the stages and check every member, bearing and fastened joint at each.

    Parameters
    ----------
    first : frozenset of str
        Ids of the members that are there before the first stage.
    snow_is_strength_level : bool
        Snow is that of ASCE 7-22.
    """
    results = run_stages(
        framing, stages, first=first, snow_is_strength_level=snow_is_strength_level
    )
    by_link = {f.link: f for f in fastenings}
    found = _Found([], {}, [])
    for stage in results:
        found.findings += stage_findings(stage)
        checks, open_ = check_stage(framing, stage)
        found.checks += checks
        found.add_missing(open_)
        found.checks += _fastened(framing, stage, by_link, found)
    checks_all = tuple(found.checks)
    return HoldingUp(
        framing, results, checks_all, tuple(found.findings), tuple(found.missing.values()),
        framing_cautions(framing),
        framing_needs_engineer(framing, stages=results, checks=checks_all), (),
        uplift_paths(framing, results[-1], fastenings=by_link),
    )  # fmt: skip


def _fastened(
    framing: Framing, stage: StageResult, by_link: dict[str, Fastening], found: _Found
) -> tuple[Check, ...]:
    """Fastened joints of a stage, the worst of each."""
    checks: list[Check] = []
    for carried in stage.carried:
        lines, open_ = connection_checks(framing, stage=stage, carried=carried, fastenings=by_link)
        checks += lines
        found.add_missing(open_)
    return governing(checks)


def stage_findings(stage: StageResult) -> list[Finding]:
    """Members that nothing holds up, or down in the wind."""
    where = stage.stage.id
    found = [
        Finding(
            name, where,
            f"Nothing holds up {name!r} at stage {where!r} ({stage.stage.kind}): "
            "it has no load path to the ground.", "S-062",
        )
        for name in stage.loose
    ]  # fmt: skip
    found += [
        Finding(
            name, where,
            f"Nothing holds down {name!r} at stage {where!r} when the wind lifts: "
            "it only rests on what is under it.", "S-062",
        )
        for name in stage.flies
        if name not in stage.loose
    ]  # fmt: skip
    return found


def loaded(survey: Survey) -> tuple[Framing, AreaLoads]:
    """The framing with the loads of its roofs and decks, and how they came about."""
    total = AreaLoads()
    lines: list[LineLoad] = list(survey.framing.line_loads)
    parts = [roof_loads(r, survey.framing, survey.site) for r in survey.roofs]
    parts += [deck_loads(d, survey.framing) for d in survey.decks]
    for part in parts:
        lines += part.line_loads
        total.figured += part.figured
        total.missing += part.missing
        total.cautions += part.cautions
    return replace(survey.framing, line_loads=tuple(lines)), total


def hold_corner(survey: Survey, *, held: HoldingUp | None = None) -> HoldingUp:
    """Loads, stages, checks, connections, anchors and uplift of what was surveyed.

    Parameters
    ----------
    held : HoldingUp, optional
        The same framing and stages, already run without their fastenings.
    """
    framing, loads = loaded(survey)
    level = survey.site.snow_edition is SnowEdition.ASCE_7_22
    if held is None:
        held = hold_up(framing, survey.stages, first=survey.first, snow_is_strength_level=level)
    held = _with_fastenings(framing, held, survey.fastenings)
    checks, findings = list(held.checks), list(held.findings)
    for stage in {s.stage.id: s for s in (held.stages[0], held.stages[-1])}.values():
        plain = tuple(c for c in held.checks if c.stage == stage.stage.id)
        checks += partial_checks(framing, stage, plain, snow_is_strength_level=level)
    open_ = [*loads.missing, *held.missing]
    for base_checks, base_open in _anchors(survey, framing, held):
        checks += base_checks
        open_ += base_open
    for nailed in survey.plies:
        checks += _ply_checks(nailed, framing, held.stages[-1])
        findings += _ply_faults(nailed, framing)
    said = [s for roof in survey.roofs for s in sideways_wind(roof)]
    return replace(
        held, checks=tuple(checks), missing=tuple(open_), findings=tuple(findings),
        cautions=(*held.cautions, *loads.cautions, *(s for s in said if isinstance(s, Caution))),
        engineer=(*held.engineer, *(s for s in said if isinstance(s, EngineerNeeded))),
        figured=tuple(loads.figured),
    )  # fmt: skip


def _with_fastenings(
    framing: Framing, held: HoldingUp, fastenings: tuple[Fastening, ...]
) -> HoldingUp:
    """What was run, with the checks of its fastened joints in place of those without."""
    by_link = {f.link: f for f in fastenings}
    found = _Found(list(held.checks), {}, [])
    found.add_missing([m for m in held.missing if m.what != "uplift"])
    for stage in held.stages:
        found.checks += _fastened(framing, stage, by_link, found)
    return replace(
        held, framing=framing, checks=tuple(found.checks), missing=tuple(found.missing.values()),
        uplift=uplift_paths(framing, held.stages[-1], fastenings=by_link),
    )  # fmt: skip


def _anchors(
    survey: Survey, framing: Framing, held: HoldingUp
) -> list[tuple[list[Check], list[Missing]]]:
    """Anchors of each base at the last stage under the strength combinations, worst of each."""
    if not survey.bases:
        return []
    cases = cases_of(framing)
    level = strength_level(
        framing,
        present=held.stages[-1].present,
        combinations=strength_combinations(
            cases,
            snow_is_strength_level=survey.site.snow_edition is SnowEdition.ASCE_7_22,
        ),
    )
    found = []
    standing = {s.id for s in level.supports}
    for base in (b for b in survey.bases if b.support in standing):
        lines: list[Check] = []
        open_: list[Missing] = []
        for carried in level.carried:
            x, y, z = carried.push_lb[base.support]
            if max(-z, abs(x), abs(y)) > LEAST_PUSH_LB:
                load = AnchorLoad(max(-z, 0.0), -x, -y, combination=carried.combination.id)
                more, ask = anchor_checks(base.group, base.slab, load)
                lines += more
                open_ = ask or open_
        found.append((list(governing(lines)), open_))
    return found


def _ply_checks(nailed: NailedPlies, framing: Framing, stage: StageResult) -> list[Check]:
    """Nails of plies of a lying member, with the load that hangs on one side."""
    member = framing.member(nailed.member)
    if member.use.upright or nailed.member not in stage.present:
        return []
    found = []
    for carried in stage.carried:
        if carried.upward:
            continue
        push = sum(carried.push_lb[link.id][2] for link in stage.links if link.owner == member.id)
        plf = max(push, 0.0) / (member.length_in / IN_PER_FT) * nailed.side_share
        found += ply_nailing_checks(
            member.id, nailed.nailing, plies=member.stock.plies, ply_in=member.stock.width_in,
            gravity=reference(member.stock).gravity, side_load_plf=plf,
            duration=carried.combination.duration,
        )  # fmt: skip
    return list(governing(found))


def _ply_faults(nailed: NailedPlies, framing: Framing) -> list[Finding]:
    """Rules of a built-up column's nailing that are not kept."""
    member = framing.member(nailed.member)
    if not member.use.upright:
        return []
    faults = column_nailing_faults(
        nailed.nailing, plies=member.stock.plies, ply_in=member.stock.width_in,
        width_in=member.stock.depth_in, end_in=nailed.end_in,
    )  # fmt: skip
    return [
        Finding(member.id, "", f"Nailing of built-up column {member.id!r}: wanted {text}.", "S-020")
        for text in faults
    ]
