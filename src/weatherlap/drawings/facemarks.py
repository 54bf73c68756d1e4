"""What stands around and on an elevation: sizes, folds, troughs, cut lines."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from weatherlap.building.corner import Corner, Face
from weatherlap.building.laying import Trough
from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.marks import arrow_head, haloed
from weatherlap.drawings.page import KeyRow
from weatherlap.drawings.placing import Box, Placer, spread
from weatherlap.drawings.stackview import OnPage
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.job.model import CutLine
from weatherlap.units import tape

TICK = 4.0
FLAG = 16.0
"""How high the flag of a cut line is. [drawing units]"""
SAME_IN = 1 / 16


def size_words(inches: float) -> str:
    """A size on an elevation, to the eighth. [in]"""
    return tape(inches, sixteenths=8)


def sizes_width(values: Iterable[float]) -> float:
    """The room that sizes up the side take. [drawing units]"""
    return max((text_width(size_words(v), LOOK.small) for v in values), default=0.0) + 20.0


def thinned(values: Iterable[float], *, apart: float) -> list[float]:
    """Sorted values of which neighbours are at least so far apart; first and last stay."""
    rows = sorted(set(values))
    if len(rows) < 2:
        return rows
    kept = [rows[0]]
    for value in rows[1:-1]:
        if value - kept[-1] >= apart and rows[-1] - value >= apart:
            kept.append(value)
    return [*kept, rows[-1]]


def draw_sizes(
    drawing: Drawing, page: OnPage, box: Box, ups: Iterable[float], rights: Iterable[float]
) -> None:
    """Heights up the left side and distances along the foot, from the face's lower left. [in]"""
    left, bottom = box[0] - 8.0, box[3] + 8.0
    pen = LOOK.dimension.attributes()
    drawing.line((left, box[1]), (left, box[3]), **pen)
    heights = thinned(ups, apart=(LOOK.small + 2.5) / page.units_per_in)
    ticks = [page.point(page.u_min, v)[1] for v in heights]
    places = spread(ticks, [LOOK.small] * len(ticks), box[1] - LOOK.small, box[3] + LOOK.small)
    for v, tick, y in zip(heights, ticks, places, strict=True):
        drawing.line((left - TICK, tick), (left + TICK, tick), **pen)
        words = size_words(v - page.v_min)
        drawing.text((left - TICK - 3, y + 0.36 * LOOK.small), words, LOOK.small,
                     text_anchor="end", fill=LOOK.ink)  # fmt: skip
    drawing.line((box[0], bottom), (box[2], bottom), **pen)
    wide = text_width("88' 8 8/88\"", LOOK.small) * 0.8
    for u in thinned(rights, apart=wide / page.units_per_in):
        x, _ = page.point(u, page.v_min)
        drawing.line((x, bottom - TICK), (x, bottom + TICK), **pen)
        words = size_words(u - page.u_min)
        drawing.text((x, bottom + TICK + LOOK.small), words, LOOK.small,
                     text_anchor="middle", fill=LOOK.ink)  # fmt: skip


def draw_folds(
    drawing: Drawing, corner: Corner, face: Face, page: OnPage, placer: Placer
) -> tuple[list[tuple[Point, str]], list[str]]:
    """Each fold as a line.

    Gives the names of the faces that they lead to, with the place of each, and the names of the
    faces for which there is no room.
    """
    labels: list[tuple[Point, str]] = []
    named: set[int] = set()
    u0, v0, u1, _ = face.outline.bounds
    within = page.point(u0, v0)[0], page.point(u1, v0)[0]
    for contact in corner.contacts_of[face.index]:
        a, b = page.point(*contact.start), page.point(*contact.end)
        drawing.line(a, b, **LOOK.fold.attributes())
        if contact.there in named:
            continue
        words = f"fold: {corner.faces[contact.there].title}"
        at = _beside_fold(words, a, b, placer, within=within)
        if at is not None:
            labels.append((at, words))
            named.add(contact.there)
    there = sorted({c.there for c in corner.contacts_of[face.index]} - named)
    return labels, [corner.faces[k].title for k in there]


