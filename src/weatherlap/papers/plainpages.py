"""Pages of lines and words at exact places, for papers that are measured."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from weatherlap.papers.typeset import NO_DAY, typeset


@dataclass(frozen=True, slots=True)
class PlainPage:
    """A page and what stands on it, all from its upper left corner. [in]

    ``lines`` are (x0, y0, x1, y1, weight in points); ``words`` (x, y of the middle, text, size in
    points, bold); ``pictures`` (x, y, width, file name).
    """

    width_in: float
    height_in: float
    lines: list[tuple[float, float, float, float, float]] = field(default_factory=list)
    words: list[tuple[float, float, str, float, bool]] = field(default_factory=list)
    pictures: list[tuple[float, float, float, str]] = field(default_factory=list)

    def cross(self, x: float, y: float, *, arm_in: float = 0.2) -> None:
        """A register mark: a cross whose middle is the place."""
        self.lines.append((x - arm_in, y, x + arm_in, y, 0.5))
        self.lines.append((x, y - arm_in, x, y + arm_in, 0.5))

    def frame(self, x: float, y: float, width: float, height: float) -> None:
        """A box."""
        corners = [(x, y), (x + width, y), (x + width, y + height), (x, y + height), (x, y)]
        for (x0, y0), (x1, y1) in pairwise(corners):
            self.lines.append((x0, y0, x1, y1, 0.5))


def plain_pdf(
    title: str,
    pages: Sequence[PlainPage],
    *,
    drawings: Mapping[str, str] | None = None,
    stamp: datetime.datetime = NO_DAY,
) -> bytes:
    """The PDF of plain pages."""
    data: dict[str, Any] = {
        "title": title,
        "pages": [
            {
                "width": p.width_in,
                "height": p.height_in,
                "lines": p.lines,
                "words": p.words,
                "pictures": p.pictures,
            }
            for p in pages
        ],
    }
    return typeset("plain", data, drawings=drawings, stamp=stamp)
