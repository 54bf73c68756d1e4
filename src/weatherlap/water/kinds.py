"""What a piece is, as far as the lap rules ask: from its catalogue entry, else its sheet class."""

from __future__ import annotations

from functools import cache
from typing import Final

from weatherlap.building.corner import Corner, Face, Piece
from weatherlap.job.model import Sheet
from weatherlap.sources.catalogue import Role, entry

ROOF_UP_TO_DEG = 60.0
GROUND_UP_TO_DEG = 30.0
LEVEL_DEG = 0.01
LOOKS_DOWN_DEG = 90.01

_OPENINGS = {"window-glass", "window-frame", "door-unit"}
_WOODEN = {"softwood", "cedar", "plywood", "osb", "engineered-wood", "fibreboard"}
_TIGHT = {"stucco", "plywood", "epdm", "copper", "lead-coated-copper", "steel"}


class Kind:
    """Traits of a piece, as bits of a plain whole number: laps are asked by the ten thousand."""

    NONE: Final = 0
    BARRIER: Final = 1 << 0
    MEMBRANE: Final = 1 << 1
    RESISTS: Final = 1 << 2
    SIDING: Final = 1 << 3
    OPENING: Final = 1 << 4
    ROOFING: Final = 1 << 5
    FLASHING: Final = 1 << 6
    DRIP_EDGE: Final = 1 << 7
    KICK_OUT: Final = 1 << 8
    HEAD_FLASHING: Final = 1 << 9
    PAN: Final = 1 << 10
    TRIM: Final = 1 << 11
    CHANNEL: Final = 1 << 12
    LEDGER: Final = 1 << 13
    WOODEN: Final = 1 << 14
    ABSORBS: Final = 1 << 15
    SOIL: Final = 1 << 16
    PAVING: Final = 1 << 17
    WOOD_LAP: Final = 1 << 18
    FIBRE_CEMENT_LAP: Final = 1 << 19
    VENTED: Final = 1 << 20
    TIGHT: Final = 1 << 21
    SHEDS: Final = 1 << 22
    UNNAMED: Final = 1 << 23
    LEVEL_FLASHING: Final = 1 << 24
    MASONRY: Final = 1 << 25


ALIKE = (
    Kind.SIDING | Kind.ROOFING | Kind.TRIM | Kind.CHANNEL | Kind.FLASHING | Kind.UNNAMED
)  # fmt: skip
SECOND = Kind.BARRIER | Kind.MEMBRANE | Kind.FLASHING
BESIDE_LEVEL_FLASHING = Kind.SIDING | Kind.TRIM | Kind.OPENING
SIDING_OR_TRIM = Kind.SIDING | Kind.TRIM
COVERS_SHEATHING = Kind.RESISTS | Kind.FLASHING | Kind.OPENING | Kind.PAN

_BY_ROLE = {
    Role.BARRIER: Kind.BARRIER,
    Role.MEMBRANE: Kind.MEMBRANE,
    Role.ROOFING: Kind.ROOFING,
    Role.FLASHING: Kind.FLASHING,
    Role.TRIM: Kind.TRIM,
    Role.CHANNEL: Kind.CHANNEL,
    Role.MASONRY: Kind.MASONRY,
}
_BY_WHAT = {
    "drip-edge": Kind.DRIP_EDGE,
    "kick-out": Kind.KICK_OUT,
    "head-flashing": Kind.HEAD_FLASHING | Kind.LEVEL_FLASHING,
    "cap-flashing": Kind.HEAD_FLASHING | Kind.LEVEL_FLASHING,
    "ledger-flashing": Kind.LEVEL_FLASHING,
    "weep-screed": Kind.LEVEL_FLASHING,
    "sill-pan": Kind.PAN,
    "ledger": Kind.LEDGER,
    "brick-veneer": Kind.SIDING,
    "wood-siding": Kind.WOOD_LAP,
    "engineered-siding": Kind.WOOD_LAP,
    "fibre-cement-siding": Kind.FIBRE_CEMENT_LAP,
    "vinyl-siding": Kind.VENTED,
    "aluminium-siding": Kind.VENTED,
}
_BY_SHEET = {
    Sheet.RESISTS: Kind.RESISTS,
    Sheet.ABSORBS: Kind.ABSORBS,
    Sheet.SHEDS: Kind.SHEDS,
    Sheet.OPEN: Kind.NONE,
}


@cache
def kind_of(what: str | None, sheet: Sheet) -> int:
    """Traits of a piece from its catalogue entry, or from its sheet class alone."""
    found = _BY_SHEET[sheet]
    if sheet is Sheet.OPEN:
        return found
    if what is None:
        more = {Sheet.RESISTS: Kind.BARRIER, Sheet.SHEDS: Kind.UNNAMED}
        return found | more.get(sheet, Kind.NONE)
    known = entry(what)
    found |= _BY_ROLE.get(known.role, Kind.NONE) | _BY_WHAT.get(what, Kind.NONE)
    if what in _OPENINGS:
        found |= Kind.OPENING
    elif known.role is Role.CLADDING and sheet is Sheet.SHEDS:
        found |= Kind.SIDING
    if known.material in _WOODEN:
        found |= Kind.WOODEN
    if known.material == "soil":
        found |= Kind.SOIL
    if known.material in ("concrete", "paving"):
        found |= Kind.PAVING
    if known.role is not Role.FLASHING and known.material in _TIGHT:
        found |= Kind.TIGHT
    return found


def kind_of_piece(piece: Piece) -> int:
    """Traits of a piece of the corner."""
    return kind_of(piece.record.what, piece.sheet)


def of_one_layer(a: int, b: int) -> bool:
    """Whether two pieces belong to one layer of skins, so that the upper is to lie outside.

    Siding over a barrier is a lap of two layers: either may end higher than the other.
    """
    if a & b & ALIKE or (a & SECOND and b & SECOND):
        return True
    if a & Kind.LEVEL_FLASHING and b & BESIDE_LEVEL_FLASHING:
        return True
    if b & Kind.LEVEL_FLASHING and a & BESIDE_LEVEL_FLASHING:
        return True
    return bool((a | b) & Kind.FLASHING and (a | b) & Kind.ROOFING)


def kinds_of(corner: Corner) -> tuple[int, ...]:
    """Traits of every piece of the corner."""
    return tuple(kind_of_piece(p) for p in corner.pieces)


def sheds_water(face: Face) -> bool:
    """Whether water runs down the face: it neither lies level nor looks down."""
    return LEVEL_DEG <= face.tilt_deg <= LOOKS_DOWN_DEG


def is_roof(face: Face) -> bool:
    """Whether the face is a slope of up to 60 degrees."""
    return LEVEL_DEG <= face.tilt_deg <= ROOF_UP_TO_DEG


def is_wall(face: Face) -> bool:
    """Whether the face is steeper than a roof and does not look down."""
    return ROOF_UP_TO_DEG < face.tilt_deg <= LOOKS_DOWN_DEG
