"""The words of the title block, cut to its boxes."""

from __future__ import annotations

from weatherlap.drawings.lettering import wrapped
from weatherlap.job.model import About

SIZE_PT = 8.6
CONDENSED = 0.9
"""How wide condensed letters stand, as a share of plain ones. [-]"""
JOB_PT = 146.0
PLACE_PT = 134.0
LINES = 2


def title_block(about: About) -> dict[str, str]:
    """Job, place and date for the title block of a sheet."""
    return {
        "job": _fitted(about.title, JOB_PT),
        "place": _fitted(about.place, PLACE_PT) or "–",
        "date": about.date or "–",
    }


def _fitted(text: str, room_pt: float) -> str:
    return "\n".join(wrapped(text, SIZE_PT * CONDENSED, room_pt, most=LINES))
