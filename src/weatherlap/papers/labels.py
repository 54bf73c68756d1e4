"""Labels for the pieces that go back: number, face, edge, an arrow up and a code with the words."""

from __future__ import annotations

import datetime
import io

import segno

from weatherlap.drawings.lettering import shortened, wrapped
from weatherlap.papers.paper import Paper
from weatherlap.papers.plainpages import PlainPage, plain_pdf
from weatherlap.papers.pole import SIZES_IN
from weatherlap.papers.typeset import NO_DAY
from weatherlap.run.labelwords import Label
from weatherlap.run.places import capital

WIDE_IN = 3.6
HIGH_IN = 2.0
CODE_IN = 1.25
ROWS = 5
PT_PER_IN = 72.0
CONDENSED = 0.9
TITLE_PT = 11.0
TEXT_PT = 9.0


def label_sheets(
    labels: tuple[Label, ...],
    *,
    paper: Paper = Paper.LETTER,
    stamp: datetime.datetime = NO_DAY,
) -> bytes:
    """The labels, ten on a sheet."""
    width, height = SIZES_IN[paper]
    left = (width - 2 * WIDE_IN) / 2
    top = (height - ROWS * HIGH_IN) / 2
    pages: list[PlainPage] = []
    codes: dict[str, str] = {}
    for k, label in enumerate(labels):
        slot = k % (2 * ROWS)
        if slot == 0:
            pages.append(PlainPage(width, height))
        file = f"code-{label.number}.svg"
        codes[file] = code_svg(label.carried)
        x, y = left + slot % 2 * WIDE_IN, top + slot // 2 * HIGH_IN
        _draw(pages[-1], label, x, y, file)
    return plain_pdf("Labels", pages, drawings=codes, stamp=stamp)


def code_svg(text: str) -> str:
    """A QR code that carries a text, as SVG with its quiet zone."""
    out = io.BytesIO()
    segno.make_qr(text, error="m").save(out, kind="svg", border=4, light="#ffffff", xmldecl=False)
    return out.getvalue().decode("utf-8")


def _draw(page: PlainPage, label: Label, x: float, y: float, file: str) -> None:
    page.frame(x, y, WIDE_IN, HIGH_IN)
    page.words.append((x + 0.15, y + 0.38, f"{label.number}", 34.0, True))
    _arrow(page, x + WIDE_IN - CODE_IN - 0.35, y + 0.15)
    page.pictures.append((x + WIDE_IN - CODE_IN - 0.08, y + 0.08, CODE_IN, file))
    room = (WIDE_IN - 0.3) * PT_PER_IN
    narrow = (WIDE_IN - CODE_IN - 0.68) * PT_PER_IN
    row = y + 0.82
    for words in wrapped(label.title, TITLE_PT, narrow, most=2):
        page.words.append((x + 0.15, row, words, TITLE_PT, True))
        row += 0.18
    page.words.append((x + 0.15, row, shortened(label.run, TEXT_PT, narrow), TEXT_PT, False))
    row = y + 1.44
    where = [capital(part) for part in label.face.split(": ", 1)]
    for text, bold in (*((part, False) for part in where), (label.back, True), (label.edge, False)):
        page.words.append(
            (x + 0.15, row, shortened(text, TEXT_PT * CONDENSED, room), TEXT_PT, bold)
        )
        row += 0.15


def _arrow(page: PlainPage, x: float, y: float) -> None:
    """An arrow that points up when the label is stuck on the right way."""
    page.lines.append((x, y, x, y + 0.5, 2.5))
    for side in (-0.12, 0.12):
        page.lines.append((x, y, x + side, y + 0.17, 2.5))
    page.words.append((x - 0.07, y + 0.6, "UP", 6.5, True))
