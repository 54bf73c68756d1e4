"""What stands by: material for damage that opening up may show, kept apart from what is bought."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping, Sequence

from weatherlap.building.corner import Corner
from weatherlap.job.model import Reading, Sheet
from weatherlap.sources.goods import Form, Goods
from weatherlap.takeoff.buying import BuyRow, row_of
from weatherlap.takeoff.model import Part
from weatherlap.takeoff.movement import COLD_DAY_F
from weatherlap.takeoff.quantities import Known, take_off

WET_PERCENT = 20.0
BRITTLE_SHARE = 0.1
_BRITTLE = ("vinyl", "pvc")
_FAR_IN = 48.0


def doubtful(
    corner: Corner, readings: Sequence[Reading], wet: Collection[str], new: Collection[str]
) -> dict[str, str]:
    """Wooden pieces that stay and may be soft, each with why.

    Parameters
    ----------
    corner : Corner
        The corner as repaired.
    readings : sequence of Reading
        What the meter showed. [%]
    wet : collection of str
        Pieces that water soaks in the corner as found.
    new : collection of str
        Pieces that are new: nothing stands by for them.

    Sources
    -------
    M-323 : 20 percent and more, or where water reaches.
    """
    found: dict[str, str] = {}
    for reading in readings:
        if reading.piece is not None and reading.percent >= WET_PERCENT:
            found.setdefault(reading.piece, f"it reads {reading.percent:g} %")
    for name in wet:
        found.setdefault(name, "water reaches it as found")
    here = corner.piece_named
    return {
        name: why
        for name, why in found.items()
        if name not in new and name in here and here[name].sheet is Sheet.ABSORBS
    }


def stand_by_rows(corner: Corner, pieces: Mapping[str, str], *, goods: Goods) -> Iterator[BuyRow]:
    """Stock for pieces in doubt: a sheet or a length of each, not the whole of it.

    Masonry and what cannot be bought by the sheet or length is left out.
    """
    taken = take_off(corner, tuple(pieces), Known(goods, {}, {}))
    first: dict[str, Part] = {}
    for part in taken.parts:
        first.setdefault(part.piece, part)
    for name, part in first.items():
        good = part.good
        if good.form is Form.SHEET:
            yield row_of(
                good, 1, length_in=good.length_in, need="one sheet", pieces=[part.title],
                why=pieces[name], stand_by=True,
            )  # fmt: skip
        elif good.form is Form.BAR:
            wanted = min(part.length_in, _FAR_IN * 2)
            length = min((x for x in good.lengths_in if x >= wanted), default=max(good.lengths_in))
            yield row_of(
                good, 1, length_in=length, need="one length", pieces=[part.title],
                why=pieces[name], stand_by=True,
            )  # fmt: skip


def breakage_rows(
    corner: Corner, reused: Sequence[str], *, goods: Goods, day_f: float
) -> Iterator[BuyRow]:
    """Spare panels for old vinyl that comes down and goes back on a cold day.

    Sources
    -------
    M-317 : brittle in the cold, one in ten.
    """
    if day_f >= COLD_DAY_F:
        return
    counts: dict[str, list[str]] = {}
    for name in reused:
        piece = corner.piece_named.get(name)
        if piece is None or not piece.record.what:
            continue
        good = goods.for_entry(piece.record.what, width_in=0.0)
        if good is not None and good.material in _BRITTLE and good.form is Form.BAR:
            counts.setdefault(good.id, []).append(piece.title)
    for name, titles in counts.items():
        good = goods.good[name]
        broken = math.ceil(BRITTLE_SHARE * len(titles))
        yield row_of(
            good, broken, length_in=good.lengths_in[0], need=f"one in ten of {len(titles)}",
            pieces=titles, why="old vinyl breaks in the cold", stand_by=True,
        )  # fmt: skip
