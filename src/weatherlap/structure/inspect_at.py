"""One member under one combination at one stage: what every check of it needs."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from weatherlap.structure.diagrams import MemberLines
from weatherlap.structure.factors import Strength, strength
from weatherlap.structure.frame import Array
from weatherlap.structure.model import Joint, Member
from weatherlap.structure.sections import Section, section_at, whole_section
from weatherlap.structure.staging import Carried, StageResult

LEAST_PUSH_LB = 0.5


@dataclass(frozen=True, slots=True)
class Links:
    """Links of one member at a stage: (link, place) that may hold it; places that load it. [in]"""

    holds: tuple[tuple[str, float], ...]
    loaded_at_in: tuple[float, ...]


def links_by_member(members: tuple[Member, ...], *, stage: StageResult) -> dict[str, Links]:
    """What may hold each member at a stage (an upright also by its head), and what loads it."""
    by_id = {m.id: m for m in members}
    holds: dict[str, list[tuple[str, float]]] = {m.id: [] for m in members}
    loads: dict[str, list[float]] = {m.id: [] for m in members}
    for link in stage.links:
        owner = by_id[link.owner]
        holds[owner.id].append((link.id, round(owner.distance_along(link.at_in), 3)))
        if isinstance(link, Joint):
            lower = by_id[link.lower]
            along = lower.distance_along(link.at_in)
            loads[lower.id].append(along)
            if lower.use.upright:
                holds[lower.id].append((link.id, round(along, 3)))
    return {name: Links(tuple(holds[name]), tuple(loads[name])) for name in by_id}


@dataclass(frozen=True)
class MemberAt:
    """A member, what goes through it, and where it is carried."""

    member: Member
    lines: MemberLines
    carried: Carried
    stage: StageResult
    links: Links

    @cached_property
    def strength(self) -> Strength:
        """Adjusted values for the duration of the combination."""
        return strength(self.member, duration=self.carried.combination.duration)

    @cached_property
    def section(self) -> Section:
        """Whole section."""
        return whole_section(self.member)

    @property
    def words(self) -> str:
        """The member as sentences name it."""
        return f"{self.member.use.value} {self.member.id!r}"

    @property
    def when(self) -> tuple[str, str]:
        """Combination and stage."""
        return self.carried.combination.id, self.stage.stage.id

    @cached_property
    def held_places(self) -> tuple[float, ...]:
        """Places where something holds the member under this combination, in order. [in]"""
        push = self.carried.push_lb
        return tuple(
            sorted(
                {
                    along
                    for link, along in self.links.holds
                    if max(abs(force) for force in push[link]) > LEAST_PUSH_LB
                }
            )
        )

    @cached_property
    def spans(self) -> tuple[tuple[float, float], ...]:
        """Stretches between holds, then overhangs; the whole length if it is held nowhere. [in]"""
        marks = self.held_places
        if not marks:
            return ((0.0, self.member.length_in),)
        inner = tuple(pairwise(marks))
        return inner or ((0.0, self.member.length_in),)

    @cached_property
    def longest_span_in(self) -> float:
        """Longest stretch between holds, or twice the longest overhang. [in]"""
        inner = max(b - a for a, b in self.spans)
        if not self.held_places:
            return inner
        over = max(self.held_places[0], self.member.length_in - self.held_places[-1])
        return max(inner, 2.0 * over)

    def sections_at(self, along_in: Array) -> list[Section]:
        """Section at each place. [in]"""
        if not self.member.losses:
            return [self.section] * len(along_in)
        return [section_at(self.member, float(a)) for a in along_in]

    @cached_property
    def properties(self) -> dict[str, Array]:
        """Area, moduli, width and depth at the stations of the diagrams. [in]"""
        along = self.lines.along_in
        if not self.member.losses:
            s = self.section
            ones = np.ones(len(along))
            return {
                "area": ones * s.area_in2, "strong": ones * s.strong_modulus_in3,
                "weak": ones * s.weak_modulus_in3, "width": ones * s.width_in,
                "depth": ones * s.depth_in,
            }  # fmt: skip
        found = self.sections_at(along)
        return {
            "area": np.array([s.area_in2 for s in found]),
            "strong": np.array([s.strong_modulus_in3 for s in found]),
            "weak": np.array([s.weak_modulus_in3 for s in found]),
            "width": np.array([s.width_in for s in found]),
            "depth": np.array([s.depth_in for s in found]),
        }
