"""Take-down sheet, put-back sheet with a small section for each step, run and night sheets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from weatherlap.drawings.naming import names
from weatherlap.drawings.stepsection import step_section
from weatherlap.order.days import Move
from weatherlap.order.nights import Night
from weatherlap.order.putback import Laying
from weatherlap.order.takedown import How, Removal
from weatherlap.papers.cautions import GOVERNS, OPENING_UP
from weatherlap.papers.findings import stamp_of
from weatherlap.papers.paper import Paper
from weatherlap.papers.titleblock import title_block
from weatherlap.papers.typeset import typeset
from weatherlap.run.framingorder import SHORE
from weatherlap.run.layouts import LaidOut, across_words, stretch_words
from weatherlap.run.ordering import Nights, Ordered
from weatherlap.run.ordertold import (
    after_words,
    carries,
    laying_fate,
    left_words,
    then_words,
    title_in_run,
    wet_words,
)
from weatherlap.run.places import capital
from weatherlap.sources import source
from weatherlap.units import tape

Table = dict[str, Any]
PRACTICE = (
    "Before a run comes down, tape its joints onto what stays: fascia, channel, corner.",
    "Number the backs in the order of taking down, with an arrow up.",
    "Put nails back into their old holes: they keep a panel square.",
    "One nail at the front is usually enough when the back is held.",
)
KEYS = ("O-002", "O-003", "O-004", "O-005")
RUN_HEADS = ("Piece", "Begins", "Ends", "Lap", "Length", "Bites", "Needs")
_HOW = {How.OFF: "comes off", How.SLIDES: "slides out", How.BENDS: "bent up, held"}


def order_sheets(
    ordered: Ordered,
    nights: Nights | None,
    runs: Sequence[LaidOut] = (),
    *,
    paper: Paper = Paper.LETTER,
    whose_hours: str = "",
    missing: Sequence[str] = (),
) -> bytes:
    """The sheets of putting right as one PDF.

    Parameters
    ----------
    nights : Nights or None
        The nights of the work; None where nothing comes off and nothing is laid.
    runs : sequence of LaidOut
        The runs that are laid out between taped marks.
    whose_hours : str
        Whose hours the nights go by, for the note on them.
    missing : sequence of str
        What could not be worked out, each with its reason and the way out.
    """
    about = ordered.job.job
    drawings = dict(step_drawings(ordered))
    data: Table = {
        "sheet": paper.sheet,
        "paper_title": "Putting right",
        "title": about.title,
        "block": title_block(about),
        **sheet_words(ordered, nights, runs, set(drawings), whose_hours, missing),
        "cautions": [{"head": c.head, "text": c.text, "source": c.source} for c in OPENING_UP],
        "governs": GOVERNS,
        "sources": [
            {"key": key, "text": source(key).short()}
            for key in sorted({*KEYS, *(c.source for c in OPENING_UP)})
        ],
    }
    return typeset("order", data, drawings=drawings, stamp=stamp_of(about.date))


def sheet_words(
    ordered: Ordered,
    nights: Nights | None,
    runs: Sequence[LaidOut],
    drawings: set[str],
    whose_hours: str,
    missing: Sequence[str],
) -> Table:
    """What the sheets of putting right say, part by part; ``drawings`` are files there are."""
    return {
        "down": [_removal(ordered, r) for r in ordered.down.removals],
        "back": [_laying(ordered, rows, drawings) for rows in _alike(ordered)],
        "traps": [t.text for t in ordered.back.traps],
        "left_in": list(ordered.left_in),
        "missing": list(missing),
        "practice": list(PRACTICE),
        "runs": [_run(r) for r in runs],
        "night_note": "" if nights is None else _night_note(nights, whose_hours),
        "nights": [] if nights is None else [_night(ordered, n) for n in nights.rows],
    }


def step_drawings(ordered: Ordered) -> Iterator[tuple[str, str]]:
    """The small section of each step by its file name, with what stands there by then."""
    corner = ordered.repaired
    numbers = {s.piece: s.number for s in ordered.back.layings}
    for step, *_ in _alike(ordered):
        there = {p.index for p in corner.pieces if numbers.get(p.index, 0) <= step.number}
        svg = step_section(corner, step.piece, there=there, numbers=numbers)
        if svg:
            yield f"step-{step.number}.svg", svg


def _alike(ordered: Ordered) -> list[list[Laying]]:
    """Steps in their order; one after the other of a run, laid alike, count as one."""
    groups: list[list[Laying]] = []
    for step in ordered.back.layings:
        if groups and _same(ordered, groups[-1][-1], step):
            groups[-1].append(step)
        else:
            groups.append([step])
    return groups


def _same(ordered: Ordered, a: Laying, b: Laying) -> bool:
    kin = names(ordered.repaired, (a.piece, b.piece), courses=2)
    said = [(s.trade, laying_fate(s), s.face, after_words(ordered, s)) for s in (a, b)]
    return len(kin) == 1 and said[0] == said[1] and not then_words(ordered, a.number)


def _removal(ordered: Ordered, row: Removal) -> Table:
    return {
        "number": str(row.number),
        "title": capital(title_in_run(ordered.found, row.piece, row.place_in_run)),
        "how": _HOW[row.how],
        "fate": "stays" if row.how is How.BENDS else row.fate.value,
        "why": capital(row.why.rstrip(".")) + "." + (f" {SHORE}" if carries(ordered, row) else ""),
    }


def _laying(ordered: Ordered, rows: Sequence[Laying], drawings: set[str]) -> Table:
    row = rows[0]
    file = f"step-{row.number}.svg"
    over = after_words(ordered, row).removeprefix(", ")
    (name, *_) = names(ordered.repaired, [r.piece for r in rows], courses=2)
    return {
        "number": str(row.number) if len(rows) == 1 else f"{row.number}-{rows[-1].number}",
        "title": capital(name.words),
        "trade": row.trade,
        "fate": laying_fate(row),
        "over": f"{capital(over)}." if over else "",
        "then": then_words(ordered, rows[-1].number),
        "file": file if file in drawings else "",
    }


def _run(row: LaidOut) -> Table:
    rows = []
    for place, title in zip(row.layout.places, row.pieces, strict=True):
        cut, bite, need = across_words(place)
        ends = (tape(place.start_in), tape(place.end_in))
        rows.append([title, *ends, stretch_words(place), cut, bite, need])
    in_channels = any(place.cut_in is not None for place in row.layout.places)
    return {
        "title": capital(row.title),
        "rows": rows if in_channels else [cells[:4] for cells in rows],
        "heads": list(RUN_HEADS if in_channels else RUN_HEADS[:4]),
        "warnings": list(row.layout.warnings),
    }


def _night_note(nights: Nights, whose_hours: str) -> str:
    table = nights.table
    note = (
        f"A crew of {table.crew:g} at {table.hours_a_day:g} hours a day, {whose_hours}; a usual "
        f"rainy night brings {nights.night_mm:.1f} mm. What is bent up is let down for the night."
    )
    if nights.offer is None:
        return note
    return f"{note} This order closes part by part: it costs no day and lets in less."


def _night(ordered: Ordered, night: Night) -> Table:
    evening = night.evening

    def titles(move: Move) -> str:
        return "; ".join(s.title for s in evening.steps if s.move is move)

    return {
        "day": str(evening.day),
        "hours": f"{evening.hours:.1f} hours of work",
        "off": titles(Move.OFF),
        "on": titles(Move.ON),
        "wet": wet_words(ordered, night),
        "covers": [c.text for c in night.covers],
        "left": left_words(ordered, night) if night.covers else "",
    }
