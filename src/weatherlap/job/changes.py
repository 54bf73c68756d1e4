"""The record of a change from as found to as repaired, and which keys each kind takes."""

from __future__ import annotations

from collections.abc import Iterator
from enum import StrEnum

from pydantic import Field

from weatherlap.job.records import (
    Edge,
    Id,
    Length,
    LineEnd,
    Number,
    PanelRecord,
    PieceRecord,
    Record,
    Sheet,
    Side,
)


class Do(StrEnum):
    """What a change does."""

    TAKE_AWAY = "take-away"
    REPLACE = "replace"
    ADD = "add"
    TURN = "turn"
    EXTEND = "extend"
    UNSEAL = "unseal"
    SEAL = "seal"
    DRIP = "drip"
    OPEN_END = "open-end"
    REUSE = "reuse"


class Change(Record):
    """A difference between as found and as repaired; changes are made in the order of the file."""

    do: Do = Field(
        description="take-away: it comes off for good; replace: a new piece in its place; add: a "
        "new piece; turn: lay a lap the other way round; extend: move a side; unseal, seal: an "
        "edge; drip: bend a drip edge; open-end: open a dammed trough; reuse: it comes off and "
        "goes back where it was"
    )
    piece: Id | None = Field(default=None, description="The piece that is changed (not for add)")
    over: Id | None = Field(default=None, description="turn: the piece that it comes to lie over")
    face: Id | None = Field(default=None, description="extend, open-end: the face of the panel")
    side: Side | None = Field(default=None, description="extend: the side that moves")
    by: Length | None = Field(default=None, description="extend: how far; under 0 trims it")
    edge: Edge | None = Field(default=None, description="seal, unseal: the edge")
    end: LineEnd | None = Field(default=None, description="open-end: which end of the trough")
    what: Id | None = Field(default=None, description="replace: catalogue entry of the new piece")
    sheet: Sheet | None = Field(
        default=None, description="replace: what the new piece does with water"
    )
    passes: Number | None = Field(
        ge=0,
        le=1,
        default=None,
        description="replace: share of the rain that gets past the new piece; 0 for one without "
        "a joint, left out as its catalogue entry has it",
    )
    title: str = Field(default="", max_length=200, description="replace: name of the new piece")
    on: tuple[PanelRecord, ...] = Field(
        default=(), description="replace: its panels, if they are not those of the old piece"
    )
    new: PieceRecord | None = Field(default=None, description="add: the new piece")
    after: Id | None = Field(
        default=None, description="add: the piece it is laid after; left out, it is laid last"
    )
    why: str = Field(default="", max_length=500, description="Why, in a few words")

    @property
    def subject(self) -> str:
        """The id of the piece that it is about."""
        return self.new.id if self.new is not None else self.piece or ""


NEEDS: dict[Do, tuple[str, ...]] = {
    Do.TAKE_AWAY: ("piece",),
    Do.REPLACE: ("piece",),
    Do.ADD: ("new",),
    Do.TURN: ("piece", "over"),
    Do.EXTEND: ("piece", "face", "side", "by"),
    Do.UNSEAL: ("piece", "edge"),
    Do.SEAL: ("piece", "edge"),
    Do.DRIP: ("piece",),
    Do.OPEN_END: ("piece", "face", "end"),
    Do.REUSE: ("piece",),
}
MAY_HAVE: dict[Do, tuple[str, ...]] = {
    Do.REPLACE: ("what", "sheet", "passes", "title", "on"),
    Do.ADD: ("after",),
}
_ALWAYS = ("do", "why")


def missing_keys(change: Change) -> Iterator[str]:
    """Keys that a change of its kind needs and does not have."""
    return (key for key in NEEDS[change.do] if getattr(change, key) is None)


def idle_keys(change: Change) -> Iterator[str]:
    """Keys that mean nothing in a change of its kind."""
    used = {*_ALWAYS, *NEEDS[change.do], *MAY_HAVE.get(change.do, ())}
    return (key for key in type(change).model_fields if key not in used and getattr(change, key))
