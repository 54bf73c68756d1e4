"""Closing offsets that count as none: coordinates under 1/16 in apart become one."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import inf

from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Place

_UNDER = TOUCH_IN - 1e-9


def _anchors(firm: Iterable[float], loose: Iterable[float]) -> list[float]:
    """Values that others are drawn to: the firm ones, then the first of each loose group."""
    kept = sorted(set(firm))
    groups: list[float] = []
    last = -inf
    for value in sorted(set(loose)):
        if value - last >= _UNDER and _nearest(kept, value) is None:
            groups.append(value)
            last = value
    return sorted([*kept, *groups])


def _nearest(anchors: Sequence[float], value: float) -> float | None:
    """The anchor less than 1/16 in from a value, the lower of two that are as near."""
    at = bisect_right(anchors, value)
    below = value - anchors[at - 1] if at else _UNDER
    above = anchors[at] - value if at < len(anchors) and below else _UNDER
    if min(below, above) >= _UNDER:
        return None
    return anchors[at - 1] if below <= above else anchors[at]


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

    def box(self, rect: tuple[float, float, float, float]) -> tuple[float, float, float, float]:
        """A box drawn to the anchors near its sides. [in]"""
        across, up = self.across, self.up
        u0, v0, u1, v1 = rect
        return _drawn(across, u0), _drawn(up, v0), _drawn(across, u1), _drawn(up, v1)

    def place(self, p: Place) -> Place:
        """The place drawn to the anchors near it. [in]"""
        return _drawn(self.across, p[0]), _drawn(self.up, p[1])
