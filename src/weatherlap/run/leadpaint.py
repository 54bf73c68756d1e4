"""Old paint: how much painted surface comes off, against the limits of the federal rule."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.workrecords import LeadTest, Work
from weatherlap.order.hours import area_ft2
from weatherlap.run.cornertasks import material_of
from weatherlap.run.ordering import Ordered

OUTSIDE_FT2 = 20.0
"""Painted surface outside up to which the rule takes a job for a minor repair. [ft2]"""
BEFORE_YEAR = 1978
_PAINTED = frozenset(
    {"softwood", "cedar", "plywood", "engineered-wood", "fibre-cement", "stucco", "brick", "steel"}
)
_ROLES = frozenset({"trim", "cladding", "frame", "lining"})


@dataclass(frozen=True, slots=True)
class LeadPaint:
    """The painted surface that comes off; a piece counts with all of its surface. [ft2]

    ``applies`` says whether the rule has to be followed; ``unknown`` that the year is not given.
    """

    area_ft2: float
    pieces: tuple[str, ...]
    applies: bool
    unknown: bool
    text: str


def lead_paint(ordered: Ordered, work: Work | None) -> LeadPaint:
    """What old paint means for a job.

    Every piece that comes off and that may be painted counts with its whole surface, as the rule
    counts a part that is taken off; a window or door that comes off ends the exception for small
    jobs.
    """
    found = ordered.found
    off = [found.pieces[r.piece] for r in ordered.down.removals if r.piece in ordered.down.off]
    painted = [p for p in off if _may_be_painted(found, p.index)]
    area = sum(area_ft2(found, p.index) for p in painted)
    windows = any(p.record.what == "window-frame" for p in off)
    old = work is None or work.built is None or work.built < BEFORE_YEAR
    free = work is not None and work.lead is LeadTest.FREE
    over = area > OUTSIDE_FT2 or (windows and bool(painted))
    applies = old and not free and over
    unknown = work is None or work.built is None
    return LeadPaint(area, tuple(p.id for p in painted), applies, unknown, _text(
        area, work, applies=applies, windows=windows, any_painted=bool(painted)
    ))  # fmt: skip


def _may_be_painted(found: Corner, piece: int) -> bool:
    own = found.pieces[piece]
    return own.role in _ROLES and material_of(own) in _PAINTED


def _text(
    area: float, work: Work | None, *, applies: bool, windows: bool, any_painted: bool
) -> str:
    year = "of unknown year" if work is None or work.built is None else f"of {work.built:.0f}"
    if not any_painted:
        return f"The house is {year}; nothing that comes off looks like painted wood."
    about = f"{area:.0f} sq ft of what comes off may be painted (a part counts with all of it)"
    if work is not None and work.lead is LeadTest.FREE:
        return f"{about}; a test found no lead."
    if work is not None and work.built is not None and work.built >= BEFORE_YEAR:
        return f"{about}; the house is of {work.built:.0f}, after {BEFORE_YEAR - 1}."
    if applies and windows and area <= OUTSIDE_FT2:
        return f"{about}; the house is {year} and a window comes out: no exception for small jobs."
    if applies:
        return (
            f"{about}; the house is {year}: over {OUTSIDE_FT2:g} sq ft outside the federal "
            "rule asks for a trained renovator, sheets on the ground and records."
        )
    return (
        f"{about}; the house is {year}: up to {OUTSIDE_FT2:g} sq ft outside the federal rule takes "
        "it for a minor repair. Take it for lead all the same; local rules may ask for more."
    )
