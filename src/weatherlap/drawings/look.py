"""The look of every drawing: black ink on light paper, line weights first, then hatches."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from weatherlap.building.corner import Piece
from weatherlap.drawings.svg import Drawing, Value
from weatherlap.job.model import Sheet
from weatherlap.sources.catalogue import entry
from weatherlap.units import L_PER_GAL
from weatherlap.water.hops import EndKind


@dataclass(frozen=True, slots=True)
class Pen:
    """A line: its colour, its weight and its dashes. [drawing units]"""

    ink: str
    weight: float
    dashes: str = ""

    def attributes(self) -> dict[str, Value]:
        """The line as attributes of an element."""
        return {
            "stroke": self.ink,
            "stroke_width": self.weight,
            "stroke_dasharray": self.dashes or None,
        }


class Hatch(StrEnum):
    """How a piece is filled, so that it reads without colour."""

    WOOD = "wood"
    BOARD = "board"
    BARRIER = "barrier"
    METAL = "metal"
    CLADDING = "cladding"
    ROOFING = "roofing"
    MASONRY = "masonry"
    SOFT = "soft"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Look:
    """Sizes and inks of a drawing. [drawing units]

    The default width of 480 puts text at 9 px or more on a screen 360 px wide, and at about
    13 points across the width of an A4 or Letter sheet.
    """

    width: float = 480.0
    margin: float = 10.0
    ink: str = "#111111"
    grey: str = "#767676"
    pale: str = "#e9e7e1"
    paper: str = "#ffffff"
    water: str = "#0a4f87"
    wet: str = "#cfe0ee"
    alarm: str = "#9c1c13"
    small: float = 11.5
    plain: float = 12.5
    large: float = 15.5
    ring: float = 10.0
    outline: Pen = field(default=Pen("#111111", 1.8))
    edge: Pen = field(default=Pen("#111111", 0.9))
    covered: Pen = field(default=Pen("#767676", 0.6, "3 2.4"))
    fold: Pen = field(default=Pen("#111111", 1.0, "9 2.5 1.5 2.5"))
    dimension: Pen = field(default=Pen("#111111", 0.5))
    leader: Pen = field(default=Pen("#111111", 0.5))
    cut: Pen = field(default=Pen("#111111", 1.2, "14 3 3 3"))
    flow_weights: tuple[float, ...] = (0.9, 1.6, 2.4, 3.4)
    flow_classes_lph: tuple[float, ...] = (0.25 * L_PER_GAL, 2.5 * L_PER_GAL, 25.0 * L_PER_GAL)
    second_dashes: str = "5 3.2"

    def flow_class(self, flow_lph: float) -> int:
        """Which line weight a flow takes, 0 the thinnest. [L/h]"""
        return sum(flow_lph >= limit for limit in self.flow_classes_lph)


LOOK = Look()

_OF_ROLE = {
    "cladding": Hatch.CLADDING,
    "trim": Hatch.CLADDING,
    "flashing": Hatch.METAL,
    "channel": Hatch.METAL,
    "gutter": Hatch.METAL,
    "barrier": Hatch.BARRIER,
    "membrane": Hatch.BARRIER,
    "roofing": Hatch.ROOFING,
    "sheathing": Hatch.BOARD,
    "lining": Hatch.BOARD,
    "frame": Hatch.WOOD,
    "masonry": Hatch.MASONRY,
    "insulation": Hatch.SOFT,
}
_OF_SHEET = {
    Sheet.SHEDS: Hatch.CLADDING,
    Sheet.RESISTS: Hatch.BARRIER,
    Sheet.ABSORBS: Hatch.BOARD,
    Sheet.OPEN: Hatch.OPEN,
}
_METALS = {"aluminium", "steel", "copper", "lead-coated-copper"}


def hatch_of(piece: Piece) -> Hatch:
    """How a piece is filled: by what it does, its role and its material.

    A piece that sheds, without a catalogue entry, that goes round a fold or has a drip edge is
    taken for bent metal.
    """
    if piece.sheet is Sheet.OPEN:
        return Hatch.OPEN
    if piece.record.what:
        known = entry(piece.record.what)
        if known.material in _METALS:
            return Hatch.METAL
        return _OF_ROLE.get(known.role.value, _OF_SHEET[piece.sheet])
    if piece.sheet is Sheet.SHEDS and (len(piece.panels) > 1 or piece.drip or piece.gutter):
        return Hatch.METAL
    return _OF_SHEET[piece.sheet]


THICKNESS: dict[Hatch, float] = {
    Hatch.WOOD: 13.0,
    Hatch.BOARD: 9.0,
    Hatch.BARRIER: 3.2,
    Hatch.METAL: 3.0,
    Hatch.CLADDING: 6.5,
    Hatch.ROOFING: 5.0,
    Hatch.MASONRY: 14.0,
    Hatch.SOFT: 13.0,
    Hatch.OPEN: 5.0,
}
"""How thick a layer is drawn in a section, whatever it measures. [drawing units]"""

_STROKE = 'fill="none" stroke="#111111" stroke-linecap="butt"'
_TILES: dict[Hatch, tuple[float, float, float, str]] = {
    Hatch.WOOD: (
        9, 7, 0,
        f'<path d="M0 2Q2.2 0.4 4.5 2T9 2M0 5.2H9" {_STROKE} stroke-width="0.5"/>',
    ),
    Hatch.BOARD: (5, 5, 45, f'<path d="M0 0V5" {_STROKE} stroke-width="0.7"/>'),
    Hatch.BARRIER: (8, 8, 0, '<circle cx="2" cy="2" r="0.6"/><circle cx="6" cy="6" r="0.6"/>'),
    Hatch.ROOFING: (10, 6, 0, f'<path d="M0 3H6" {_STROKE} stroke-width="0.5"/>'),
    Hatch.MASONRY: (
        12, 8, 0,
        f'<path d="M0 0.5H12M0 4.5H12M3 0.5V4.5M9 4.5V8" {_STROKE} stroke-width="0.5"/>',
    ),
    Hatch.SOFT: (8, 8, 0, f'<path d="M0 0L4 8L8 0" {_STROKE} stroke-width="0.5"/>'),
    Hatch.OPEN: (5, 5, 0, '<circle cx="2.5" cy="2.5" r="0.5"/>'),
}  # fmt: skip


def fill_of(drawing: Drawing, hatch: Hatch, *, strong: bool = False) -> str:
    """The fill of a hatch, defined in the drawing; cladding stays white, metal is grey or black."""
    if hatch is Hatch.METAL:
        return "#111111" if strong else "#dcdcdc"
    if hatch is Hatch.CLADDING:
        return "#ffffff"
    width, height, turn, body = _TILES[hatch]
    back = f'<rect width="{width:g}" height="{height:g}" fill="#ffffff"/>'
    ink = body if strong else f'<g opacity="0.45">{body}</g>'
    return drawing.define(
        f"{hatch.value}{'-strong' if strong else ''}",
        "pattern",
        back + ink,
        width=width,
        height=height,
        patternUnits="userSpaceOnUse",
        patternTransform=f"rotate({turn:g})" if turn else None,
    )


HATCH_WORDS: dict[Hatch, str] = {
    Hatch.WOOD: "timber",
    Hatch.BOARD: "board or sheathing, soaks",
    Hatch.BARRIER: "barrier sheet or membrane",
    Hatch.METAL: "bent metal",
    Hatch.CLADDING: "siding or trim",
    Hatch.ROOFING: "roofing",
    Hatch.MASONRY: "masonry or concrete",
    Hatch.SOFT: "insulation",
    Hatch.OPEN: "open, holds nothing back",
}
"""What the key says of each hatch."""

END_WORDS: dict[EndKind, str] = {
    EndKind.CLEAR: "gets clear outside",
    EndKind.GUTTER: "into a gutter",
    EndKind.SOAK: "soaks wood or board",
    EndKind.CAVITY: "into a cavity",
    EndKind.HELD: "held, cannot get out",
    EndKind.STANDS: "stands on a level top",
    EndKind.CLING: "clings and runs back",
}
"""What the key says of each way a trail ends."""
