"""Bent metal for the shop: the section, the strip with its marks, the metal in the brake."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.metal.model import Metal, Profile
from weatherlap.metal.orders import BendStep
from weatherlap.metal.pictures import Mark, StepPicture, StripMark
from weatherlap.metal.section import folded
from weatherlap.units import tape

WIDE = LOOK.width
EDGE = 26.0
BAR_HIGH = 54.0
LABEL_GAP = 15.0
RING_GAP = 23.0
PICTURES_A_ROW = 2
PICTURE_HIGH = 168.0
HEAD_HIGH = 34.0
LEAST_VIEW_IN = 3.2
HELD_IN = 3.0
PAINT_OFF = 3.4
SHOP_PARTS = 32
SIDEWAYS = 0.3
LABEL_TRIES = ((13.0, 1), (13.0, -1), (27.0, 1), (27.0, -1), (42.0, 1), (42.0, -1), (58.0, 1))
"""How far from its leg a label stands, and on which side of it, tried in turn."""


@dataclass(frozen=True, slots=True)
class _View:
    """From inches to a window of the drawing, y up turned down."""

    scale: float
    x: float
    y: float

    def at(self, point: Point) -> Point:
        return self.x + self.scale * point[0], self.y - self.scale * point[1]

    def all(self, points: Iterable[Point]) -> list[Point]:
        return [self.at(p) for p in points]


def shop_length(inches: float) -> str:
    """A length as the tape at the brake reads it, to 1/32 in."""
    return tape(inches, sixteenths=SHOP_PARTS)


def spread(places: Sequence[float], *, gap: float, low: float, high: float) -> list[float]:
    """Places in order moved apart to a gap, as little as can be, within bounds."""
    if not places:
        return []
    gap = min(gap, (high - low) / max(len(places) - 1, 1))
    found = list(places)
    for k in range(1, len(found)):
        found[k] = max(found[k], found[k - 1] + gap)
    limit = high
    for k in range(len(found) - 1, -1, -1):
        found[k] = min(found[k], limit)
        limit = found[k] - gap
    return [max(place, low + k * gap) for k, place in enumerate(found)]


def strip_drawing(
    marks: Sequence[StripMark], *, name: str, title: str, painted: bool = True
) -> str:
    """The flat strip from its start edge, painted side up, with every mark and its running size."""
    girth = marks[-1].at_in
    labels = [_label(m) for m in marks]
    deep = max(text_width(text, LOOK.small) for text in labels)
    top = 58.0
    drawing = Drawing(
        WIDE, top + BAR_HIGH + deep + 48, title=title, name=name,
        about=f"A strip {tape(girth)} wide with {len(marks) - 2} bend lines: {'; '.join(labels)}",
    )  # fmt: skip
    side = "painted side up" if painted else "marked side up"
    drawing.text((EDGE, 16), f"Start edge at the left, {side}", LOOK.small, fill=LOOK.ink)
    view = (WIDE - 2 * EDGE) / girth
    xs = [EDGE + m.at_in * view for m in marks]
    drawing.rect(
        (xs[0], top, xs[-1], top + BAR_HIGH),
        fill="#f1f1ef", stroke=LOOK.ink, stroke_width=LOOK.outline.weight,
    )  # fmt: skip
    for x, m in zip(xs, marks, strict=True):
        _mark_line(drawing, x, m, top)
    _rings(drawing, xs, marks, top)
    _labels(drawing, xs, labels, top + BAR_HIGH)
    _key(drawing, top + BAR_HIGH + deep + 40)
    return drawing.svg()


def _label(m: StripMark) -> str:
    at = shop_length(m.at_in)
    if m.mark is Mark.CUT:
        return f"{at} cut"
    turn = "" if m.mark in (Mark.HEM_UP, Mark.HEM_DOWN) else f" {m.angle_deg:.3g}\u00b0"
    return f"{at} {m.mark.value}{turn}"


def _is_up(m: StripMark) -> bool:
    return m.mark in (Mark.BEND_UP, Mark.HEM_UP)


def _mark_line(drawing: Drawing, x: float, m: StripMark, top: float) -> None:
    """A full line for a bend up, a broken one for a bend down, doubled for a hem."""
    if m.mark is Mark.CUT:
        return
    dashes = None if _is_up(m) else "6 4"
    hem = m.mark in (Mark.HEM_UP, Mark.HEM_DOWN)
    for off in (-1.4, 1.4) if hem else (0.0,):
        drawing.line(
            (x + off, top), (x + off, top + BAR_HIGH), stroke=LOOK.ink,
            stroke_width=1.0 if hem else 1.5, stroke_dasharray=dashes, stroke_linecap="butt",
        )  # fmt: skip


def _rings(drawing: Drawing, xs: Sequence[float], marks: Sequence[StripMark], top: float) -> None:
    """The place of each bend in the order, over the strip."""
    bends = [(x, m) for x, m in zip(xs, marks, strict=True) if m.mark is not Mark.CUT]
    places = spread(
        [x for x, _ in bends], gap=RING_GAP, low=LOOK.ring + 2, high=WIDE - LOOK.ring - 2
    )
    for place, (x, m) in zip(places, bends, strict=True):
        at = (place, top - 24)
        drawing.line((x, top), (place, at[1] + LOOK.ring), **LOOK.leader.attributes())
        drawing.circle(at, LOOK.ring, fill=LOOK.paper, stroke=LOOK.ink, stroke_width=1.2)
        words = "+".join(str(n) for n in m.orders) or "H"
        drawing.text(
            (at[0], at[1] + 4.2), words, LOOK.small, text_anchor="middle", font_weight="bold",
            fill=LOOK.ink,
        )  # fmt: skip


def _labels(drawing: Drawing, xs: Sequence[float], labels: Sequence[str], foot: float) -> None:
    """Running sizes under the strip, each written upward from its mark."""
    places = spread(xs, gap=LABEL_GAP, low=LOOK.small, high=WIDE - 4)
    for x, place, text in zip(xs, places, labels, strict=True):
        drawing.line((x, foot), (place, foot + 13), **LOOK.leader.attributes())
        at = (place + 4, foot + 16)
        drawing.text(
            at, text, LOOK.small, fill=LOOK.ink, text_anchor="end",
            transform=f"rotate(-90 {at[0]:.2f} {at[1]:.2f})",
        )  # fmt: skip


def _key(drawing: Drawing, y: float) -> None:
    """What the lines mean."""
    x = EDGE
    for dashes, words in ((None, "bend up"), ("6 4", "bend down")):
        drawing.line((x, y - 4), (x + 26, y - 4), stroke=LOOK.ink, stroke_width=1.5,
                     stroke_dasharray=dashes)  # fmt: skip
        drawing.text((x + 31, y), words, LOOK.small, fill=LOOK.ink)
        x += 42 + text_width(words, LOOK.small)
    words = "double: hem. Ring: order (H: by hand)"
    drawing.text((x, y), words, LOOK.small, fill=LOOK.ink)


def section_drawing(profile: Profile, *, metal: Metal, name: str, title: str) -> str:
    """The finished section with the length of each leg, dots along its painted side."""
    section = folded(profile, metal=metal)
    line = LineString(section.points)
    x0, y0, x1, y1 = line.bounds
    scale = min(320 / max(x1 - x0, 0.5), 200 / max(y1 - y0, 0.5), 60.0)
    high = scale * (y1 - y0) + 104
    view = _View(scale, (WIDE - scale * (x1 - x0)) / 2 - scale * x0, 48 + scale * y1)
    drawing = Drawing(WIDE, high, title=title, name=name, about=_section_words(profile))
    drawing.polyline(view.all(section.points), stroke=LOOK.ink, stroke_width=2.6)
    _paint(drawing, view.all(section.points), left=True)
    middle = view.at(((x0 + x1) / 2, (y0 + y1) / 2))
    taken = [_box_of(view.all(flat)) for flat in section.flats]
    for number, (leg, flat) in enumerate(zip(profile.legs, section.flats, strict=True), 1):
        a, b = view.at(flat[0]), view.at(flat[1])
        words = f"{number}: {shop_length(leg.length_in)}"
        _leg_label(drawing, a, b, words, middle, taken)
    _edge_words(drawing, view, section.points)
    return drawing.svg()


def _section_words(profile: Profile) -> str:
    legs = ", ".join(f"{leg.name or 'leg'} {tape(leg.length_in)}" for leg in profile.legs)
    return f"Section of {profile.id} from its start edge: {legs}"


def _leg_label(
    drawing: Drawing, a: Point, b: Point, words: str, middle: Point,
    taken: list[tuple[float, float, float, float]],
) -> None:  # fmt: skip
    """The number and length of a leg beside it, away from the middle, clear of other labels."""
    wide = text_width(words, LOOK.small)
    long = math.dist(a, b) or 1.0
    nx, ny = (b[1] - a[1]) / long, -(b[0] - a[0]) / long
    c = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    if nx * (c[0] - middle[0]) + ny * (c[1] - middle[1]) < 0:
        nx, ny = -nx, -ny
    for off, side in LABEL_TRIES:
        x = c[0] + side * nx * (off + (wide / 2 + 2 if abs(nx) > SIDEWAYS else 0.0))
        y = c[1] + side * ny * off + 4
        x = min(max(x, wide / 2 + 4), WIDE - wide / 2 - 4)
        box = (x - wide / 2 - 2, y - 11, x + wide / 2 + 2, y + 3)
        if box[1] > 2 and box[3] < drawing.height - 22 and not any(_meet(box, t) for t in taken):
            break
    taken.append(box)
    if off > LABEL_TRIES[0][0]:
        foot = (x, box[3] if box[3] < c[1] else box[1])
        drawing.line(c, foot, **LOOK.leader.attributes())
    drawing.text((x, y), words, LOOK.small, text_anchor="middle", fill=LOOK.ink)


def _box_of(points: Sequence[Point]) -> tuple[float, float, float, float]:
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs) - 3, min(ys) - 3, max(xs) + 3, max(ys) + 3


def _meet(a: tuple[float, float, float, float], b: tuple[float, float, float, float]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


def _edge_words(drawing: Drawing, view: _View, points: Sequence[Point]) -> None:
    """A ring at the start edge."""
    drawing.circle(view.at(points[0]), 3.6, fill=LOOK.paper, stroke=LOOK.ink, stroke_width=1.3)
    words = "ring: start edge    dots: painted side"
    drawing.text((EDGE, drawing.height - 8), words, LOOK.small, fill=LOOK.ink)


def _paint(
    drawing: Drawing, points: Sequence[Point], *, left: bool, window: BaseGeometry | None = None
) -> None:
    """Dots along the painted side of a line, inside a window; left as it is seen with y up."""
    line = LineString(points)
    line = line if window is None else line.intersection(window)
    if line.length < 1 or not isinstance(line, LineString):
        return
    beside = line.offset_curve(PAINT_OFF if not left else -PAINT_OFF, join_style="mitre")
    drawing.shape(
        beside, fill="none", stroke=LOOK.ink, stroke_width=1.5, stroke_dasharray="0.1 4.5"
    )


def steps_drawing(pictures: Sequence[StepPicture], *, name: str, title: str) -> str:
    """The metal in the brake, a small picture for each step; the operator stands at the right."""
    rows = math.ceil(len(pictures) / PICTURES_A_ROW)
    drawing = Drawing(
        WIDE, rows * PICTURE_HIGH + 26, title=title, name=name,
        about=f"{len(pictures)} steps at the brake, seen from its end, operator at the right",
    )  # fmt: skip
    wide = WIDE / PICTURES_A_ROW
    for k, picture in enumerate(pictures):
        x, y = k % PICTURES_A_ROW * wide, k // PICTURES_A_ROW * PICTURE_HIGH
        _step(drawing, picture, (x + 4, y + 4, x + wide - 4, y + PICTURE_HIGH - 6))
    words = "Seen from the end of the brake. Dots: painted side. Broken line: before the bend."
    drawing.text((6, drawing.height - 9), words, LOOK.small, fill=LOOK.ink)
    return drawing.svg()


def _step(drawing: Drawing, picture: StepPicture, box: tuple[float, float, float, float]) -> None:
    """One step in its frame: brake grey, metal black."""
    x0, y0, x1, y1 = box
    low, high = _extent(picture)
    head = HEAD_HIGH
    scale = min((x1 - x0 - 8) / (high[0] - low[0]), (y1 - y0 - head - 6) / (high[1] - low[1]))
    middle = (low[0] + high[0]) / 2, (low[1] + high[1]) / 2
    view = _View(scale, (x0 + x1) / 2 - scale * middle[0],
                 (y0 + head + y1) / 2 + scale * middle[1])  # fmt: skip
    window = shapely.box(x0 + 2, y0 + head, x1 - 2, y1 - 2)
    drawing.rect(box, fill=LOOK.paper, stroke=LOOK.grey, stroke_width=0.6)
    for solid, fill in (
        (picture.bed, "#e4e4e0"),
        (picture.bar, "#c9c9c4"),
        (picture.leaf, "#e4e4e0"),
    ):
        shape = Polygon(view.all(solid)).buffer(0).intersection(window)
        drawing.shape(shape, fill=fill, stroke=LOOK.grey, stroke_width=0.7)
    up = picture.step.finish_up
    _metal(drawing, view.all(picture.before), window, dashes="3 2.6")
    for points, left in ((picture.held, not up), (picture.after, up)):
        placed = view.all(points)
        _metal(drawing, placed, window)
        _paint(drawing, placed, left=left, window=window)
    first, second = _step_heads(picture.step)
    drawing.text((x0 + 4, y0 + 14), first, LOOK.small, font_weight="bold", fill=LOOK.ink)
    drawing.text((x0 + 4, y0 + 28), second, LOOK.small, fill=LOOK.ink)


def _step_heads(step: BendStep) -> tuple[str, str]:
    """What is done, and how the piece lies: what the man at the brake reads over the picture."""
    moves = "turn over; " if step.flip else ""
    moves += "end for end; " if step.spin else ""
    only = " and leave" if step.stays_open else ""
    up = "painted up" if step.finish_up else "back up"
    return (
        f"{step.number}: {moves}bend {step.bend}, set {step.set_deg:.4g}\u00b0{only}",
        f"{shop_length(step.flange_in)} to the {step.in_front.value} edge, {up}",
    )


def _metal(
    drawing: Drawing, points: Sequence[Point], window: BaseGeometry, dashes: str | None = None
) -> None:
    line = LineString(points).intersection(window)
    drawing.shape(
        line, fill="none", stroke=LOOK.ink, stroke_width=0.9 if dashes else 2.2,
        stroke_dasharray=dashes,
    )  # fmt: skip


def _extent(picture: StepPicture) -> tuple[Point, Point]:
    """The part of the brake that a picture shows: the metal and at least what is near the hinge."""
    held = picture.held if len(picture.held) > 2 else [(max(picture.held[-1][0], -HELD_IN), 0.0)]
    points = [*held, *picture.before, *picture.after, *picture.bar, *picture.leaf]
    half = LEAST_VIEW_IN / 2
    xs = [-half, half, *(x for x, _ in points)]
    ys = [-half / 2, half / 2, *(y for _, y in points)]
    return (min(xs) - 0.2, min(ys) - 0.2), (max(xs) + 0.2, max(ys) + 0.2)
