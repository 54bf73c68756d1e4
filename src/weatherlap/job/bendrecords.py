"""Records of bent metal: profiles written directly, and how pieces of the corner are bent."""

from __future__ import annotations

from enum import StrEnum
from typing import Literal

from pydantic import Field, StrictBool

from weatherlap.job.records import Id, Length, Number, Record

MOST_OF_A_KIND = 1000


class Add(StrEnum):
    """What is bent onto the edge of a profile."""

    HEM = "hem"
    KICK = "kick"
    RETURN = "return"
    DRIP = "drip"


class PieceEnd(StrEnum):
    """An end of a bent piece, as it is seen from outside."""

    LEFT = "left"
    RIGHT = "right"
    TOP = "top"
    BOTTOM = "bottom"


Face = Literal["finish", "back"]


class EdgeRecord(Record):
    """Something bent onto the outermost leg of an edge; several are added outward, in order."""

    at: Id = Field(
        description="start or end, or the face that the outermost leg of that edge lies on"
    )
    add: Add = Field(
        description="hem: folded back on itself; kick: a short leg turned out; return: a leg "
        "turned back out of sight; drip: a leg down, kicked out and hemmed"
    )
    width: Length = Field(gt=0, description="How wide it is; of a drip, how far the leg goes down")
    toward: Face = Field(description="The face of the sheet that its bend closes over")
    angle: Number | None = Field(
        default=None, ge=1, le=179, description="Turn of a kick (45) or a return (90), in degrees"
    )
    gap: Length = Field(default=0.0, ge=0, description="Of a hem: left open by this; 0 closed")
    kick: Length = Field(default=0.375, gt=0, description="Of a drip: the part kicked out")
    hem: Length = Field(default=0.5, gt=0, description="Of a drip: the hem on its kick")


class TabRecord(Record):
    """Metal left on beyond the end of a leg and turned: an end dam, a tab round a corner."""

    leg: int = Field(ge=1, description="Leg it stands on, counted from the start edge, hems too")
    length: Length = Field(gt=0, description="How far it reaches beyond its bend")
    toward: Face = Field(description="The face of the sheet that its bend closes over")
    angle: Number = Field(default=90.0, ge=1, le=150, description="What it is turned through")
    inset: Length = Field(default=0.0625, ge=0, description="Left off at both sides of it")
    taper: Number = Field(default=0.0, ge=0, le=75, description="Degrees by which it narrows")


class NotchRecord(Record):
    """Metal cut away at an end over some legs."""

    legs: tuple[int, int] = Field(description="First and last leg, counted from the start edge")
    depth: Length = Field(gt=0, description="How far it reaches in from the end")


class EndRecord(Record):
    """How one end of a bent piece is cut."""

    at: PieceEnd = Field(
        description="Which end, seen from outside; of a profile without a piece: left or right "
        "with the painted side up and the start edge toward you"
    )
    leg: int = Field(default=1, ge=1, description="The leg that a mitre is measured across")
    mitre: Number = Field(
        default=0.0, ge=-80, le=80,
        description="Degrees from square, above 0 where it gets longer toward the end edge",
    )  # fmt: skip
    tabs: tuple[TabRecord, ...] = Field(default=(), description="Tabs and end dams")
    notches: tuple[NotchRecord, ...] = Field(default=(), description="What is cut away")


class LegRecord(Record):
    """One flat part of a profile and the bend at its end."""

    length: Length = Field(gt=0, description="Its length")
    measure: Literal["inside", "outside", "back", "finish"] = Field(
        default="inside",
        description="Where that is measured: inside or outside of its bends, or on the back or "
        "the painted face of the sheet whichever way they go",
    )
    name: str = Field(default="", max_length=80, description="What it lies on or does")
    turn: Number | None = Field(
        default=None, ge=1, le=180,
        description="What the metal is turned through at its end: 90 a square corner, 180 a hem",
    )  # fmt: skip
    toward: Face | None = Field(
        default=None, description="The face of the sheet that the bend at its end closes over"
    )
    radius: Length | None = Field(
        default=None, ge=0, description="Inside radius of that bend; else the metal's usual one"
    )
    far: Length | None = Field(
        default=None, gt=0, description="Its length at the other end, where the piece tapers"
    )


class BentRecord(Record):
    """How a piece of the corner is bent: edges, ends, paint, room over the wood."""

    piece: Id = Field(description="The piece, which gives the legs")
    metal: Id | None = Field(default=None, description="Sheet it is made of, from the metals table")
    painted: Literal["out", "in", "both"] = Field(
        default="out", description="Which side of the sheet is painted"
    )
    room: Length = Field(
        default=0.0, ge=0, description="Air over each width of wood that it hangs over"
    )
    edges: tuple[EdgeRecord, ...] = Field(default=(), description="Hems, kicks, returns, drips")
    ends: tuple[EndRecord, ...] = Field(default=(), description="Cuts, tabs and dams of its ends")
    by_hand: tuple[int, ...] = Field(
        default=(), description="Bends left to hand tongs, counted from the start edge"
    )


class ProfileRecord(Record):
    """A bent piece written directly, leg by leg from its start edge."""

    id: Id = Field(description="Its name in this file")
    title: str = Field(default="", max_length=200, description="Name on sheets")
    metal: Id = Field(default="aluminum-019", description="Sheet it is made of")
    legs: tuple[LegRecord, ...] = Field(min_length=1, max_length=40, description="Its legs")
    length: Length = Field(gt=0, description="How long each piece is")
    piece: Id | None = Field(
        default=None, description="The piece of the corner that it makes, if it is drawn as one"
    )
    count: int = Field(default=1, ge=1, le=MOST_OF_A_KIND, description="How many are made")
    painted: StrictBool = Field(default=True, description="Whether one side is painted")
    room: Length = Field(
        default=0.0, ge=0, description="Air over each width of wood that it hangs over"
    )
    hold: int = Field(
        default=1, ge=1, description="Leg that stays square to the end where the piece tapers"
    )
    edges: tuple[EdgeRecord, ...] = Field(default=(), description="Hems, kicks, returns, drips")
    ends: tuple[EndRecord, ...] = Field(default=(), description="Cuts, tabs and dams of its ends")
    by_hand: tuple[int, ...] = Field(
        default=(), description="Bends left to hand tongs, counted from the start edge"
    )
