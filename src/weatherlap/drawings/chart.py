"""Charts: lines over an axis, each told apart by its dashes and named where it ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString

from weatherlap.drawings.look import LOOK, Look
from weatherlap.drawings.marks import haloed
from weatherlap.drawings.svg import Drawing, Point

DASHES = ("", "7 3", "1.5 2.6", "9 3 1.5 3", "4 2.4")
"""Dashes by number, so that lines read without colour."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis: what it measures with its unit, its ends, and where it is marked."""

    title: str
    low: float
    high: float
    ticks: tuple[tuple[float, str], ...]

    def share(self, value: float) -> float:
        """How far along the axis a value stands, 0 to 1."""
        return (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points, its name, its dashes (by number) and its weight."""

    name: str
    points: tuple[Point, ...]
    dashes: int = 0
    weight: float = 1.8


@dataclass(frozen=True, slots=True)
class Limit:
    """A level that means something, with its words over or under it."""

    value: float
    words: str
    under: bool = False


@dataclass(frozen=True, slots=True)
class Bands:
    """Strips across the chart, as the layers of a wall: where each begins, and its number."""

    edges: tuple[float, ...]
    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Chart:
    """One chart: its name, title, what it shows in words, and everything on it."""

    name: str
    title: str
    about: str
    across: Axis
    up: Axis
    curves: tuple[Curve, ...]
    limits: tuple[Limit, ...] = ()
    bands: Bands | None = None


HIGH = 190.0
LEFT, TOP = 46.0, 40.0
RING = 7.5
FIRST_RING, RING_STEP = 0.16, 0.17
KEY_LINE, KEY_SAMPLE = 17.0, 30.0


def draw_chart(chart: Chart, *, look: Look = LOOK) -> str:
    """A chart as SVG: black on white, units on both axes, a key with a sample of each line."""
    bands = len(chart.bands.names) if chart.bands else 0
    foot = 48.0 + KEY_LINE * (len(chart.curves) + (bands + 1) // 2)
    drawing = Drawing(
        look.width, TOP + HIGH + foot, title=chart.title, about=chart.about, name=chart.name
    )
    field = _Field(chart, LEFT, TOP, look.width - look.margin, TOP + HIGH, look)
    drawing.text((look.margin, 14.0), chart.title, look.plain, font_weight="bold", fill=look.ink)
    field.draw(drawing)
    return drawing.svg()


@dataclass(frozen=True, slots=True)
class _Field:
    """The place of a chart on its drawing. [drawing units]"""

    chart: Chart
    left: float
    top: float
    right: float
    foot: float
    look: Look

    def at(self, x: float, y: float) -> Point:
        """Where a pair of values stands."""
        return (
            self.left + self.chart.across.share(x) * (self.right - self.left),
            self.foot - self.chart.up.share(y) * (self.foot - self.top),
        )

    def draw(self, drawing: Drawing) -> None:
        """Axes first, the lines over them, the key below."""
        self._draw_bands(drawing)
        self._draw_axes(drawing)
        for limit in self.chart.limits:
            self._draw_limit(drawing, limit)
        for curve in self.chart.curves:
            points = _thinned([self.at(x, y) for x, y in curve.points])
            drawing.polyline(points, **self._pen(curve))
        for limit in self.chart.limits:
            self._draw_limit_words(drawing, limit)
        for number in range(len(self.chart.curves)):
            self._draw_ring(drawing, number)
        self._draw_key(drawing)

    def _pen(self, curve: Curve) -> dict[str, str | float | None]:
        dashes = DASHES[curve.dashes % len(DASHES)] or None
        return {
            "stroke": self.look.ink,
            "stroke_width": curve.weight,
            "stroke_dasharray": dashes,
            "stroke_linecap": "butt",
        }

    def _draw_ring(self, drawing: Drawing, number: int) -> None:
        """The letter of a line, in a ring on it; each line's a step further on."""
        share = FIRST_RING + RING_STEP * (number % 5)
        x = self.left + share * (self.right - self.left)
        points = [self.at(a, b) for a, b in self.chart.curves[number].points]
        self._ring(drawing, (x, _height_at(points, x)), number)

    def _ring(self, drawing: Drawing, at: Point, number: int) -> None:
        look = self.look
        drawing.circle(at, RING, fill=look.paper, stroke=look.ink, stroke_width=0.9)
        drawing.text((at[0], at[1] + 3.7), chr(97 + number), look.small, text_anchor="middle")

    def _draw_axes(self, drawing: Drawing) -> None:
        look, up, across = self.look, self.chart.up, self.chart.across
        pen = look.edge.attributes()
        drawing.line((self.left, self.top), (self.left, self.foot), **pen)
        drawing.line((self.left, self.foot), (self.right, self.foot), **pen)
        for value, words in up.ticks:
            _, y = self.at(across.low, value)
            drawing.line((self.left - 4, y), (self.left, y), **pen)
            drawing.line((self.left, y), (self.right, y), stroke=look.pale, stroke_width=0.6)
            drawing.text((self.left - 6, y + 4), words, look.small, text_anchor="end")
        for value, words in across.ticks:
            x, _ = self.at(value, up.low)
            drawing.line((x, self.foot), (x, self.foot + 4), **pen)
            drawing.text((x, self.foot + 15), words, look.small, text_anchor="middle")
        drawing.text((self.left, self.top - 7), up.title, look.small, text_anchor="start")
        drawing.text((self.right, self.foot + 28), across.title, look.small, text_anchor="end")

    def _draw_limit(self, drawing: Drawing, limit: Limit) -> None:
        _, y = self.at(self.chart.across.low, limit.value)
        drawing.line((self.left, y), (self.right, y), stroke=self.look.grey, stroke_width=0.9)

    def _draw_limit_words(self, drawing: Drawing, limit: Limit) -> None:
        _, y = self.at(self.chart.across.low, limit.value)
        at = (self.right - 3, y + 11.5 if limit.under else y - 3.5)
        haloed(drawing, at, limit.words, self.look.small, text_anchor="end")

    def _draw_bands(self, drawing: Drawing) -> None:
        if self.chart.bands is None:
            return
        edges, look = self.chart.bands.edges, self.look
        for number, (a, b) in enumerate(pairwise(edges)):
            x0, x1 = self.at(a, 0)[0], self.at(b, 0)[0]
            if number % 2:
                drawing.rect((x0, self.top, x1, self.foot), fill=look.pale)
            drawing.text(
                (0.5 * (x0 + x1), self.foot + 15), str(number + 1), look.small,
                text_anchor="middle",
            )  # fmt: skip

    def _draw_key(self, drawing: Drawing) -> None:
        look, y = self.look, self.foot + 50.0
        for number, curve in enumerate(self.chart.curves):
            sample = self.left + 12.0
            self._ring(drawing, (self.left, y - 4), number)
            drawing.line((sample, y - 4), (sample + KEY_SAMPLE, y - 4), **self._pen(curve))
            drawing.text((sample + KEY_SAMPLE + 6, y), curve.name, look.small)
            y += KEY_LINE
        names = self.chart.bands.names if self.chart.bands else ()
        middle = self.left + 0.5 * (self.right - self.left)
        for number, name in enumerate(names):
            x = self.left if number % 2 == 0 else middle
            drawing.text((x, y), f"{number + 1}  {name}", look.small)
            y += KEY_LINE if number % 2 else 0.0


def _thinned(points: Sequence[Point]) -> list[Point]:
    """Points without those that lie within a quarter unit of the straight line."""
    if len(points) < 3:
        return list(points)
    line = LineString(points).simplify(0.25, preserve_topology=False)
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(line)]


def _height_at(points: Sequence[Point], x: float) -> float:
    """How high a line through points stands at a place."""
    return float(np.interp(x, [p[0] for p in points], [p[1] for p in points]))
