"""Checks of like members together: of each row only the one that is worked hardest."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.run.holdingup import HeldJob
from weatherlap.structure.results import Check


class Phase(StrEnum):
    """When a check is made."""

    FOUND = "as found"
    ON_THE_WAY = "while it is held"
    DONE = "when the work is done"


@dataclass(frozen=True, slots=True)
class Worst:
    """The worst of like checks, and how many there are."""

    check: Check
    phase: Phase
    of: int


def family(name: str, rows: Mapping[str, tuple[str, ...]]) -> str:
    """A name with the number of a row's member left out."""
    for row, members in rows.items():
        if len(members) > 1:
            name = re.sub(rf"(?<![A-Za-z0-9_.]){re.escape(row)}-[0-9]+(?![0-9])", row, name)
    return name


def phase_of(held: HeldJob, stage: str) -> Phase:
    """The phase that a stage belongs to."""
    stages = held.holding.stages
    if stage in ("", stages[-1].stage.id) and len(stages) > 1:
        return Phase.DONE
    return Phase.FOUND if stage in ("", stages[0].stage.id) else Phase.ON_THE_WAY


def worst_of_each(held: HeldJob, checks: Iterable[Check]) -> tuple[Worst, ...]:
    """The worst of each kind of check for each member or row and phase, in order."""
    found: dict[tuple[Phase, str, str], Check] = {}
    names: dict[tuple[Phase, str, str], set[str]] = {}
    for one in checks:
        rows = held.surveyed.rows
        key = (phase_of(held, one.stage), family(one.about, rows), family(one.what, rows))
        names.setdefault(key, set()).add(one.about)
        if key not in found or one.ratio > found[key].ratio:
            found[key] = one
    order = list(Phase)
    ranked = sorted(found.items(), key=lambda item: order.index(item[0][0]))
    return tuple(Worst(check, key[0], len(names[key])) for key, check in ranked)
