"""Flat patterns and cut shapes as DXF files: each kind of line on its own layer, in inches."""

from __future__ import annotations

import io
from collections.abc import Sequence

from ezdxf import units
from ezdxf._options import options
from ezdxf.document import Drawing
from ezdxf.filemanagement import new
from ezdxf.layouts.layout import Modelspace

from weatherlap.metal.flat import FlatPattern
from weatherlap.metal.model import Toward
from weatherlap.takeoff.cutshapes import CutShape

CUT, BEND_UP, BEND_DOWN, MARKS = "CUT", "BEND_UP", "BEND_DOWN", "MARKS"
LETTER_HIGH_IN = 0.25
LEAST_LETTER_IN = 0.08


def flat_dxf(patterns: Sequence[FlatPattern], *, title: str) -> bytes:
    """Flat patterns one over the other in one drawing, painted side up, in inches.

    Bends up are bends toward the painted side. The outline is closed; each bend line runs from
    edge to edge with its angle beside it.
    """
    document = drawing_with(
        (CUT, 7, "CONTINUOUS"), (BEND_UP, 1, "CONTINUOUS"), (BEND_DOWN, 5, "DASHED"),
        (MARKS, 8, "CONTINUOUS"),
    )  # fmt: skip
    space = document.modelspace()
    foot = 0.0
    for pattern in patterns:
        low = min(y for _, y in pattern.outline)
        shift = foot - low
        ring = [(x, y + shift) for x, y in pattern.outline]
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": CUT})
        for line in pattern.bend_lines:
            up = line.toward is Toward.FINISH
            layer = BEND_UP if up else BEND_DOWN
            start = line.start[0], line.start[1] + shift
            end = line.end[0], line.end[1] + shift
            space.add_line(start, end, dxfattribs={"layer": layer})
            words = f"{'UP' if up else 'DOWN'} {line.angle_deg:.4g}"
            write_text(space, words, start, pattern.blank_in[1])
        about = f"{title}: {pattern.profile_id}"
        write_text(space, about, (0.0, foot - 2 * LETTER_HIGH_IN), pattern.blank_in[1])
        foot += pattern.blank_in[1] + 1.5
    return written_drawing(document)


def shapes_dxf(shapes: Sequence[CutShape], *, title: str) -> bytes:
    """Shapes of a cut list one over the other in one drawing, seen from outside, in inches."""
    document = drawing_with((CUT, 7, "CONTINUOUS"), (MARKS, 8, "CONTINUOUS"))
    space = document.modelspace()
    foot = 0.0
    for shape in shapes:
        ring = [(x, y + foot) for x, y in shape.outline]
        space.add_lwpolyline(ring, close=True, dxfattribs={"layer": CUT})
        tall = shape.size_in[1]
        about = f"{title}, shape {shape.number}: {shape.count} x {shape.title}"
        write_text(space, about, (0.0, foot - 2 * LETTER_HIGH_IN), tall)
        foot += tall + 1.5
    return written_drawing(document)


def drawing_with(*layers: tuple[str, int, str]) -> Drawing:
    """An empty drawing in inches with layers of a name, a colour and a kind of line."""
    options.write_fixed_meta_data_for_testing = True  # else each file holds the moment it was made
    document = new("R2000", units=units.IN)
    for name, colour, kind in layers:
        if kind not in document.linetypes:
            document.linetypes.add(kind, [0.6, 0.4, -0.2], description="dashed")
        document.layers.add(name, color=colour, linetype=kind)
    return document


def write_text(space: Modelspace, words: str, at: tuple[float, float], tall_in: float) -> None:
    """Words at a place, as high as suits what stands so tall. [in]"""
    high = min(LETTER_HIGH_IN, max(LEAST_LETTER_IN, tall_in / 40))
    space.add_text(
        words, height=high, dxfattribs={"layer": MARKS, "insert": (at[0] + 0.1, at[1] + 0.03)}
    )


def written_drawing(document: Drawing) -> bytes:
    """The text of the file."""
    out = io.StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")
