"""Take-down, put-back and nights in words, for the terminal and the sheets."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.building.corner import Corner
from weatherlap.order.nights import DRY_L, Night
from weatherlap.order.putback import Laying
from weatherlap.order.takedown import How, Removal
from weatherlap.run.framingorder import SHORE, carrying_pieces
from weatherlap.run.ordering import Ordered
from weatherlap.run.places import capital, listed
from weatherlap.water.wording import amount

MOST_NAMED = 4
_HOW = {
    How.OFF: "comes off",
    How.SLIDES: "slides out, with what covers it left on",
    How.BENDS: "is bent up and held, and let down for the night",
}


def title_in_run(corner: Corner, piece: int, place: int) -> str:
    """A piece's title, with its place in its run if it has one."""
    own = corner.pieces[piece]
    return f"{own.title} (number {place} of the {own.record.run})" if place else own.title


def removal_words(ordered: Ordered, row: Removal) -> str:
    """One piece of the take-down: how it comes off, what becomes of it, why."""
    title = capital(title_in_run(ordered.found, row.piece, row.place_in_run))
    fate = "" if row.how is How.BENDS else f"; {row.fate.value}"
    why = row.why.rstrip(".")
    shore = f" {SHORE}" if carries(ordered, row) else ""
    return f"{title}: {_HOW[row.how]}{fate}. Why: {why}.{shore}"


def carries(ordered: Ordered, row: Removal) -> bool:
    """Whether a piece that comes off is a member of the surveyed frame."""
    piece = ordered.found.pieces[row.piece].id
    return row.how is not How.BENDS and piece in carrying_pieces(ordered.job)


def laying_fate(row: Laying) -> str:
    """Whether a piece that is laid is new, or what it was before."""
    return "new" if row.fate is None else row.fate.value


def step_words(ordered: Ordered, row: Laying) -> str:
    """One piece of the put-back: its trade, whether it is new, what must be there before."""
    title = capital(ordered.repaired.pieces[row.piece].title)
    return f"{title} ({row.trade}, {laying_fate(row)}){after_words(ordered, row)}."


def after_words(ordered: Ordered, row: Laying) -> str:
    """What must be laid before, for the end of a sentence; empty if nothing must."""
    return f", over {_over_words(ordered.repaired, row.after)}" if row.after else ""


def then_words(ordered: Ordered, number: int) -> str:
    """Which sheets that were bent up are let down after a step; empty if none is."""
    corner = ordered.repaired
    return " ".join(
        f"Then let the {corner.pieces[row.piece].title} down for good, over "
        f"{_over_words(corner, row.over)}."
        for row in ordered.back.lowered
        if row.after == number
    )


def _over_words(corner: Corner, pieces: Sequence[int]) -> str:
    titles = [f"the {corner.pieces[p].title}" for p in pieces]
    if len(titles) > MOST_NAMED:
        titles = [*titles[: MOST_NAMED - 1], f"{len(titles) - MOST_NAMED + 1} more"]
    return listed(titles)


def wet_words(ordered: Ordered, night: Night) -> str:
    """What gets wet if it rains tonight."""
    if night.wet_l <= DRY_L:
        return "If it rains tonight, nothing gets wet."
    what = _soaks(ordered, night.wets)
    return f"If it rains tonight, {amount(night.wet_l)} gets in.{what}"


def left_words(ordered: Ordered, night: Night) -> str:
    """What the covers leave."""
    if night.covered_l <= DRY_L:
        return "Under these covers nothing gets wet."
    what = _soaks(ordered, night.still_wets)
    return f"Under these covers {amount(night.covered_l)} still gets in.{what}"


def _soaks(ordered: Ordered, names: tuple[str, ...]) -> str:
    titles = [f"the {_title(ordered, name)}" for name in names]
    if len(titles) > MOST_NAMED:
        titles = [*titles[: MOST_NAMED - 1], f"{len(titles) - MOST_NAMED + 1} more"]
    return f" It soaks {listed(titles)}." if titles else " It soaks nothing that is drawn here."


def _title(ordered: Ordered, name: str) -> str:
    for corner in (ordered.found, ordered.repaired):
        if name in corner.piece_named:
            return corner.piece_named[name].title
    return name
