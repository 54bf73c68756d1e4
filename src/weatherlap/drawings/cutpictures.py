"""Cut lists as pictures: bars, coil and sheets with the pieces that come off them, in order."""

from __future__ import annotations

from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.look import LOOK, Look
from weatherlap.drawings.svg import Drawing
from weatherlap.takeoff.cutlists import CutList, alike_bars
from weatherlap.takeoff.cutting.coil import CoilPlan, Section
from weatherlap.takeoff.cutting.model import BarPlan, CutBar
from weatherlap.takeoff.cutting.sheets import CutSheet, Placed, SheetPlan
from weatherlap.units import tape

BAR_HIGH = 26.0
ROW = 64.0
LEAST_LETTERS = 24.0
"""A box narrower than this holds its number only. [drawing units]"""

Box = tuple[float, float, float, float]


def cut_picture(cut: CutList, *, sheet: CutSheet | None = None, look: Look = LOOK) -> str:
    """The picture of a cut list as SVG; empty for rolls, which are hung by their table."""
    match cut.plan:
        case BarPlan():
            return _bars(cut, cut.plan, look)
        case CoilPlan():
            return _coil(cut, cut.plan, look)
        case SheetPlan():
            return "" if sheet is None else _sheet(cut, sheet, look)
        case _:
            return ""


def _bars(cut: CutList, plan: BarPlan, look: Look) -> str:
    bars = alike_bars(cut, plan.bars)
    height = 2 * look.margin + ROW * len(bars)
    drawing = Drawing(
        look.width,
        height,
        title=f"Cut list: {cut.good.name}",
        about="Each length with its pieces in the order of cutting, from the left",
        name=f"cut-{cut.good.id}",
    )
    longest = max(bar.stock_in for bar in bars)
    scale = (look.width - 2 * look.margin) / longest
    for number, bar in enumerate(bars):
        _bar(drawing, bar, top=look.margin + number * ROW, scale=scale, look=look)
    return drawing.svg()


def _bar(drawing: Drawing, bar: CutBar, *, top: float, scale: float, look: Look) -> None:
    left = look.margin
    head = f"{bar.times} x  {bar.stock_id}"
    drawing.text((left, top + look.small), head, look.small, fill=look.ink, font_weight="bold")
    y0 = top + look.small + 5
    y1 = y0 + BAR_HIGH
    end = left + bar.stock_in * scale
    drawing.rect((left, y0, end, y1), fill=look.pale, **look.outline.attributes())
    free = left - 1.0
    for number, (length, mark) in enumerate(
        zip(bar.lengths_in, bar.marks_in, strict=True), start=1
    ):
        x1 = left + mark * scale
        x0 = x1 - length * scale
        _named_box(drawing, (x0, y0, x1, y1), f"{number}", tape(length), look)
        text = tape(mark)
        wide = text_width(text, look.small)
        if x1 - wide > free and number > 1:
            at = (x1, y1 + look.small + 1)
            drawing.text(at, text, look.small, fill=look.grey, text_anchor="end")
            free = x1 + 4
    if bar.leftover_in * scale > LEAST_LETTERS and bar.leftover_in > 1:
        word = "keep" if bar.keep else "left"
        text = f"{word} {tape(bar.leftover_in)}"
        room = bar.leftover_in * scale - 6
        if text_width(text, look.small) <= room:
            at = (end - 4, y0 + BAR_HIGH / 2 + 4)
            drawing.text(at, text, look.small, fill=look.ink, text_anchor="end")


def _named_box(drawing: Drawing, box: Box, number: str, text: str, look: Look) -> None:
    """A piece: its number in the order of cutting, and its size where there is room."""
    x0, y0, x1, y1 = box
    drawing.rect(box, fill=look.paper, **look.edge.attributes())
    whole = f"{number}: {text}"
    room = x1 - x0 - 6
    words = whole if text_width(whole, look.small) <= room else number
    if text_width(words, look.small) <= x1 - x0 - 2 and y1 - y0 >= look.small:
        at = ((x0 + x1) / 2, (y0 + y1) / 2 + 4)
        drawing.text(at, words, look.small, fill=look.ink, text_anchor="middle")


def _coil(cut: CutList, plan: CoilPlan, look: Look) -> str:
    longest = max(section.length_in for section in plan.sections)
    scale = (look.width - 2 * look.margin) / max(longest, 3 * cut.good.width_in)
    high = cut.good.width_in * scale
    row = high + look.small + 16
    drawing = Drawing(
        look.width,
        2 * look.margin + row * len(plan.sections),
        title=f"Coil: {cut.good.name}",
        about="Each section crosscut off the coil, and the strips that are ripped from it",
        name=f"cut-{cut.good.id}",
    )
    for number, section in enumerate(plan.sections):
        top = look.margin + number * row
        _section(drawing, section, number + 1, top=top, scale=scale, high=high, look=look)
    return drawing.svg()


def _section(
    drawing: Drawing, section: Section, number: int, *, top: float, scale: float, high: float,
    look: Look,
) -> None:  # fmt: skip
    left = look.margin
    head = f"{section.times} x  section {number}, {tape(section.length_in)} off the coil"
    drawing.text((left, top + look.small), head, look.small, fill=look.ink, font_weight="bold")
    y0 = top + look.small + 5
    right = left + section.length_in * scale
    drawing.rect((left, y0, right, y0 + high), fill=look.pale, **look.outline.attributes())
    at = 0.0
    for place, (_, girth, length) in enumerate(section.strips, start=1):
        box = (left, y0 + at * scale, left + length * scale, y0 + (at + girth) * scale)
        _named_box(
            drawing, box, f"{place}", f"rip {tape(girth, sixteenths=32)} x {tape(length)}", look
        )
        at += girth
    text = f"left {tape(section.offcut_in, sixteenths=32)} wide"
    fits = text_width(text, look.small) <= section.length_in * scale - 12
    if fits and section.offcut_in * scale > look.small + 2:
        middle = y0 + (at + section.offcut_in / 2) * scale + 4
        drawing.text((left + 6, middle), text, look.small, fill=look.ink)


def _sheet(cut: CutList, sheet: CutSheet, look: Look) -> str:
    wide, high = cut.good.length_in, cut.good.width_in
    extent_across = max([high, *(p.across_in + p.width_in for p in sheet.placed)])
    extent_along = max([wide, *(p.along_in + p.length_in for p in sheet.placed)])
    scale = (look.width - 2 * look.margin) / extent_along
    drawing = Drawing(
        look.width,
        2 * look.margin + extent_across * scale,
        title=f"Sheet: {cut.good.name}",
        about="The pieces that come off one sheet, its length across the picture",
        name=f"cut-{cut.good.id}",
    )
    top = look.margin
    drawing.rect(
        (look.margin, top, look.margin + extent_along * scale, top + extent_across * scale),
        fill=look.pale,
        **look.outline.attributes(),
    )
    for number, placed in enumerate(sheet.placed, start=1):
        text = f"{tape(placed.width_in)} x {tape(placed.length_in)}"
        _named_box(drawing, _placed_box(placed, scale, look), f"{number}", text, look)
    return drawing.svg()


def _placed_box(placed: Placed, scale: float, look: Look) -> Box:
    x0, y0 = look.margin + placed.along_in * scale, look.margin + placed.across_in * scale
    return (x0, y0, x0 + placed.length_in * scale, y0 + placed.width_in * scale)
