"""Records of the take-off: what is new, which stock it comes from, and what holds it."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.shape.frames import Place, Vector
from weatherlap.sources.goods import Good


@dataclass(frozen=True, slots=True)
class Line:
    """Where a long part lies in space, from its start to its end. [in]

    ``face`` is the face that it lies on, ``from_in`` and ``to_in`` where it begins and ends on
    it, right of the face's origin.
    """

    start: Vector
    end: Vector
    face: str
    from_in: float
    to_in: float


@dataclass(frozen=True, slots=True)
class Part:
    """Alike parts of a new piece that come off one good. [in, in2]

    ``id`` is that of the piece, with a number where a piece is made of several courses or rows.
    ``width_in`` is across the length, of bent metal its girth; ``units`` how many of a pack it
    takes, where a good is sold by the each. ``shape`` says how it is cut, ``outline`` its
    corners where it is no rectangle.
    """

    id: str
    piece: str
    title: str
    entry: str
    good: Good
    length_in: float
    width_in: float
    area_in2: float
    count: int = 1
    units: float = 0.0
    shape: str = "square"
    outline: tuple[Place, ...] = ()
    line: Line | None = None
    note: str = ""


@dataclass(frozen=True, slots=True)
class FlatSize:
    """The flat of a bent piece, as its profile gives it. [in]

    ``piece`` is the piece of the corner, or the profile's own name; ``material`` that of the
    sheet, for profiles that belong to no piece.
    """

    piece: str
    title: str
    girth_in: float
    length_in: float
    count: int = 1
    shape: str = "square"
    outline: tuple[Place, ...] = ()
    material: str = "aluminium"


@dataclass(frozen=True, slots=True)
class Sundry:
    """What holds, seals or paints a part: so many of a good's pack, and why.

    ``unless_framed``: a rule of the goods that gives way to the framing records.
    """

    good: Good
    units: float
    piece: str
    why: str
    source_keys: tuple[str, ...] = ()
    unless_framed: bool = False


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Parts and sundries of all new pieces, and what could not be told."""

    parts: tuple[Part, ...]
    sundries: tuple[Sundry, ...]
    unknown: tuple[str, ...]