def fold_row(*, drawn: bool) -> list[KeyRow]:
    """The key row of folds, if any were drawn."""

    def sample(drawing: Drawing, at: Point) -> None:
        drawing.line((at[0] - 15, at[1]), (at[0] + 15, at[1]), **LOOK.fold.attributes())

    return [KeyRow(sample, "fold: two faces meet")] if drawn else []


def _beside_fold(
    words: str, a: Point, b: Point, placer: Placer, *, within: tuple[float, float]
) -> Point | None:
    """Where a fold's name stands beside its line, between two sides, if that is free."""
    wide, high = text_width(words, LOOK.small), LOOK.small
    for share in (0.5, 0.25, 0.75, 0.12, 0.88):
        x, y = a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])
        for dy in (-4.0, high + 4.0, -16.0, high + 16.0):
            for dx in (0.0, wide / 2 + 6, -wide / 2 - 6):
                box = (x + dx - wide / 2, y + dy - high, x + dx + wide / 2, y + dy + 2)
                if within[0] <= box[0] and box[2] <= within[1] and placer.free(box):
                    placer.take(box)
                    return x + dx, y + dy
    return None


def draw_fold_names(drawing: Drawing, labels: Sequence[tuple[Point, str]]) -> None:
    """The names of folds where they were placed."""
    for at, words in labels:
        haloed(drawing, at, words, LOOK.small, text_anchor="middle", font_style="italic")


def draw_trough(drawing: Drawing, trough: Trough, page: OnPage) -> None:
    """A trough: two lines close together, a bar at each dammed end, an arrow to its low end."""
    a, b = page.point(*trough.start), page.point(*trough.end)
    drawing.line(a, b, stroke=LOOK.paper, stroke_width=6.0)
    long = math.dist(a, b) or 1.0
    x, y = -(b[1] - a[1]) / long, (b[0] - a[0]) / long

    def off(place: Point, by: float) -> Point:
        return place[0] + by * x, place[1] + by * y

    for shift in (-1.6, 1.6):
        drawing.line(off(a, shift), off(b, shift), stroke=LOOK.ink, stroke_width=1.3)
    for end, closed in ((a, trough.closed_start), (b, trough.closed_end)):
        if closed:
            drawing.line(off(end, -5.0), off(end, 5.0), stroke=LOOK.ink, stroke_width=2.6)
    fall = trough.start[1] - trough.end[1]
    if abs(fall) > SAME_IN:
        low, high = (b, a) if fall > 0 else (a, b)
        tip = (high[0] + 0.7 * (low[0] - high[0]), high[1] + 0.7 * (low[1] - high[1]))
        way = (low[0] - high[0], low[1] - high[1])
        arrow_head(drawing, tip, way, size=8.0, ink=LOOK.ink)


def flag_rows(cuts: Sequence[CutLine], face: Face, on: OnPage) -> list[tuple[CutLine, int]]:
    """The cut lines of a face, each with the row of flags that its letter stands in."""
    own = sorted((c for c in cuts if c.face == face.id), key=lambda c: (c.at, c.id))
    rows: list[tuple[CutLine, int]] = []
    ends: list[float] = []
    for cut in own:
        x, _ = on.point(cut.at, on.v_min)
        half = _flag_half(cut)
        row = next((k for k, end in enumerate(ends) if end < x - half - 2), len(ends))
        ends[row : row + 1] = [x + half]
        rows.append((cut, row))
    return rows


def _flag_half(cut: CutLine) -> float:
    return 0.5 * text_width(cut.id, LOOK.small, bold=True) + 4


def draw_cuts(
    drawing: Drawing, rows: Sequence[tuple[CutLine, int]], on: OnPage, box: Box
) -> list[Box]:
    """Where sections are cut: a line across with a flag on top; gives the flags' boxes."""
    flags: list[Box] = []
    for cut, row in rows:
        x, _ = on.point(cut.at, on.v_min)
        low = box[1] - 6 - FLAG * row
        drawing.line((x, low), (x, box[3] + 4), **LOOK.cut.attributes())
        half = _flag_half(cut)
        flags.append((x - half, low - FLAG, x + half, low))
        drawing.rect(flags[-1], fill=LOOK.ink, rx=2.0)
        drawing.text((x, low - 4), cut.id, LOOK.small, text_anchor="middle",
                     font_weight="bold", fill=LOOK.paper)  # fmt: skip
    return flags
