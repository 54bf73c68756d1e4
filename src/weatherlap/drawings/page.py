"""The page around a drawing: heading on top, notes and the key below."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from weatherlap.drawings.lettering import wrapped
from weatherlap.drawings.look import END_WORDS, HATCH_WORDS, LOOK, Hatch, Look, fill_of
from weatherlap.drawings.marks import END_SIZE, damage_mark, end_mark, meter_mark, ringed
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.water.hops import EndKind

KEY_ROW = 19.0
KEY_SAMPLE = 34.0


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One row of the key: how its sample is drawn about a place, and what it means."""

    sample: Callable[[Drawing, Point], None]
    words: str


class Page:
    """A drawing that grows downward and is closed with its key."""

    def __init__(self, look: Look, *, name: str, title: str, about: str) -> None:
        self.look = look
        self.drawing = Drawing(look.width, 0.0, title=title, about=about, name=name)

    @property
    def room(self) -> float:
        """The width inside the margins. [drawing units]"""
        return self.look.width - 2 * self.look.margin

    def heading(self, title: str, lines: Sequence[str]) -> float:
        """Title and lines under it; gives the place where the drawing may begin."""
        look, y = self.look, self.look.margin
        for words in wrapped(title, look.large * 1.16, self.room, most=3):
            y += look.large + 3
            self.drawing.text(
                (look.margin, y), words, look.large, font_weight="bold", fill=look.ink
            )
        for line in lines:
            for words in wrapped(line, look.small, self.room, most=3):
                y += look.small + 3.5
                self.drawing.text((look.margin, y), words, look.small, fill=look.ink)
        y += 8
        self.drawing.line((look.margin, y), (look.width - look.margin, y), stroke=look.ink,
                          stroke_width=0.8)  # fmt: skip
        return y

    def notes(self, top: float, lines: Iterable[str]) -> float:
        """Notes under the drawing; gives the place below them."""
        look, y = self.look, top
        for line in lines:
            for words in wrapped(line, look.small, self.room, most=6):
                y += look.small + 3.5
                self.drawing.text((look.margin, y), words, look.small, fill=look.ink)
            y += 2
        return y

    def key(self, top: float, rows: Sequence[KeyRow]) -> float:
        """The key in two columns; gives the place below it."""
        if not rows:
            return top
        look = self.look
        self.drawing.line((look.margin, top + 6), (look.width - look.margin, top + 6),
                          stroke=look.ink, stroke_width=0.5)  # fmt: skip
        half = (len(rows) + 1) // 2
        wide = self.room / 2
        for k, row in enumerate(rows):
            x = look.margin + (k // half) * wide
            y = top + 10 + KEY_ROW * (k % half + 0.5)
            row.sample(self.drawing, (x + KEY_SAMPLE / 2, y))
            words = wrapped(row.words, look.small, wide - KEY_SAMPLE - 10, most=1)
            self.drawing.text(
                (x + KEY_SAMPLE + 4, y + 0.36 * look.small), words[0], look.small, fill=look.ink
            )
        return top + 10 + KEY_ROW * half

    def finish(self, bottom: float) -> str:
        """The drawing's text, closed below a place."""
        self.drawing.height = bottom + self.look.margin
        return self.drawing.svg()


def hatch_rows(hatches: Iterable[Hatch], *, strong: bool = False) -> list[KeyRow]:
    """Key rows of the hatches that a drawing shows, in a fixed order."""
    shown = set(hatches)

    def sample(hatch: Hatch) -> Callable[[Drawing, Point], None]:
        def draw(drawing: Drawing, at: Point) -> None:
            box = (at[0] - 14, at[1] - 6, at[0] + 14, at[1] + 6)
            drawing.rect(
                box,
                fill=fill_of(drawing, hatch, strong=strong),
                stroke=LOOK.ink,
                stroke_width=LOOK.edge.weight,
            )

        return draw

    return [KeyRow(sample(h), HATCH_WORDS[h]) for h in Hatch if h in shown]


def end_rows(kinds: Iterable[EndKind]) -> list[KeyRow]:
    """Key rows of the ends of trails that a drawing shows, in a fixed order."""
    shown = set(kinds)

    def sample(kind: EndKind) -> Callable[[Drawing, Point], None]:
        return lambda drawing, at: end_mark(drawing, at, kind, size=END_SIZE)

    return [KeyRow(sample(k), END_WORDS[k]) for k in EndKind if k in shown]


def mark_rows(*, findings: bool, readings: bool, damages: bool) -> list[KeyRow]:
    """Key rows of ringed letters, readings and damage, where a drawing shows them."""
    rows = []
    if findings:
        rows.append(KeyRow(lambda d, at: ringed(d, at, "A", mark=False), "finding, by its letter"))
    if readings:
        rows.append(KeyRow(lambda d, at: meter_mark(d, at, None), "moisture reading, percent"))
    if damages:
        rows.append(KeyRow(damage_mark, "damage that was seen"))
    return rows
