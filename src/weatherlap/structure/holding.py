"""The whole answer: stages, checks, what is missing, cautions, and when to ask an engineer."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.member_checks import check_stage
from weatherlap.structure.model import Framing, Stage
from weatherlap.structure.results import Caution, Check, EngineerNeeded, Missing
from weatherlap.structure.staging import StageResult, run_stages


@dataclass(frozen=True, slots=True)
class Finding:
    """Something about the framing that is wrong at a stage, in words."""

    about: str
    stage: str
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class HoldingUp:
    """What holds the corner up, stage by stage, and whether each part carries its load."""

    stages: tuple[StageResult, ...]
    checks: tuple[Check, ...]
    findings: tuple[Finding, ...]
    missing: tuple[Missing, ...]
    cautions: tuple[Caution, ...]
    engineer: tuple[EngineerNeeded, ...]

    @property
    def failing(self) -> tuple[Check, ...]:
        """Checks that do not hold, worst first."""
        return tuple(sorted((c for c in self.checks if not c.holds), key=lambda c: -c.ratio))


def hold_up(
    framing: Framing,
    stages: tuple[Stage, ...],
    *,
    first: frozenset[str],
    snow_is_strength_level: bool = False,
) -> HoldingUp:
    """Run the stages and check every member and bearing at each.

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
    checks: list[Check] = []
    missing: dict[tuple[str, str], Missing] = {}
    findings: list[Finding] = []
    for stage in results:
        findings += stage_findings(stage)
        found, open_ = check_stage(framing, stage)
        checks += found
        missing |= {(m.about, m.what): m for m in open_}
    return HoldingUp(results, tuple(checks), tuple(findings), tuple(missing.values()), (), ())


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
