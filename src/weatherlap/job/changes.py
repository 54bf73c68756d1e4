"""The records of the changes from as found to as repaired."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from weatherlap.job.records import (
    Edge,
    Id,
    Length,
    LineEnd,
    PanelRecord,
    PieceRecord,
    Record,
    Sheet,
    Side,
)


class _Change(Record):
    """A change to one piece."""

    piece: Id = Field(description="Id of the piece that is changed")
    why: str = Field(default="", max_length=500, description="Why, in a few words")


class TakeAway(_Change):
    """A piece comes off and does not come back."""

    do: Literal["take-away"]


class Replace(_Change):
    """A piece comes off and a new one takes its place."""

    do: Literal["replace"]
    what: Id | None = Field(default=None, description="Catalogue entry of the new piece")
    sheet: Sheet | None = Field(default=None, description="What the new piece does with water")
    title: str = Field(default="", max_length=200, description="Name of the new piece")
    on: tuple[PanelRecord, ...] = Field(
        default=(), description="Its panels; left out, they are those of the old piece"
    )


class Add(Record):
    """A new piece is laid."""

    do: Literal["add"]
    new: PieceRecord = Field(description="The new piece")
    after: Id | None = Field(
        default=None, description="The piece it is laid after; left out, it is laid last"
    )
    why: str = Field(default="", max_length=500, description="Why, in a few words")


class Turn(_Change):
    """A lap is laid the other way round: the piece comes to lie over another."""

    do: Literal["turn"]
    over: Id = Field(description="Id of the piece that it comes to lie over")


class Extend(_Change):
    """One side of a panel is moved out (or in, by a length under 0)."""

    do: Literal["extend"]
    face: Id = Field(description="Id of the face of the panel")
    side: Side = Field(description="The side that moves")
    by: Length = Field(description="How far; under 0 trims it")


class Unseal(_Change):
    """An edge that is sealed is cut open."""

    do: Literal["unseal"]
    edge: Edge = Field(description="The edge")


class Seal(_Change):
    """An edge is sealed."""

    do: Literal["seal"]
    edge: Edge = Field(description="The edge")


class Drip(_Change):
    """The lower edge of a piece is bent out so that drops fall."""

    do: Literal["drip"]


class OpenEnd(_Change):
    """A dammed end of a trough is opened."""

    do: Literal["open-end"]
    face: Id = Field(description="Id of the face of the panel with the trough")
    end: LineEnd = Field(description="Which end of the trough's line")


class Reuse(_Change):
    """A piece comes off to reach something and goes back where it was."""

    do: Literal["reuse"]


Change = Annotated[
    TakeAway | Replace | Add | Turn | Extend | Unseal | Seal | Drip | OpenEnd | Reuse,
    Field(discriminator="do"),
]
