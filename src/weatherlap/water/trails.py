"""Trails: the whole way of the water from a node, each different way kept once."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field

from weatherlap.water.hops import End, Tag

Places = tuple[int, float, float]


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a trail: a tag and the trail after it, or an end (with no trail after)."""

    what: Tag | End
    after: int


@dataclass(slots=True)
class Trails:
    """Every different trail, by number; a trail's later steps have smaller numbers."""

    steps: list[Step] = field(default_factory=list)
    places: list[Places] = field(default_factory=list)
    _known: dict[Step, int] = field(default_factory=dict)

    def number(self, what: Tag | End, after: int, place: Places) -> int:
        """The number of the trail that starts with a step. The first place seen is kept."""
        step = Step(what, after)
        at = self._known.get(step)
        if at is None:
            at = self._known[step] = len(self.steps)
            self.steps.append(step)
            self.places.append(place)
        return at


@dataclass(frozen=True, slots=True)
class Way:
    """The trails of a node: trail k holds between ``cuts[k]`` and ``cuts[k + 1]``. [in]"""

    cuts: list[float]
    trails: list[int]

    def at(self, u: float) -> int:
        """The trail at u. [in]"""
        k = bisect_right(self.cuts, u) - 1
        return self.trails[min(max(k, 0), len(self.trails) - 1)]

    def parts(self, left: float, right: float) -> list[tuple[float, float, int]]:
        """The parts between two u, each with its trail. [in]"""
        if len(self.trails) == 1:
            return [(left, right, self.trails[0])]
        first = max(bisect_right(self.cuts, left) - 1, 0)
        found = []
        for k in range(first, len(self.trails)):
            lo, hi = max(left, self.cuts[k]), min(right, self.cuts[k + 1])
            if hi > lo:
                found.append((lo, hi, self.trails[k]))
            if self.cuts[k + 1] >= right:
                break
        return found or [(left, right, self.at(left))]
