"""What the changes did: each finding before and after, and what each change is there for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import Corner
from weatherlap.errors import JobError
from weatherlap.job.model import Change, Job
from weatherlap.run.worked import Worked, traced_without, work_out
from weatherlap.water.findings import Finding
from weatherlap.water.rulefixes import broken_rules
from weatherlap.water.trace import Trace

LESS = 0.99
"""A finding with less than this share of its water before counts as less. [-]"""


class Became(StrEnum):
    """What became of a finding."""

    CURED = "cured"
    LESS = "less"
    OPEN = "still open"
    NEW = "new"


@dataclass(frozen=True, slots=True)
class Compared:
    """A finding before and after, in litres a year that go on to trouble. [L]"""

    name: str
    text: str
    became: Became
    before_l: float
    after_l: float
    cured_by: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class ChangeEffect:
    """What a change is there for: the findings that come back without it."""

    number: int
    change: Change
    brings_back: tuple[str, ...]
    without: str


@dataclass(frozen=True)
class Comparison:
    """As found against as repaired."""

    found: Worked
    repaired: Worked
    findings: tuple[Compared, ...]
    changes: tuple[ChangeEffect, ...]


def name_of(corner: Corner, finding: Finding) -> str:
    """A name of a finding that is the same in both states."""
    pair = (finding.upper, finding.lower)
    names = ["" if p is None else corner.pieces[p].id for p in pair]
    return f"{finding.cause.value} | {corner.faces[finding.face].id} | {names[0]} | {names[1]}"


def _by_name(result: Trace) -> dict[str, Finding]:
    return {name_of(result.corner, f): f for f in result.findings}


def compare(job: Job, *, tell: Callable[[int, int], None] | None = None) -> Comparison:
    """Trace as found, as repaired, and as repaired without each change in turn.

    ``tell`` is told (done, of how many) while it works.

    Raises
    ------
    JobError
        If the job or its changes need mending.
    """
    found, repaired = work_out(job), work_out(as_repaired(job))
    before, after = _by_name(found.trace), _by_name(repaired.trace)
    effects = []
    for number, change in enumerate(job.change, start=1):
        effects.append(_effect(job, repaired, number, change))
        if tell is not None:
            tell(number, len(job.change))
    rows = [_compared(name, before.get(name), after.get(name), effects) for name in before | after]
    return Comparison(found, repaired, tuple(rows), tuple(effects))


def _compared(
    name: str, old: Finding | None, new: Finding | None, effects: list[ChangeEffect]
) -> Compared:
    before = old.per_year_l if old else 0.0
    after = new.per_year_l if new else 0.0
    if old is None:
        became = Became.NEW
    elif new is None:
        became = Became.CURED
    else:
        became = Became.LESS if after < LESS * before else Became.OPEN
    shown = new if old is None else old
    assert shown is not None
    by = tuple(e.number for e in effects if name in e.brings_back)
    return Compared(name, shown.text, became, before, after, by)


def _effect(job: Job, repaired: Worked, number: int, change: Change) -> ChangeEffect:
    """What happens if one change is left out."""
    try:
        result = traced_without(job, number - 1)
    except JobError as error:
        text = f"The other changes cannot be made without it: {error.problems[0].found}."
        return ChangeEffect(number, change, (), text)
    usual = _by_name(repaired.trace)
    back = {
        name: finding
        for name, finding in _by_name(result).items()
        if name not in usual or finding.per_year_l > usual[name].per_year_l / LESS
    }
    worst = max(back.values(), key=lambda f: f.per_year_l, default=None)
    text = worst.text if worst else _dry_without(result.corner, repaired)
    return ChangeEffect(number, change, tuple(back), text)


def _dry_without(corner: Corner, repaired: Worked) -> str:
    """What is said where nothing gets wet without a change: the rule that it keeps, if any."""
    kept = {b.key for b in broken_rules(repaired.corner, repaired.rain)}
    lost = [b for b in broken_rules(corner, repaired.rain) if b.key not in kept]
    if not lost:
        return "Nothing gets wet without it."
    return f"Nothing gets wet without it, but a rule is not kept: {lost[0].text}"
