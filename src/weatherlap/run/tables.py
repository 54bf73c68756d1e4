"""The answers as plain tables, for JSON and for the pages."""

from __future__ import annotations

from typing import Any

from weatherlap.building.corner import Corner
from weatherlap.run.worked import Worked
from weatherlap.sources import source
from weatherlap.water.findings import Finding
from weatherlap.water.rulings import RuleResult
from weatherlap.water.trace import EndRow

Table = dict[str, Any]


def _piece(corner: Corner, number: int | None) -> str | None:
    return None if number is None else corner.pieces[number].id


def end_table(corner: Corner, row: EndRow) -> Table:
    """One way in which rain on a face ends. [in2, L/h, L a year]"""
    return {
        "from_face": corner.faces[row.from_face].id,
        "layer": row.layer_name,
        "end": row.end.value,
        "piece": _piece(corner, row.piece),
        "on_face": corner.faces[row.on_face].id,
        "area_in2": row.area_in2,
        "flow_lph": row.flow_lph,
        "per_year_l": row.per_year_l,
    }


def finding_table(corner: Corner, finding: Finding) -> Table:
    """One finding. [L/h, L a year]"""
    return {
        "letter": finding.letter,
        "cause": finding.cause.value,
        "face": corner.faces[finding.face].id,
        "at": list(finding.at),
        "upper": _piece(corner, finding.upper),
        "lower": _piece(corner, finding.lower),
        "flow_lph": finding.flow_lph,
        "per_year_l": finding.per_year_l,
        "wets": [corner.pieces[w].id for w in finding.wets],
        "text": finding.text,
        "source": source(finding.source).short(),
    }


def rule_table(corner: Corner, rule: RuleResult) -> Table:
    """One lap rule, kept or not. [in]"""
    return {
        "rule": rule.rule,
        "pieces": [corner.pieces[p].id for p in rule.pieces],
        "measured_in": rule.measured_in,
        "required_in": rule.required_in,
        "ok": rule.ok,
        "source": rule.source,
        "text": rule.text,
    }


def trace_table(worked: Worked) -> Table:
    """The whole trace: ends, findings, rules, balance, and whether it is clean."""
    corner, result = worked.corner, worked.trace
    return {
        "job": worked.job.job.title,
        "clean": result.clean,
        "ends": [end_table(corner, row) for row in result.ends],
        "findings": [finding_table(corner, f) for f in result.findings],
        "rules": [rule_table(corner, r) for r in worked.rules],
        "balance": {"in_lph": result.in_lph, "out_lph": result.out_lph},
        "assumptions": [a.text for a in worked.rain.assumptions],
    }
