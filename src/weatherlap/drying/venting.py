"""How much the gap behind a cladding is vented, as a range."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from weatherlap.drying.materials import Range


class Cladding(StrEnum):
    """How a cladding stands off what is behind it."""

    LAPPED = "lapped siding that hangs free"
    BRICK = "brick veneer with weeps"
    TIGHT = "tight against the barrier, or sealed at the bottom"


@dataclass(frozen=True, slots=True)
class Gap:
    """The air layer behind a cladding: depth, and air changes an hour with outdoors."""

    depth_m: float
    air_changes_per_h: Range
    source_keys: tuple[str, ...]


GAPS: dict[Cladding, Gap] = {
    Cladding.LAPPED: Gap(0.010, Range(100.0, 300.0, 1000.0), ("D-020",)),
    Cladding.BRICK: Gap(0.025, Range(1.0, 3.0, 10.0), ("D-020",)),
    Cladding.TIGHT: Gap(0.001, Range(0.0, 0.0, 1.0), ("D-039",)),
}
