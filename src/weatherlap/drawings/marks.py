"""Marks: ringed letters, ends of trails, arrows, scale bar, north, and the key to them."""

from __future__ import annotations

import math

from weatherlap.drawings.look import LOOK, Look
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.units import tape
from weatherlap.water.hops import EndKind

END_SIZE = 6.5
"""Half the width of the mark at the end of a trail. [drawing units]"""


def ring_radius(letter: str, look: Look = LOOK) -> float:
    """The radius of a ringed letter: wider for AA and on. [drawing units]"""
    return look.ring + 3.0 * max(len(letter) - 1, 0)


def ringed(
    drawing: Drawing, at: Point, letter: str, *, first: bool = True, mark: bool = True
) -> None:
    """A ringed letter; a finding of the second layer has a dashed ring.

    ``mark`` names the finding in the drawing's text, so that a page can link to it.
    """
    drawing.circle(
        at,
        ring_radius(letter),
        fill=LOOK.paper,
        stroke=LOOK.alarm,
        stroke_width=1.8,
        stroke_dasharray=None if first else "3.4 2",
        data_finding=letter if mark else None,
    )
    drawing.text(
        (at[0], at[1] + 0.36 * LOOK.plain),
        letter,
        LOOK.plain,
        font_weight="bold",
        text_anchor="middle",
        fill=LOOK.ink,
    )


def pointer(drawing: Drawing, place: Point, ring: Point, radius: float) -> None:
    """The line from a ringed letter to the place it speaks of, with a dot there."""
    dx, dy = place[0] - ring[0], place[1] - ring[1]
    away = math.hypot(dx, dy)
    if away > radius:
        start = (ring[0] + dx / away * radius, ring[1] + dy / away * radius)
        drawing.line(start, place, stroke=LOOK.alarm, stroke_width=1.2)
    drawing.circle(place, 2.2, fill=LOOK.alarm, stroke=LOOK.paper, stroke_width=0.6)


def arrow_head(drawing: Drawing, tip: Point, towards: Point, *, size: float, ink: str) -> None:
    """A filled arrow head with its tip at a place, pointing the way of a vector."""
    long = math.hypot(*towards)
    if long == 0:
        return
    x, y = towards[0] / long, towards[1] / long
    back = (tip[0] - x * size, tip[1] - y * size)
    half = 0.42 * size
    drawing.polygon(
        [tip, (back[0] - y * half, back[1] + x * half), (back[0] + y * half, back[1] - x * half)],
        fill=ink,
        stroke="none",
    )


_GLYPHS: dict[EndKind, str] = {
    EndKind.CLEAR: "M0 {r}L-{r} -{h}H{r}Z",
    EndKind.GUTTER: "M-{r} -{h}V{h}H{r}V-{h}",
    EndKind.SOAK: "M0 -{r}C{h} -{q} {k} 0 {k} {q}A{k} {k} 0 0 1 -{k} {q}C-{k} 0 -{h} -{q} 0 -{r}Z",
    EndKind.CAVITY: "M0 -{r}L{r} 0L0 {r}L-{r} 0Z",
    EndKind.HELD: "M-{r} -{h}H{r}V{h}H-{r}ZM-{r} -{h}L{r} {h}M-{r} {h}L{r} -{h}",
    EndKind.STANDS: "M-{r} -{q}Q-{h} -{r} 0 -{q}T{r} -{q}M-{r} {h}Q-{h} 0 0 {h}T{r} {h}",
    EndKind.CLING: "M{r} -{r}V0A{h} {h} 0 0 1 0 0L0 -{q}M-{q} {q}L0 0L{q} {q}",
}
_FILLED = {EndKind.SOAK}
_OPEN = {EndKind.GUTTER, EndKind.STANDS, EndKind.CLING}


