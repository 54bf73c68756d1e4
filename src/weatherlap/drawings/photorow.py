"""Photos in a row, small, each with its number and what it shows."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.drawings.lettering import wrapped
from weatherlap.drawings.svg import Drawing

IN_A_ROW = 3
WIDE, HIGH, GAP = 228.0, 172.0, 14.0
LETTERS, LINE, LINES = 11.0, 14.0, 3
INK = "#111111"


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo: its number on the paper, the picture as JPEG, and what it shows."""

    number: int
    jpeg: bytes
    words: str


def photo_row(name: str, shots: Sequence[Shot]) -> str:
    """Up to three photos beside one another, as SVG."""
    numbers = ", ".join(str(s.number) for s in shots)
    drawing = Drawing(
        IN_A_ROW * WIDE + (IN_A_ROW - 1) * GAP,
        HIGH + 8.0 + LINES * LINE,
        title=f"Photos {numbers}",
        about="; ".join(s.words for s in shots),
        name=name,
    )
    for k, shot in enumerate(shots[:IN_A_ROW]):
        _shot(drawing, shot, left=k * (WIDE + GAP))
    return drawing.svg()


def _shot(drawing: Drawing, shot: Shot, *, left: float) -> None:
    data = base64.b64encode(shot.jpeg).decode("ascii")
    drawing.add(
        "image", x=left, y=0.0, width=WIDE, height=HIGH, preserveAspectRatio="xMidYMid meet",
        href=f"data:image/jpeg;base64,{data}",
    )  # fmt: skip
    drawing.rect((left, 0.0, left + WIDE, HIGH), fill="none", stroke=INK, stroke_width=0.8)
    words = wrapped(f"{shot.number}. {shot.words}", LETTERS, WIDE, most=LINES)
    for row, text in enumerate(words):
        drawing.text((left, HIGH + 14.0 + row * LINE), text, LETTERS, fill=INK)
