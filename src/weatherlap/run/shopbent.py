"""Bent metal for the shop: its flats from the brake's side, its laps from the take-off's side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Job
from weatherlap.metal.flat import FlatPattern
from weatherlap.run.bentmaking import Runs
from weatherlap.run.bentpieces import Bent, BentPiece, bent_pieces, holds_bent
from weatherlap.sources.goods import Goods
from weatherlap.takeoff.extents import extent_of
from weatherlap.takeoff.model import FlatSize, Part
from weatherlap.takeoff.splicing import Site, Spliced, spliced

_FROM_START = ("left", "bottom")
_ENTRY_OF_SHEET = {"aluminum": "coil-wrap", "galvanized": "steel-trim", "copper": "copper-sheet"}
SQUARE_IN = 0.01


@dataclass(frozen=True)
class BentStock:
    """Bent pieces as the cutting needs them.

    ``flats`` by piece of the corner, ``profiles`` those written directly, ``spliced`` the pieces
    that are longer than the brake, ``faulty`` what cannot be made, in words.
    """

    bent: Bent | None
    flats: Mapping[str, tuple[FlatSize, ...]]
    profiles: tuple[Part, ...]
    spliced: tuple[Spliced, ...]
    faulty: tuple[str, ...]


def bent_stock(
    job: Job, corner: Corner, new: Mapping[str, str], *, goods: Goods, own: Mapping[str, str],
    site: Site,
) -> BentStock:  # fmt: skip
    """The flats of all bent pieces that are new, lapped where the brake is too short.

    Raises
    ------
    InputError
        If a table of the firm's cannot be used.
    NoSolution
        If no lap can lie within reach.
    """
    if not holds_bent(job):
        return BentStock(None, {}, (), (), ())
    bent = bent_pieces(job, own=own)
    laps = tuple(
        _lapped(corner, piece, name, goods, bent.shop.brake.length_in, site)
        for piece in bent.pieces
        for name in piece.pieces
        if name in new and piece.length_in > bent.shop.brake.length_in
    )
    if laps:
        runs = {row.part.piece: _runs(row, bent) for row in laps}
        bent = bent_pieces(job, own=own, splices=runs)
    flats: dict[str, tuple[FlatSize, ...]] = {}
    for piece in bent.pieces:
        for name in (n for n in piece.pieces if n in new):
            flats[name] = tuple(_flats(piece, name))
    profiles = tuple(part for piece in bent.pieces for part in _profile(piece, goods))
    faulty = tuple(
        f"{name}: {problem}"
        for name, problem in bent.faulty
        if name in new or name not in corner.piece_named
    )
    return BentStock(bent, flats, profiles, laps, faulty)


def _lapped(
    corner: Corner, piece: BentPiece, name: str, goods: Goods, brake_in: float, site: Site
) -> Spliced:
    """A piece longer than the brake, with its laps."""
    own = corner.piece_named[name]
    good = goods.for_entry(piece.what, width_in=0.0)
    assert good is not None, "a piece is bent from an entry that the goods make"
    extent = extent_of(corner, own)
    length, girth = piece.length_in, piece.girth_in
    part = Part(
        name, name, own.title, piece.what, good, length, girth, length * girth, line=extent.line
    )
    return spliced(part, longest_in=min(brake_in, good.length_in), site=site)


def _runs(row: Spliced, bent: Bent) -> Runs:
    """Where each length begins and ends, from the end that the brake's side counts from. [in]"""
    splices = row.plan.splices if row.plan is not None else ()
    starts = [0.0, *(s.from_in for s in splices)]
    runs = [(a, a + length) for a, length in zip(starts, row.lengths_in, strict=True)]
    piece = next(p for p in bent.pieces if row.part.piece in p.pieces)
    if piece.ends[0] in _FROM_START:
        return tuple(runs)
    whole = piece.length_in
    return tuple((whole - b, whole - a) for a, b in reversed(runs))


def _flats(piece: BentPiece, name: str) -> list[FlatSize]:
    patterns = [pattern for cut in piece.making.cuts for pattern in cut.patterns]
    many = len(patterns) > 1
    return [
        FlatSize(
            piece=f"{name}-{number}" if many else name,
            title=f"{piece.title} {number}" if many else piece.title,
            girth_in=pattern.blank_in[1],
            length_in=pattern.blank_in[0],
            shape=_shape(pattern),
            outline=pattern.outline if _shape(pattern) != "square" else (),
        )
        for number, pattern in enumerate(patterns, start=1)
    ]


def _shape(pattern: FlatPattern) -> str:
    length, width = pattern.blank_in
    is_square = pattern.area_in2 >= length * width - SQUARE_IN
    return "square" if is_square else f"by its pattern, {len(pattern.outline)} corners"


def _profile(piece: BentPiece, goods: Goods) -> list[Part]:
    """The flats of a profile that is written directly."""
    if piece.pieces:
        return []
    sheet = piece.metal_key.split("-")[0]
    entry = _ENTRY_OF_SHEET.get(sheet, "coil-wrap")
    good = goods.for_entry(entry, width_in=0.0)
    if good is None:
        return []
    return [
        Part(
            id=flat.piece,
            piece=piece.id,
            title=flat.title,
            entry=entry,
            good=good,
            length_in=flat.length_in,
            width_in=flat.girth_in,
            area_in2=flat.length_in * flat.girth_in * piece.count,
            count=piece.count,
            shape=flat.shape,
            outline=flat.outline,
            note="girth and length from its profile",
        )
        for flat in _flats(piece, piece.id)
    ]
