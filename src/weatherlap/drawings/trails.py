"""Trails: the water's way on a drawing, its weight by flow, first layer solid, second dashed."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable, Iterable, Sequence

from weatherlap.drawings.look import LOOK
from weatherlap.drawings.marks import arrow_head
from weatherlap.drawings.page import KeyRow
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.units import gallons

ARROW_EVERY = 85.0
_LEAST_RUN = 14.0


def draw_trail(
    drawing: Drawing, points: Sequence[Point], *, flow_lph: float, layer: int, last_arrow: bool
) -> None:
    """A trail with its arrows; the weight of the line is that of its flow's class. [L/h]"""
    weight = LOOK.flow_weights[LOOK.flow_class(flow_lph)]
    drawing.polyline(points, stroke=LOOK.paper, stroke_width=weight + 2.2)
    drawing.polyline(
        points,
        stroke=LOOK.water,
        stroke_width=weight,
        stroke_dasharray=LOOK.second_dashes if layer else None,
        data_layer="second" if layer else "first",
    )
    for tip, towards in _arrows(points, last=last_arrow):
        arrow_head(drawing, tip, towards, size=6.0 + 1.3 * weight, ink=LOOK.water)


def _arrows(points: Sequence[Point], *, last: bool) -> list[tuple[Point, Point]]:
    """Places and directions of arrow heads along a line."""
    found: list[tuple[Point, Point]] = []
    since = 0.6 * ARROW_EVERY
    for a, b in itertools.pairwise(points):
        long = math.dist(a, b)
        if long < 1e-6:
            continue
        way = ((b[0] - a[0]) / long, (b[1] - a[1]) / long)
        if since + long >= ARROW_EVERY and long >= _LEAST_RUN:
            middle = min(max(ARROW_EVERY - since, 0.6 * long), 0.8 * long)
            found.append(((a[0] + way[0] * middle, a[1] + way[1] * middle), way))
            since = long - middle
        else:
            since += long
    if last and len(points) > 1:
        a, b = points[-2], points[-1]
        found.append((b, (b[0] - a[0], b[1] - a[1])))
    return found


def flow_rows(flows_lph: Iterable[float], layers: Iterable[int]) -> list[KeyRow]:
    """Key rows of the flow classes and layers that a drawing shows. [L/h]"""
    classes = sorted({LOOK.flow_class(f) for f in flows_lph})
    rows = [KeyRow(_sample(LOOK.flow_weights[c], ""), _flow_words(c)) for c in classes]
    if 1 in set(layers):
        words = "water past joints and holes"
        rows.append(KeyRow(_sample(LOOK.flow_weights[1], LOOK.second_dashes), words))
    return rows


def _sample(weight: float, dashes: str) -> Callable[[Drawing, Point], None]:
    def draw(drawing: Drawing, at: Point) -> None:
        drawing.line((at[0] - 14, at[1]), (at[0] + 14, at[1]), stroke=LOOK.water,
                     stroke_width=weight, stroke_dasharray=dashes or None)  # fmt: skip

    return draw


def _flow_words(number: int) -> str:
    limits = LOOK.flow_classes_lph
    if number == 0:
        return f"water, under {_gph(limits[0])} gal/h"
    if number == len(limits):
        return f"water, {_gph(limits[-1])} gal/h and more"
    return f"water, {_gph(limits[number - 1])} to {_gph(limits[number])} gal/h"


def _gph(flow_lph: float) -> str:
    return f"{gallons(flow_lph):.2g}"
