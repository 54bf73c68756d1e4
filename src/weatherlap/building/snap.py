"""Closing offsets that count as none: coordinates under 1/16 in apart become one."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Place

_UNDER = TOUCH_IN - 1e-9


def _anchors(firm: Iterable[float], loose: Iterable[float]) -> list[float]:
    """Values that others are drawn to: the firm ones, then the first of each loose group."""
    kept = sorted(set(firm))
    groups: list[float] = []
    for value in sorted(set(loose)):
        if groups and value - groups[-1] < _UNDER:
            continue
        if _nearest(kept, value) is None:
            groups.append(value)
    return sorted([*kept, *groups])


def _nearest(anchors: Sequence[float], value: float) -> float | None:
    at = bisect_right(anchors, value)
    near = [a for a in anchors[max(at - 1, 0) : at + 1] if abs(a - value) < _UNDER]
    return min(near, key=lambda a: abs(a - value)) if near else None


def _drawn(anchors: Sequence[float], value: float) -> float:
    near = _nearest(anchors, value)
    return value if near is None else near


@dataclass(frozen=True, slots=True)
class Snap:
    """Anchors of one face, right and up. [in]"""

    across: tuple[float, ...]
    up: tuple[float, ...]

    @classmethod
    def of(cls, firm: Iterable[Place], loose: Iterable[Place]) -> Snap:
        """Anchors from the firm places (outline, folds) and the loose ones (panels). [in]"""
        firm, loose = list(firm), list(loose)
        return cls(
            tuple(_anchors([p[0] for p in firm], [p[0] for p in loose])),
            tuple(_anchors([p[1] for p in firm], [p[1] for p in loose])),
        )

    def place(self, p: Place) -> Place:
        """The place drawn to the anchors near it. [in]"""
        return _drawn(self.across, p[0]), _drawn(self.up, p[1])
