"""The story pole at full scale: on tiled sheets, or as one long strip."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.drawings.lettering import wrapped
from weatherlap.papers.paper import Paper
from weatherlap.papers.plainpages import PlainPage, plain_pdf
from weatherlap.papers.typeset import NO_DAY
from weatherlap.run.polemarks import Mark, Pole
from weatherlap.units import tape

PT_PER_IN = 72.0
LONGEST_IN = 190.0
"""Longest strip: a page of PDF ends at 14,400 points, 200 in. [in]"""
TILE_IN = 9.0
STRIP_IN = 3.4
TICK_IN = 1.0
TEXT_AT_IN = 1.2
TEXT_PT = 8.5
CONDENSED = 0.9
LINE_IN = 0.125
SPACE_IN = 0.06
CHECK_IN = 6.0
FOOT_IN = 12.0
SIZES_IN = {Paper.LETTER: (8.5, 11.0), Paper.A4: (210 / 25.4, 297 / 25.4)}


@dataclass(frozen=True, slots=True)
class _Strip:
    """A stretch of the pole on a page: its left edge, and where its start lies. [in]"""

    x: float
    y: float
    low: float
    high: float

    def at(self, place: float) -> float:
        """Where a place of the pole lies on the page. [in]"""
        return self.y - (place - self.low)


def long_pole(pole: Pole, *, stamp: datetime.datetime = NO_DAY) -> bytes:
    """The pole as one long page, or as several where it is longer than a page can be."""
    pages = []
    for low, high in _stretches(pole.length_in, LONGEST_IN):
        height = high - low + 2.0
        page = PlainPage(CHECK_IN + 1.0, height)
        _draw(page, pole, _Strip(0.5, height - 1.0, low, high))
        _check_bar(page, 0.5, height - 0.3)
        page.words.append((0.5, 0.25, _head(pole), 8.0, True))
        pages.append(page)
    return plain_pdf(f"Story pole: {pole.job}", pages, stamp=stamp)


def tiled_pole(
    pole: Pole, *, paper: Paper = Paper.LETTER, stamp: datetime.datetime = NO_DAY
) -> bytes:
    """The pole on sheets, two stretches on each, to be cut out and joined at the crosses."""
    width, height = SIZES_IN[paper]
    stretches = _stretches(pole.length_in, TILE_IN)
    pages: list[PlainPage] = []
    for first in range(0, len(stretches), 2):
        page = PlainPage(width, height)
        for column, (low, high) in enumerate(stretches[first : first + 2]):
            x = 0.5 + column * (STRIP_IN + 0.25)
            _draw(page, pole, _Strip(x, 0.75 + TILE_IN, low, high))
        _check_bar(page, 0.5, 10.35)
        words = f"{_head(pole)}. Sheet {len(pages) + 1} of {(len(stretches) + 1) // 2}"
        page.words.append((0.5, 0.35, words, 8.0, True))
        pages.append(page)
    return plain_pdf(f"Story pole: {pole.job}", pages, stamp=stamp)


def _head(pole: Pole) -> str:
    return f"{pole.job}: {pole.face}, {pole.held}, {tape(pole.length_in)} long"


def _stretches(length: float, most: float) -> list[tuple[float, float]]:
    """Stretches of the pole, each as long as may be."""
    rows: list[tuple[float, float]] = []
    low = 0.0
    while low < length - 1e-6:
        rows.append((low, min(low + most, length)))
        low += most
    return rows


def _check_bar(page: PlainPage, x: float, y: float) -> None:
    """A bar that must measure 6 in, or the print is not at full scale."""
    page.lines.append((x, y, x + CHECK_IN, y, 1.0))
    for end in (x, x + CHECK_IN):
        page.lines.append((end, y - 0.1, end, y + 0.1, 0.5))
    text = "This bar must measure 6 in. If it does not, print again at 100 %, not fitted."
    page.words.append((x + 0.1, y + 0.15, text, 7.0, False))


def _draw(page: PlainPage, pole: Pole, strip: _Strip) -> None:
    left, right = strip.x, strip.x + STRIP_IN
    top, foot = strip.at(strip.high), strip.at(strip.low)
    for x in (left, right):
        page.lines.append((x, top, x, foot, 0.35))
    for end, place in ((foot, strip.low), (top, strip.high)):
        page.lines.append((left, end, right, end, 0.35))
        page.cross(right, end)
        page.cross(left, end)
        if 0 < place < pole.length_in:
            words = f"join at {tape(place)}"
            side = -0.12 if end == top else 0.12
            page.words.append((right - 0.85, end + side, words, 6.0, False))
    _feet(page, strip)
    marks = [m for m in pole.marks if strip.low - 1e-6 <= m.at_in <= strip.high + 1e-6]
    _marks(page, strip, marks)


def _feet(page: PlainPage, strip: _Strip) -> None:
    """Small ticks at every inch, longer ones at every foot, along the right edge."""
    right = strip.x + STRIP_IN
    for inch in range(int(strip.low), int(strip.high) + 1):
        if strip.low <= inch <= strip.high:
            long = inch % int(FOOT_IN) == 0
            y = strip.at(inch)
            page.lines.append((right - (0.25 if long else 0.08), y, right, y, 0.35))
            if long and inch:
                page.words.append((right - 0.5, y - 0.09, tape(inch), 6.0, False))


def _marks(page: PlainPage, strip: _Strip, marks: Sequence[Mark]) -> None:
    """Each mark a line from the left edge, its words beside it, led to where there is room."""
    lines = [_lines(mark) for mark in marks]
    row_in = LINE_IN * max(map(len, lines), default=1) + SPACE_IN
    rows = _spread([strip.at(m.at_in) for m in marks], strip, row_in)
    for mark, text, y in zip(marks, lines, rows, strict=True):
        at = strip.at(mark.at_in)
        page.lines.append((strip.x, at, strip.x + TICK_IN, at, 0.9))
        page.lines.append((strip.x + TICK_IN, at, strip.x + TEXT_AT_IN - 0.03, y, 0.35))
        if mark.number:
            page.words.append((strip.x + TEXT_AT_IN, y, f"{mark.number}", 9.0, True))
        first = y - LINE_IN / 2 * (len(text) - 1)
        for k, words in enumerate(text):
            page.words.append((strip.x + _indent(mark), first + LINE_IN * k, words, TEXT_PT, False))


def _indent(mark: Mark) -> float:
    """Where a mark's words begin, from the strip's left edge. [in]"""
    return TEXT_AT_IN + (0.3 if mark.number else 0.0)


def _lines(mark: Mark) -> list[str]:
    """What is said at a mark, in lines that fit beside it."""
    room = (STRIP_IN - 0.4 - _indent(mark)) * PT_PER_IN
    return wrapped(f"{tape(mark.at_in)}  {mark.text}", TEXT_PT * CONDENSED, room, most=3)


def _spread(places: Sequence[float], strip: _Strip, row_in: float) -> list[float]:
    """Where the words of marks stand: as near as they may to them, none on another. [in]"""
    order = sorted(range(len(places)), key=lambda k: places[k])
    top, foot = strip.at(strip.high) + row_in / 2, strip.at(strip.low) - row_in / 2
    rows = list(places)
    last = top - row_in
    for k in order:
        rows[k] = last = max(places[k], last + row_in)
    last = foot + row_in
    for k in reversed(order):
        rows[k] = last = min(rows[k], last - row_in)
    return rows
