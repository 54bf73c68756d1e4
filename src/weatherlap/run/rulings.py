"""Lap rules gathered: one row a rule, with the worst place and how many do not keep it."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.run.worked import Worked
from weatherlap.sources.rulebook import rule
from weatherlap.water.rulings import RuleResult


@dataclass(frozen=True, slots=True)
class RuleRow:
    """One rule over the whole corner; ``worst`` is the place that falls short most."""

    rule: str
    title: str
    asked_by: str
    source: str
    kept: int
    broken: tuple[RuleResult, ...]

    @property
    def worst(self) -> RuleResult | None:
        """The place that falls short most, or None if the rule is kept everywhere."""
        if not self.broken:
            return None
        return min(self.broken, key=lambda r: r.measured_in - r.required_in)


def rule_rows(worked: Worked) -> tuple[RuleRow, ...]:
    """One row for each rule that meets a place on the corner, those not kept first."""
    by_rule: dict[str, list[RuleResult]] = {}
    for result in worked.rules:
        by_rule.setdefault(result.rule, []).append(result)
    rows = [_row(key, results) for key, results in by_rule.items()]
    return tuple(sorted(rows, key=lambda r: (not r.broken, -len(r.broken))))


def _row(key: str, results: list[RuleResult]) -> RuleRow:
    asked = rule(key)
    broken = tuple(r for r in results if not r.ok)
    kept = len(results) - len(broken)
    return RuleRow(key, asked.title, asked.asked_by, asked.source, kept, broken)
