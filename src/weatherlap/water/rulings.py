"""What a rule says of a place, and the corner as the rules look at it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.building.laps import Lap
from weatherlap.shape.frames import Place
from weatherlap.sources.rulebook import Basis, rule
from weatherlap.units import tape
from weatherlap.water.kinds import kinds_of
from weatherlap.water.rain import SiteRain

SLACK_IN = 1 / 32
"""Half of what counts as none: a measure this much short of a rule keeps it. [in]"""


@dataclass(frozen=True, slots=True)
class RuleResult:
    """A rule held against one place of the corner. [in]

    ``rule`` is the rule's key; pieces and faces are numbers in the corner, ``at`` a place on the
    face.  Local code governs: ``source`` says where the figure was read, and how.
    """

    rule: str
    title: str
    pieces: tuple[int, ...]
    face: int | None
    at: Place | None
    measured_in: float
    required_in: float
    ok: bool
    source: str
    text: str
    basis: Basis


@dataclass(frozen=True)
class Setting:
    """A corner with its laps and rain, and look-ups that several rules share."""

    corner: Corner
    laps: Sequence[Lap]
    rain: SiteRain
    gutter_lph: Mapping[int, float] | None = None
    _trees: dict[tuple[int, int], tuple[STRtree, list[int]]] = field(default_factory=dict)

    @cached_property
    def kinds(self) -> tuple[int, ...]:
        """Traits of each piece."""
        return kinds_of(self.corner)

    def name(self, piece: int) -> str:
        """What a paper calls a piece."""
        return self.corner.pieces[piece].title

    def panels(self, face: int, kind: int) -> list[int]:
        """Panels on a face of pieces with any of some traits, in stack order."""
        return self._tree(face, kind)[1]

    def near(self, face: int, kind: int, *, to: BaseGeometry, reach_in: float) -> list[int]:
        """Panels on a face, with any of some traits, within reach of a shape. [in]"""
        tree, panels = self._tree(face, kind)
        if not panels:
            return []
        return [panels[i] for i in np.sort(tree.query(to, predicate="dwithin", distance=reach_in))]

    def _tree(self, face: int, kind: int) -> tuple[STRtree, list[int]]:
        found = self._trees.get((face, kind))
        if found is None:
            corner = self.corner
            panels = [
                p for p in corner.panels_on[face] if self.kinds[corner.panels[p].piece] & kind
            ]
            found = STRtree([corner.panels[p].polygon for p in panels]), panels
            self._trees[face, kind] = found
        return found

    def union(self, face: int, kind: int) -> BaseGeometry:
        """All that pieces with any of some traits cover on a face."""
        return shapely.union_all([self.corner.panels[p].polygon for p in self.panels(face, kind)])


def judge(
    key: str,
    *,
    measured_in: float,
    text: str,
    pieces: tuple[int, ...],
    face: int | None = None,
    at: Place | None = None,
    required_in: float | None = None,
    ok: bool | None = None,
) -> RuleResult:
    """The result of a rule: kept where the measure reaches what is asked, less 1/32 in."""
    asked = rule(key)
    need = asked.value if required_in is None else required_in
    return RuleResult(
        rule=key,
        title=asked.title,
        pieces=pieces,
        face=face,
        at=at,
        measured_in=measured_in,
        required_in=need,
        ok=measured_in >= need - SLACK_IN if ok is None else ok,
        source=_cited(key),
        text=text,
        basis=asked.basis,
    )


@cache
def _cited(key: str) -> str:
    return rule(key).cited


@lru_cache(maxsize=8192)
def inch_text(inches: float) -> str:
    """A length as a tape reads; the same few lengths come again and again."""
    return tape(inches)


@cache
def asks(key: str, inches: float | None = None) -> str:
    """Who asks how much: ``IRC R703.2 asks 2"``."""
    asked = rule(key)
    return f"{asked.asked_by} asks {inch_text(asked.value if inches is None else inches)}"
