"""Plans for sheets by hand rules, bettered by taking a few sheets apart and packing them anew."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

import numpy as np

from weatherlap.takeoff.cutting.guillotine import Pattern, Rect
from weatherlap.takeoff.cutting.knapsack import Fill, Holder
from weatherlap.takeoff.cutting.master import Column
from weatherlap.takeoff.cutting.packing import area_of, fill_sheet, pack
from weatherlap.takeoff.cutting.rounding import Plan, cost_of

SEED = 20
TRIES = 400
MOST_APART = 4


@dataclass(slots=True)
class Table:
    """The problem in whole units, and the pattern behind each column.

    ``ways`` holds for each size the ways it may lie, ``sheets`` (across, along) of each holder.
    """

    ways: tuple[tuple[Rect, ...], ...]
    counts: tuple[int, ...]
    sheets: tuple[tuple[int, int], ...]
    holders: tuple[Holder, ...]
    unit: int
    patterns: dict[Column, Pattern]

    def note(self, k: int, pattern: Pattern) -> Fill:
        """Remember a pattern by its counts."""
        fill = [0] * len(self.counts)
        for rect, _, _ in pattern.places:
            fill[rect.size] += 1
        self.patterns.setdefault((k, tuple(fill)), pattern)
        return tuple(fill)


def packed(table: Table) -> Plan | None:
    """A plan by hand rules: again and again the sheet that is filled best for its cost."""
    left = list(table.counts)
    stock = [h.limit for h in table.holders]
    plan: Plan = {}
    while any(left):
        tried = []
        for k, (across, along) in enumerate(table.sheets):
            if stock[k] != 0:
                pattern = fill_sheet(table.ways, counts=left, across=across, along=along)
                tried.append((_rate(table, k, pattern), k, pattern))
        tried = [one for one in tried if one[2].places]
        if not tried:
            return None
        _, k, pattern = max(tried, key=lambda one: one[:2])
        fill = table.note(k, pattern)
        plan[k, fill] = plan.get((k, fill), 0) + 1
        left = [c - f for c, f in zip(left, fill, strict=True)]
        room = stock[k]
        stock[k] = None if room is None else room - 1
    return plan


def _rate(table: Table, k: int, pattern: Pattern) -> float:
    """Area of pieces for what the sheet costs."""
    return area_of(pattern) / max(table.holders[k].cost, 1e-3)


def repacked(table: Table, plan: Plan, *, bound: int) -> Plan:
    """A plan that costs no more: a few sheets at a time are packed anew in drawn orders.

    The draws come from a fixed seed: the same sheets in give the same plan out.
    """
    chance = np.random.default_rng(SEED)
    sheets = _without_surplus(table, [c for c, times in sorted(plan.items()) for _ in range(times)])
    for _ in range(TRIES):
        if len(sheets) < 2 or sum(table.holders[k].cost for k, _ in sheets) <= bound:
            break
        apart = min(len(sheets), int(chance.integers(2, MOST_APART + 1)))
        picks = set(chance.choice(len(sheets), apart, replace=False).tolist())
        old = [sheets[n] for n in sorted(picks)]
        kept = [column for n, column in enumerate(sheets) if n not in picks]
        new = _anew(table, old, kept, chance)
        if new is not None and _score(table, new) <= _score(table, old):
            sheets = kept + new
    better: Plan = dict(Counter(sheets))
    return better if cost_of(better, table.holders) <= cost_of(plan, table.holders) else plan


def _without_surplus(table: Table, sheets: list[Column]) -> list[Column]:
    """The sheets with each piece no more often than wanted."""
    left = list(table.counts)
    found = []
    for k, fill in sheets:
        pattern = table.patterns[k, fill]
        places = []
        for place in pattern.places:
            if left[place[0].size] > 0:
                left[place[0].size] -= 1
                places.append(place)
        if places:
            found.append((k, table.note(k, Pattern(places, pattern.cuts))))
    return found


def _score(table: Table, sheets: list[Column]) -> tuple[int, int]:
    """Cost, then how unevenly the sheets are filled: a nearly empty one may soon go."""
    fills = [area_of(table.patterns[column]) for column in sheets]
    return sum(table.holders[k].cost for k, _ in sheets), -sum(area * area for area in fills)


def _anew(
    table: Table, old: list[Column], kept: list[Column], chance: np.random.Generator
) -> list[Column] | None:
    """The pieces of some sheets packed in a drawn order; None if that costs more."""
    left = [sum(fill[n] for _, fill in old) for n in range(len(table.counts))]
    most, cost = sum(table.holders[k].cost for k, _ in old), 0
    new: list[Column] = []
    while any(left):
        drawn = chance.uniform(0.4, 1.6, len(table.ways))
        areas = [ways[0].across * ways[0].along for ways in table.ways]
        order = sorted(range(len(areas)), key=lambda n: -areas[n] * float(drawn[n]))
        longer = bool(chance.integers(0, 2))
        tried = []
        for k, sheet in enumerate(table.sheets):
            limit = table.holders[k].limit
            if limit is not None and sum(j == k for j, _ in kept + new) >= limit:
                continue
            pattern = pack(table.ways, left, sheet=sheet, order=order, longer_first=longer)
            if pattern.places:
                tried.append((_rate(table, k, pattern) * float(chance.uniform(0.9, 1)), k, pattern))
        if not tried:
            return None
        _, k, pattern = max(tried, key=lambda one: one[:2])
        cost += table.holders[k].cost
        if cost > most:
            return None
        fill = table.note(k, pattern)
        left = [c - f for c, f in zip(left, fill, strict=True)]
        new.append((k, fill))
    return new
