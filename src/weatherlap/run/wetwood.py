"""Wet wood: what reads too wet to be closed in, and stays."""

from __future__ import annotations

from weatherlap.run.ordering import Ordered

CLOSE_IN_PERCENT = 19.0
"""Moisture at which wood may be closed in. [%]"""


def wet_and_stays(ordered: Ordered) -> dict[str, float]:
    """Pieces that read over 19 % and stay, each with its highest reading. [%]"""
    gone = {ordered.found.pieces[p].id for p in ordered.down.off}
    wet: dict[str, float] = {}
    for reading in ordered.job.reading:
        name = reading.piece
        if name is not None and name not in gone and reading.percent > CLOSE_IN_PERCENT:
            wet[name] = max(wet.get(name, 0.0), reading.percent)
    return wet
