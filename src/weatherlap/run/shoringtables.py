"""What holds a corner up, as JSON can hold it."""

from __future__ import annotations

import math
from typing import Any

from weatherlap.run.holdingup import HeldJob
from weatherlap.run.lengthscut import Cut
from weatherlap.structure.lumber import describe
from weatherlap.structure.results import Check, Figured, Missing, Value
from weatherlap.structure.shore_model import ShorePlan, TieDown
from weatherlap.structure.staging import StageResult
from weatherlap.structure.uplift import UpliftPath

Table = dict[str, Any]


def shoring_table(held: HeldJob, cuts: tuple[Cut, ...]) -> Table:
    """The whole answer of ``weatherlap shore``."""
    holding = held.holding
    return {
        "ok": True,
        "holds": not holding.failing and not held.falls,
        "falls": list(held.falls),
        "members": [
            {"id": m.id, "use": m.use.value, "stock": describe(m.stock), "condition": m.condition}
            for m in holding.framing.members
        ],
        "loads": [figured_table(f) for f in holding.figured],
        "stages": [stage_table(s) for s in holding.stages],
        "checks": [check_table(c) for c in holding.checks],
        "temporary": None if held.plan is None else plan_table(held.plan, moved=held.moved),
        "uplift": [_uplift_table(p) for p in holding.uplift],
        "findings": [
            {"about": f.about, "stage": f.stage, "text": f.text} for f in holding.findings
        ],
        "missing": [missing_table(m) for m in _missing(held)],
        "ask_an_engineer": [
            {"about": e.about, "why": e.why} for e in _engineer(held)
        ],
        "lengths": [
            {"id": c.id, "what": c.what, "length_in": c.length_in, "words": c.words,
             "note": c.note}
            for c in cuts
        ],
        "beside_the_table": [
            {"member": b.member, "table_in": _no(b.table.length_in), "span_in": _no(b.span_in),
             "reasons": list(b.reasons), "text": b.sentence}
            for b in held.beside
        ],
        "tables_that_do_not_say": list(held.notes),
        "lightest": [{"member": p.member, "text": p.words} for p in held.picks],
        "cautions": [
            {"about": c.about, "text": c.text, "source": c.source} for c in holding.cautions
        ],
    }  # fmt: skip


def _uplift_table(path: UpliftPath) -> Table:
    """The way of the uplift under one combination."""
    return {
        "combination": path.combination,
        "weakest": path.weakest.link if path.weakest else None,
        "words": path.words,
        "links": [
            {"link": x.link, "from": x.from_member, "to": x.to, "pull_lb": _no(x.pull_lb),
             "holds_lb": None if x.holds_lb is None else _no(x.holds_lb)}
            for x in path.links
        ],
    }  # fmt: skip


def _missing(held: HeldJob) -> tuple[Missing, ...]:
    return (*held.holding.missing, *(held.plan.missing if held.plan else ()))


def _engineer(held: HeldJob) -> tuple[Any, ...]:
    return (*held.holding.engineer, *(held.plan.engineer if held.plan else ()))


def _no(value: float) -> float | None:
    """A figure to four digits; JSON knows no infinity."""
    return float(f"{value:.4g}") if math.isfinite(value) else None


def _value(value: Value) -> Table:
    return {
        "symbol": value.symbol, "value": _no(value.value), "unit": value.unit,
        "source": value.source,
    }  # fmt: skip


def figured_table(figured: Figured) -> Table:
    """A figure with how it came about."""
    return {
        "about": figured.about, "what": figured.what, "formula": figured.formula,
        "values": [_value(v) for v in figured.values], "result": _no(figured.result),
        "unit": figured.unit, "source": figured.source,
    }  # fmt: skip


def check_table(check: Check) -> Table:
    """One line of the calculation appendix."""
    return {
        "about": check.about, "what": check.what, "stage": check.stage,
        "combination": check.combination, "formula": check.formula,
        "values": [_value(v) for v in check.values], "result": _no(check.result),
        "limit": _no(check.limit), "unit": check.unit, "ratio": _no(check.ratio),
        "verdict": check.verdict.value, "sentence": check.sentence, "source": check.source,
    }  # fmt: skip


def missing_table(missing: Missing) -> Table:
    """A check that stopped, and what to ask."""
    return {
        "about": missing.about, "stops": missing.what, "missing": missing.value,
        "ask": missing.ask,
    }  # fmt: skip


def stage_table(stage: StageResult) -> Table:
    """A stage with the load on each support. [lb]"""
    supports = []
    for link in stage.links:
        pushes = [c.push_lb[link.id][2] for c in stage.carried]
        supports.append(
            {"id": link.id, "carries": link.owner, "dead_lb": _no(pushes[0]),
             "most_lb": _no(max(pushes)), "least_lb": _no(min(pushes))}
        )  # fmt: skip
    return {
        "id": stage.stage.id, "title": stage.stage.title, "kind": stage.stage.kind.value,
        "takes_out": list(stage.stage.takes_out), "puts_in": list(stage.stage.puts_in),
        "loosens": list(stage.stage.frees), "stands": stage.stands, "loads": supports,
    }  # fmt: skip


def _ties_table(ties: TieDown) -> Table:
    """What holds the shore down in the wind. [lb]"""
    return {
        "member_lb": _no(ties.member_lb), "nails": ties.nails, "nail": ties.nail,
        "posts": [
            {"post": p.post, "pull_lb": _no(p.pull_lb), "ballast_lb": _no(p.ballast_lb),
             "bags_of_80_lb": p.bags, "figures": [figured_table(f) for f in p.figured]}
            for p in ties.posts
        ],
        "still_loose": list(ties.loose),
    }  # fmt: skip


def plan_table(plan: ShorePlan, *, moved: bool) -> Table:
    """The temporary support."""
    return {
        "line": plan.line.id, "moved_by_user": moved, "header": describe(plan.header),
        "header_length_in": _no(plan.header_length_in),
        "posts": [
            {"id": p.id, "along_in": _no(p.along_in), "at_in": [_no(v) for v in p.at_in],
             "stock": describe(p.stock), "length_in": _no(p.length_in), "load_lb": _no(p.load_lb),
             "jack_lb": _no(p.jack_need_lb), "sill": p.sill.words if p.sill else None,
             "ground": p.ground.kind.value}
            for p in plan.posts
        ],
        "braces": [
            {"direction": b.direction, "count": b.count, "stock": describe(b.stock),
             "length_in": _no(b.length_in), "nails_each_end": b.nails_each_end, "nail": b.nail}
            for b in plan.braces
        ],
        "tie_down": None if plan.ties is None else _ties_table(plan.ties),
        "steps": [s.text for s in plan.steps],
        "marks": list(plan.marks),
        "stop_when": list(plan.stops),
        "checks": [check_table(c) for c in plan.checks],
        "next_best": [
            {"line": c.line, "posts_in": [_no(v) for v in c.posts_in], "header": describe(c.header)}
            for c in plan.others
        ],
    }  # fmt: skip