def end_mark(drawing: Drawing, at: Point, kind: EndKind, *, size: float = END_SIZE) -> None:
    """The mark of one way that a trail ends, centred on a place."""
    sizes = {"r": size, "h": 0.55 * size, "q": 0.25 * size, "k": 0.72 * size}
    body = _GLYPHS[kind].format(**{name: f"{value:.2f}" for name, value in sizes.items()})
    fill = LOOK.water if kind in _FILLED else "none" if kind in _OPEN else LOOK.paper
    place = f"translate({at[0]:.2f} {at[1]:.2f})"
    if kind in _OPEN:
        drawing.add(
            "path", d=body, transform=place, fill="none", stroke=LOOK.paper, stroke_width=4.2
        )
    drawing.add(
        "path",
        d=body,
        transform=place,
        fill=fill,
        stroke=LOOK.water if kind in _FILLED else LOOK.ink,
        stroke_width=1.5,
        data_end=kind.value,
    )


def meter_mark(drawing: Drawing, at: Point, percent: float | None) -> None:
    """A moisture reading: a square with the figure beside it."""
    x, y = at
    drawing.rect(
        (x - 3.5, y - 3.5, x + 3.5, y + 3.5), fill=LOOK.paper, stroke=LOOK.ink, stroke_width=1.4
    )
    drawing.line((x - 3.5, y + 3.5), (x + 3.5, y - 3.5), stroke=LOOK.ink, stroke_width=1.0)
    if percent is not None:
        haloed(drawing, (x + 6.5, y + 4.0), f"{percent:g}%", LOOK.small, font_weight="bold")


def damage_mark(drawing: Drawing, at: Point) -> None:
    """Damage that was seen: a heavy cross."""
    x, y = at
    for dx in (4.5, -4.5):
        drawing.line((x - dx, y - 4.5), (x + dx, y + 4.5), stroke=LOOK.paper, stroke_width=5.0)
    for dx in (4.5, -4.5):
        drawing.line((x - dx, y - 4.5), (x + dx, y + 4.5), stroke=LOOK.ink, stroke_width=2.4)


def haloed(drawing: Drawing, at: Point, words: str, size: float, **values: str | float) -> None:
    """Text with a rim of paper, so that it reads over hatches."""
    drawing.text(
        at,
        words,
        size,
        **{
            "fill": LOOK.ink,
            "stroke": LOOK.paper,
            "stroke_width": 3.0,
            "paint_order": "stroke",
            **values,
        },
    )


def scale_bar(drawing: Drawing, at: Point, units_per_in: float, *, room: float) -> None:
    """A bar of a round length that the drawing's scale gives, with the length on it."""
    steps = (1, 2, 3, 6, 12, 24, 36, 48, 72, 96, 120, 240, 480, 1200)
    fitting = [s for s in steps if s * units_per_in <= room] or [1]
    inches = fitting[-1]
    long = inches * units_per_in
    x, y = at
    for k in range(4):
        box = (x + k * long / 4, y - 4.0, x + (k + 1) * long / 4, y)
        drawing.rect(box, fill=LOOK.paper if k % 2 else LOOK.ink, stroke=LOOK.ink, stroke_width=0.6)
    drawing.text((x, y + 11.5), "0", LOOK.small, text_anchor="middle", fill=LOOK.ink)
    drawing.text(
        (x + long, y + 11.5), tape(float(inches)), LOOK.small, text_anchor="middle", fill=LOOK.ink
    )


def north_arrow(drawing: Drawing, at: Point, turn_deg: float) -> None:
    """An arrow that points north on a drawing seen from above, turned from up by an angle. [deg]"""
    angle = math.radians(turn_deg)
    x, y = math.sin(angle), -math.cos(angle)
    tip, tail = (at[0] + 12 * x, at[1] + 12 * y), (at[0] - 12 * x, at[1] - 12 * y)
    drawing.line(tail, tip, stroke=LOOK.ink, stroke_width=1.2)
    arrow_head(drawing, tip, (x, y), size=8.0, ink=LOOK.ink)
    place = (at[0] + 19 * x, at[1] + 19 * y + 4)
    drawing.text(place, "N", LOOK.small, text_anchor="middle", font_weight="bold", fill=LOOK.ink)
