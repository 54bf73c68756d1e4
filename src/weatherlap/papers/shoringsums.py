"""The calculation appendix: every line with formula, values, source and result."""

from __future__ import annotations

from collections.abc import Iterable

from weatherlap.papers.leaf import Block, Column, Drawn, Grid, Leaf, Part, Words
from weatherlap.run.families import Phase, worst_of_each
from weatherlap.run.holdingup import HeldJob
from weatherlap.run.lengthscut import Cut
from weatherlap.sources import source
from weatherlap.structure.lumber import describe, reference
from weatherlap.structure.model import Member
from weatherlap.structure.results import Check, Figured, Value, number

KIND = "Calculation appendix"
_COLUMNS = (
    Column("of what, when", share=1.6), Column("formula", share=1.9), Column("values", share=3.4),
    Column("result", share=1.2), Column("source", share=0.6),
)  # fmt: skip


def appendix(held: HeldJob, cuts: tuple[Cut, ...], lines: tuple[Drawn, ...]) -> Leaf:
    """The appendix that an engineer can follow."""
    plan = held.plan
    parts = [
        Part("Members", (_member_grid(held.holding.framing.members),)),
        Part("Loads", (_figured_grid(held.holding.figured),)),
        *_check_parts(held),
    ]
    if plan is not None:
        parts.append(Part("Temporary support", (_check_grid(plan.checks),)))
        if plan.ties is not None:
            pulls = (f for p in plan.ties.posts for f in p.figured)
            parts.append(Part("Tie-down", (_figured_grid(pulls),)))
    if cuts:
        parts.append(Part("Lengths", (_figured_grid(f for c in cuts for f in c.figured),)))
    if lines:
        parts.append(Part("Moment, shear and deflection", lines, note=_LINES_NOTE))
    return Leaf(
        "shoring-calculation", KIND, held.job.job.title, held.job.job, _lead(held), tuple(parts),
        sources=tuple(sorted(_keys(held, cuts))),
    )  # fmt: skip


_LINES_NOTE = "Each under the combination and at the stage at which its bending is worst."


def _lead(held: HeldJob) -> tuple[str, ...]:
    checks = held.holding.checks
    bad = len(held.holding.failing)
    memory = sorted(k for k in _keys(held, ()) if "from memory" in source(k).seen)
    return (
        f"{len(checks)} checks at {len(held.holding.stages)} stages; {bad} do not hold. Of like "
        "members, and of the stages of the work, the one that is worked hardest is printed; the "
        "JSON answer has them all.",
        "Method: allowable stress design of the NDS with the load combinations of ASCE 7; frame in "
        "space, by stages, supports that bear but do not pull. Earthquake is not included.",
        "Values of these sources were written down from memory and must be confirmed against the "
        f"printed book: {', '.join(memory) or 'none'}.",
    )


def _keys(held: HeldJob, cuts: tuple[Cut, ...]) -> set[str]:
    """Every source that a line cites."""
    checks = (*held.holding.checks, *(held.plan.checks if held.plan else ()))
    figured = (*held.holding.figured, *(f for c in cuts for f in c.figured))
    keys = {c.source for c in checks} | {f.source for f in figured}
    keys |= {v.source for c in checks for v in c.values}
    keys |= {v.source for f in figured for v in f.values}
    return keys | {reference(m.stock).source for m in held.holding.framing.members}


def _member_grid(members: Iterable[Member]) -> Grid:
    """Members with their reference design values."""
    rows = []
    for stock, names in _by_stock(members).items():
        ref = reference(names[0].stock)
        rows.append(
            (stock, ", ".join(m.id for m in names), number(ref.fb_psi), number(ref.fv_psi),
             number(ref.fc_perp_psi), number(ref.fc_psi), number(ref.e_psi), ref.source)
        )  # fmt: skip
    columns = (
        Column("stock", share=1.6), Column("members", share=2.6), Column("Fb", numeric=True),
        Column("Fv", numeric=True), Column("Fc perp", numeric=True), Column("Fc", numeric=True),
        Column("E", numeric=True, share=1.2), Column("source"),
    )  # fmt: skip
    return Grid(columns, tuple(rows), note="Reference design values in psi, before any factor.")


def _by_stock(members: Iterable[Member]) -> dict[str, list[Member]]:
    found: dict[str, list[Member]] = {}
    for member in members:
        found.setdefault(describe(member.stock), []).append(member)
    return found


def _values(values: Iterable[Value]) -> str:
    """Values with their sources."""
    return "; ".join(f"{v.text()} [{v.source}]" for v in values)


def _figured_grid(figured: Iterable[Figured]) -> Grid:
    rows = tuple(
        (f"{f.about}: {f.what}", f.formula, _values(f.values), f"{number(f.result)} {f.unit}",
         f.source)
        for f in figured
    )  # fmt: skip
    return Grid(_COLUMNS, rows)


def _check_parts(held: HeldJob) -> Iterable[Part]:
    """The checks by phase, of like members the one that is worked hardest."""
    worst = worst_of_each(held, held.holding.checks)
    for phase in Phase:
        own = [w for w in worst if w.phase is phase]
        if own:
            rows = tuple(_check_row(w.check, w.of) for w in own)
            yield Part(f"Checks {phase.value}", (Grid(_COLUMNS, rows),))


def _check_row(c: Check, of: int = 1) -> tuple[str, ...]:
    """A check as a row: what, formula, values with sources, result against limit."""
    head = f"{c.about}: {c.what}"
    if of > 1:
        head += f" (worst of {of})"
    if c.combination:
        head += f", {c.combination}"
    if c.stage:
        head += f", stage {c.stage}"
    if not c.formula:
        return (head, "", c.sentence, c.verdict.value, c.source)
    share = f"{100 * c.ratio:.0f} %" if c.ratio < float("inf") else "no capacity"
    told = f"{number(c.result)} of {number(c.limit)} {c.unit}, {share}: {c.verdict.value}"
    return (head, c.formula, _values(c.values), told, c.source)


def _check_grid(checks: Iterable[Check]) -> Block:
    rows = tuple(_check_row(c) for c in checks)
    return Grid(_COLUMNS, rows) if rows else Words("None.")
