"""Bar chart: a line for each task, a column for each day, black ink on white."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from weatherlap.drawings.lettering import shortened, text_width
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.svg import Drawing, Value

WIDTH = 612.0
LABEL_SHARE = 0.42
ROW = 15.0
HEAD = 34.0
KEY = 22.0
TEXT = 10.0
NARROWEST_DAY = 22.0
DAY_H = 24.0


class Fill(StrEnum):
    """How a bar is filled."""

    EMPTY = "comes off"
    FULL = "is held or carries load"
    LINES = "is laid"
    GREY = "anything else"


@dataclass(frozen=True, slots=True)
class Bar:
    """A bar: its label, from when to when, whose hands, and whether it is done. [date-time]"""

    label: str
    begins: datetime.datetime
    ends: datetime.datetime
    fill: Fill
    who: str = ""
    done: bool = False
    waits_from: datetime.datetime | None = None


@dataclass(frozen=True, slots=True)
class Scale:
    """Days of the calendar across the chart; hours of the day across each. [h, h, units]"""

    first: datetime.date
    days: int
    opens_h: float
    closes_h: float
    left: float
    width: float

    def x(self, moment: datetime.datetime) -> float:
        """Where a moment stands. [drawing units]"""
        number = (moment.date() - self.first).days
        hour = moment.hour + moment.minute / 60.0
        share = (hour - self.opens_h) / max(self.closes_h - self.opens_h, 1e-9)
        return self.left + (number + min(max(share, 0.0), 1.0)) * self.width

    def day_x(self, number: int) -> float:
        """Where a day begins. [drawing units]"""
        return self.left + number * self.width


def bar_chart(
    bars: Sequence[Bar],
    *,
    title: str,
    name: str,
    day_h: tuple[float, float],
    across: tuple[datetime.date, datetime.date],
    resting: Sequence[datetime.date] = (),
    open_days: tuple[datetime.date, datetime.date] | None = None,
) -> str:
    """The chart as SVG.

    Parameters
    ----------
    day_h : (float, float)
        When a working day begins and ends. [h]
    across : (date, date)
        The first and the last day of the chart.
    resting : sequence of date
        Days on which nobody works: shaded.
    open_days : (date, date) or None
        The days on which the corner stands open, marked over the chart.
    """
    first, last = across
    count = (last - first).days + 1
    left = WIDTH * LABEL_SHARE
    scale = Scale(first, count, *day_h, left, (WIDTH - left - 1.0) / count)
    height = HEAD + ROW * len(bars) + KEY
    drawing = Drawing(WIDTH, height, title=title, about=_about(bars), name=name)
    drawing.rect((0, 0, WIDTH, height), fill=LOOK.paper)
    foot = HEAD + ROW * len(bars)
    _days(drawing, scale, foot, set(resting))
    if open_days is not None:
        _open(drawing, scale, open_days)
    for number, bar in enumerate(bars):
        _row(drawing, scale, bar, HEAD + ROW * number)
    drawing.line((0, foot), (WIDTH, foot), **LOOK.edge.attributes())
    _key(drawing, foot)
    return drawing.svg()


def _about(bars: Sequence[Bar]) -> str:
    return "; ".join(
        f"{b.label}: {b.begins:%Y-%m-%d %H:%M} to {b.ends:%Y-%m-%d %H:%M}" for b in bars
    )


def _days(drawing: Drawing, scale: Scale, foot: float, resting: set[datetime.date]) -> None:
    """Columns of the days with their letters; every so many where they are narrow."""
    every = 1 if scale.width >= NARROWEST_DAY else 7
    drawing.line((0, HEAD), (WIDTH, HEAD), **LOOK.edge.attributes())
    for number in range(scale.days):
        day = scale.first + datetime.timedelta(number)
        x = scale.day_x(number)
        if day in resting:
            drawing.rect((x, HEAD, x + scale.width, foot), fill=LOOK.pale)
        monday = day.weekday() == 0
        if every == 1 or monday or number == 0:
            pen = LOOK.edge if monday else LOOK.dimension
            drawing.line((x, HEAD - 12), (x, foot), stroke=LOOK.grey, stroke_width=pen.weight)
        roomy = number == 0 or every == 1 or (monday and number >= 4)
        if roomy and scale.width * every >= NARROWEST_DAY:
            letters = f"{day:%a}"[:2] if every == 1 else f"{day:%b} {day.day}"
            drawing.text((x + 2, HEAD - 3), letters, TEXT - 1, fill=LOOK.ink)
            if every == 1 and (number == 0 or monday or day.day == 1 or scale.width > 40):
                label = f"{day:%b} {day.day}" if scale.width > 40 or number == 0 else str(day.day)
                drawing.text((x + 2, HEAD - 14), label, TEXT - 1, fill=LOOK.ink)


def _open(drawing: Drawing, scale: Scale, span: tuple[datetime.date, datetime.date]) -> None:
    a = scale.day_x((span[0] - scale.first).days)
    b = scale.day_x((span[1] - scale.first).days + 1)
    drawing.line((a, 4), (b, 4), stroke=LOOK.ink, stroke_width=2.4)
    drawing.text((2, 8), "corner open", TEXT - 1, fill=LOOK.ink, font_weight="bold")
    drawing.line(
        (4 + text_width("corner open", TEXT - 1, bold=True), 4), (a, 4),
        stroke=LOOK.grey, stroke_width=0.5, stroke_dasharray="2 2",
    )  # fmt: skip


def _row(drawing: Drawing, scale: Scale, bar: Bar, top: float) -> None:
    base = top + ROW - 4.5
    who_room = text_width(bar.who, TEXT - 1) + 6 if bar.who else 0.0
    mark = "✓ " if bar.done else ""
    label = shortened(mark + bar.label, TEXT, scale.left - who_room - 4)
    drawing.text((0, base), label, TEXT, fill=LOOK.ink)
    if bar.who:
        drawing.text((scale.left - 4, base), bar.who, TEXT - 1, fill=LOOK.ink, text_anchor="end")
    drawing.line((0, top + ROW), (WIDTH, top + ROW), stroke=LOOK.pale, stroke_width=0.6)
    a, b = scale.x(bar.begins), scale.x(bar.ends)
    b = max(b, a + 1.6)
    middle = top + ROW / 2.0
    if bar.waits_from is not None and scale.x(bar.waits_from) < a - 1:
        drawing.line(
            (scale.x(bar.waits_from), middle), (a, middle),
            stroke=LOOK.ink, stroke_width=0.8, stroke_dasharray="1.5 2.5",
        )  # fmt: skip
    _bar(drawing, (a, top + 3.2, b, top + ROW - 3.2), bar.fill)


def _bar(drawing: Drawing, box: tuple[float, float, float, float], fill: Fill) -> None:
    drawing.rect(box, fill=_paint(drawing, fill), stroke=LOOK.ink, stroke_width=0.9)


def _paint(drawing: Drawing, fill: Fill) -> Value:
    if fill is Fill.LINES:
        body = f'<path d="M0 4L4 0" stroke="{LOOK.ink}" stroke-width="0.8"/>'
        return drawing.define(
            "lines", "pattern", body, width=4.0, height=4.0, patternUnits="userSpaceOnUse"
        )
    return {Fill.EMPTY: LOOK.paper, Fill.FULL: LOOK.ink, Fill.GREY: "#b4b4b4"}[fill]


def _key(drawing: Drawing, foot: float) -> None:
    """What the fills and lines mean."""
    x, base = 0.0, foot + KEY - 6
    for fill in Fill:
        _bar(drawing, (x + 1, base - 7, x + 17, base), fill)
        drawing.text((x + 21, base), fill.value, TEXT - 1, fill=LOOK.ink)
        x += 32 + text_width(fill.value, TEXT - 1)
    drawing.line(
        (x, base - 3), (x + 16, base - 3),
        stroke=LOOK.ink, stroke_width=0.8, stroke_dasharray="1.5 2.5",
    )  # fmt: skip
    drawing.text((x + 20, base), "waits: drying, curing, goods", TEXT - 1, fill=LOOK.ink)
