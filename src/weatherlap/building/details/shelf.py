"""The shelf of ready details."""

from __future__ import annotations

from difflib import get_close_matches

from weatherlap.building.details.beam_post import BEAM_POST
from weatherlap.building.details.beam_wall import BEAM_WALL
from weatherlap.building.details.chimney_side import CHIMNEY_SIDE
from weatherlap.building.details.deck_ledger import DECK_LEDGER
from weatherlap.building.details.eave_edge import EAVE_EDGE
from weatherlap.building.details.low_roof import LOW_ROOF
from weatherlap.building.details.model import Detail
from weatherlap.building.details.roof_side_wall import ROOF_SIDE_WALL
from weatherlap.building.details.wall_foot import WALL_FOOT
from weatherlap.building.details.window import WINDOW
from weatherlap.errors import InputError

_DETAILS = (
    ROOF_SIDE_WALL,
    LOW_ROOF,
    CHIMNEY_SIDE,
    EAVE_EDGE,
    BEAM_WALL,
    BEAM_POST,
    WINDOW,
    DECK_LEDGER,
    WALL_FOOT,
)


def details() -> tuple[Detail, ...]:
    """Every ready detail."""
    return _DETAILS


def detail(detail_id: str) -> Detail:
    """The ready detail of an id.

    Raises
    ------
    InputError
        If there is none; names the nearest.
    """
    for known in _DETAILS:
        if known.id == detail_id:
            return known
    names = [d.id for d in _DETAILS]
    close = get_close_matches(detail_id, names, n=1)
    do = f"Did you mean {close[0]!r}?" if close else ""
    raise InputError("detail", f"there is no {detail_id!r}", f"one of {', '.join(names)}", do)
