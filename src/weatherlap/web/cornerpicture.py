"""A small picture of a corner in space, so that somebody can tell which one is theirs."""

from __future__ import annotations

import numpy as np
from shapely import Polygon

from weatherlap.building.corner import Corner
from weatherlap.drawings.behind import Sheet3, back_to_front
from weatherlap.drawings.exploded import View, view_of
from weatherlap.drawings.look import LOOK, fill_of, hatch_of
from weatherlap.drawings.solid import Plate, plates
from weatherlap.drawings.svg import Drawing, Point, rings_text

WIDTH, HEIGHT, RIM = 320.0, 240.0, 10.0


def corner_picture(corner: Corner, *, title: str, name: str) -> str:
    """The corner seen from outside and above, its pieces where they are, as SVG.

    Parameters
    ----------
    title : str
        What it is called for those who cannot see it.
    name : str
        Begins every id inside, so that several can stand on one page.
    """
    view = view_of(corner)
    about = "Seen from outside and above."
    drawing = Drawing(WIDTH, HEIGHT, title=title, about=about, name=name)
    floors = [
        Plate(-1, f.index, (tuple(f.frame.to_space(*p) for p in _ring(f.outline)),),
              f.frame.normal, -1)
        for f in corner.faces
    ]  # fmt: skip
    shown = [*floors, *plates(corner)]
    flat = [[[view.flat(p) for p in ring] for ring in plate.rings] for plate in shown]
    scale, left, top = _fit([p for rings in flat for ring in rings for p in ring])
    for k in _order(shown, view, flat):
        rings = [[(left + x * scale, top + y * scale) for x, y in ring] for ring in flat[k]]
        shape = Polygon(rings[0], rings[1:])
        piece = shown[k].piece
        fill = LOOK.pale if piece < 0 else fill_of(drawing, hatch_of(corner.pieces[piece]))
        drawing.add(
            "path",
            d=rings_text(shape),
            fill=fill,
            fill_rule="evenodd",
            stroke=LOOK.ink,
            stroke_width=0.5 if piece < 0 else 0.8,
        )
    return drawing.svg()


def _ring(outline: Polygon) -> list[Point]:
    return [(u, v) for u, v in outline.exterior.coords[:-1]]


def _fit(points: list[Point]) -> tuple[float, float, float]:
    """Scale and move that put all points on the picture. [drawing units]"""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    wide, high = max(xs) - min(xs) or 1.0, max(ys) - min(ys) or 1.0
    scale = min((WIDTH - 2 * RIM) / wide, (HEIGHT - 2 * RIM) / high)
    left = (WIDTH - wide * scale) / 2 - min(xs) * scale
    return scale, left, (HEIGHT - high * scale) / 2 - min(ys) * scale


def _order(shown: list[Plate], view: View, flat: list[list[list[Point]]]) -> list[int]:
    """From the back to the front."""
    sheets = [Sheet3(p.rings[0], p.normal, p.rank) for p in shown]
    outlines = [np.array(rings[0]) for rings in flat]
    return back_to_front(sheets, toward=view.toward, flat=outlines)
