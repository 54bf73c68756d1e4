"""Sketches of joints and supports: what sits on what, how long it bears, what fastens it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.drawings.lettering import wrapped
from weatherlap.drawings.look import LOOK, Hatch, Look, fill_of
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.structure.connections import FastenerSet, Fastening
from weatherlap.structure.fasteners import Manner
from weatherlap.structure.model import Framing, Joint, Member, Support
from weatherlap.structure.sections import whole_section
from weatherlap.units import tape

ACROSS = 2
TALL = 118.0
UNITS_PER_IN = 3.4
WORD_ROWS = 7
MOST_NAILS = 6


@dataclass(frozen=True, slots=True)
class Sketch:
    """One joint to sketch: its name, the link, how it is fastened, what its checks say."""

    name: str
    link: Joint | Support
    fastening: Fastening | None
    says: str
    on: str = ""


def joint_sketches(framing: Framing, sketches: Sequence[Sketch], look: Look = LOOK) -> str:
    """All sketches on one drawing, two in a row."""
    about = "What sits on what, how long it bears, what fastens it."
    drawing = Drawing(look.width, 0.0, title="Joints and supports", about=about, name="joints")
    cell = (look.width - 2 * look.margin) / ACROSS
    tall = TALL + WORD_ROWS * (look.small + 2)
    for k, sketch in enumerate(sketches):
        corner = (look.margin + (k % ACROSS) * cell, look.margin + (k // ACROSS) * tall)
        _cell(drawing, look, corner, cell - 8, framing, sketch)
    drawing.height = look.margin * 2 + ((len(sketches) + ACROSS - 1) // ACROSS) * tall
    return drawing.svg()


def _cell(
    drawing: Drawing, look: Look, corner: Point, wide: float, framing: Framing, sketch: Sketch
) -> None:
    """One sketch with its words below."""
    left, top = corner
    middle = (left + wide / 2, top + 62)
    upper = framing.member(sketch.link.owner)
    lower = framing.member(sketch.link.lower) if isinstance(sketch.link, Joint) else None
    gap = min(max(sketch.link.gap_in, 0.0) * 3 * UNITS_PER_IN, 8.0)
    if upper.use.upright:
        _upright(drawing, look, upper, (middle[0], middle[1] - gap), -46.0)
    else:
        _lying(drawing, look, upper, (middle[0], middle[1] - gap), wide)
    if lower is None:
        _ground(drawing, look, middle, wide)
    elif lower.use.upright:
        _upright(drawing, look, lower, middle, 40.0)
    else:
        _end_on(drawing, look, lower, middle)
    if sketch.fastening is not None:
        _fasteners(drawing, look, middle, sketch.fastening)
    _bearing(drawing, look, middle, sketch.link)
    _words(drawing, look, (left, top + TALL), wide, sketch)


def _lying(drawing: Drawing, look: Look, member: Member, foot: Point, wide: float) -> None:
    """A lying member from the side, its underside at a place."""
    deep = min(whole_section(member).depth_in * UNITS_PER_IN, 40.0)
    box = (foot[0] - wide * 0.36, foot[1] - deep, foot[0] + wide * 0.36, foot[1])
    fill = fill_of(drawing, Hatch.WOOD)
    drawing.rect(box, fill=fill, stroke=look.ink, stroke_width=1.2)


def _upright(drawing: Drawing, look: Look, member: Member, at: Point, reach: float) -> None:
    """A post or stud from its head down, or from its foot up."""
    half = whole_section(member).width_in * UNITS_PER_IN / 2
    low, high = sorted((at[1], at[1] + reach))
    fill = fill_of(drawing, Hatch.WOOD)
    drawing.rect((at[0] - half, low, at[0] + half, high), fill=fill, stroke=look.ink,
                 stroke_width=1.2)  # fmt: skip


def _end_on(drawing: Drawing, look: Look, member: Member, head: Point) -> None:
    """A beam seen from its end, ply by ply."""
    ply = member.stock.width_in * UNITS_PER_IN
    deep = min(whole_section(member).depth_in * UNITS_PER_IN, 46.0)
    left = head[0] - ply * member.stock.plies / 2
    for k in range(member.stock.plies):
        x = left + k * ply
        drawing.rect((x, head[1], x + ply, head[1] + deep), fill=look.paper, stroke=look.ink,
                     stroke_width=1.2)  # fmt: skip
        drawing.line((x, head[1]), (x + ply, head[1] + deep), stroke=look.ink, stroke_width=0.5)


def _ground(drawing: Drawing, look: Look, head: Point, wide: float) -> None:
    """What is no member: slab, pier or house wall."""
    box = (head[0] - wide * 0.3, head[1], head[0] + wide * 0.3, head[1] + 22)
    drawing.rect(box, fill=fill_of(drawing, Hatch.MASONRY), stroke=look.ink, stroke_width=1.0)


def _fasteners(drawing: Drawing, look: Look, at: Point, fastening: Fastening) -> None:
    """Nails as lines with heads; a rated part as a heavy outline over the joint."""
    for made in fastening.sets:
        for k in range(min(made.count, MOST_NAILS)):
            _nail(drawing, look, (at[0] + (k - (min(made.count, MOST_NAILS) - 1) / 2) * 7, at[1]),
                  made, is_left=k % 2 == 0)  # fmt: skip
    if fastening.part is not None:
        drawing.rect((at[0] - 15, at[1] - 12, at[0] + 15, at[1] + 12), fill="none",
                     stroke=look.ink, stroke_width=2.4)  # fmt: skip


def _nail(
    drawing: Drawing, look: Look, at: Point, made: FastenerSet, *, is_left: bool
) -> None:  # fmt: skip
    """One nail, slanted where it is toe-nailed."""
    lean = (-7.0 if is_left else 7.0) if made.manner is Manner.TOE else 0.0
    head, tip = (at[0] + lean, at[1] - 13), (at[0] - lean * 0.6, at[1] + 11)
    drawing.line(head, tip, stroke=look.ink, stroke_width=1.8)
    drawing.line((head[0] - 3, head[1]), (head[0] + 3, head[1]), stroke=look.ink, stroke_width=1.8)


def _bearing(drawing: Drawing, look: Look, at: Point, link: Joint | Support) -> None:
    """How long it bears, as a heavy line under it."""
    half = link.bearing_length_in * UNITS_PER_IN / 2
    if half > 0:
        drawing.line((at[0] - half, at[1]), (at[0] + half, at[1]), stroke=look.alarm,
                     stroke_width=2.6)  # fmt: skip


def _words(drawing: Drawing, look: Look, at: Point, wide: float, sketch: Sketch) -> None:
    """Name, bearing, fasteners, verdict."""
    link = sketch.link
    lines = [f"on {sketch.on}"] if sketch.on else []
    if link.bearing_length_in > 0:
        size = f"{tape(link.bearing_length_in)} by {tape(link.bearing_width_in)}"
        lines.append(f"bears {size}" + (f", gap {tape(link.gap_in)}" if link.gap_in > 0 else ""))
    if sketch.fastening is not None:
        lines += [
            f"{m.count} {m.fastener.name or m.fastener.kind.value}, {m.manner.value}"
            for m in sketch.fastening.sets
        ]
        if sketch.fastening.part is not None:
            lines.append(_part_words(sketch.fastening))
    else:
        lines.append("nobody knows what fastens it")
    lines.append(sketch.says)
    y = at[1] + look.small
    drawing.text((at[0], y), wrapped(sketch.name, look.small, wide, most=1)[0], look.small,
                 font_weight="bold", fill=look.ink)  # fmt: skip
    rows = [row for line in lines for row in wrapped(line, look.small, wide, most=2)]
    for row in rows[: WORD_ROWS - 2]:
        y += look.small + 2
        drawing.text((at[0], y), row, look.small, fill=look.ink)


def _part_words(fastening: Fastening) -> str:
    """A rated part with the loads that were typed."""
    part = fastening.part
    assert part is not None
    loads = (("up", part.up_lb), ("down", part.down_lb), ("side", part.side_lb))
    said = ", ".join(f"{way} {pounds:,.0f} lb" for way, pounds in loads if pounds is not None)
    return f"{part.name}: {said}" if said else part.name
