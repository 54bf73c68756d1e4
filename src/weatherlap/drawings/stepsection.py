"""The small section of a step: the layers at the piece that is laid, the inside on the left."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from xml.sax.saxutils import quoteattr

from shapely import LineString

from weatherlap.building.corner import Corner
from weatherlap.order.takedown import main_face

WIDE, HIGH = 200.0, 120.0
_TOP, _FOOT = 8.0, 104.0
_PAST_IN = 8.0
"""How far the drawing goes past the piece. [in]"""
_MOST_COLUMN = 22.0
_THICK = 6.0


@dataclass(frozen=True, slots=True)
class _Layer:
    """A stretch of a piece on the cut, and its place from the inside. [in]"""

    piece: int
    low: float
    high: float


def step_section(
    corner: Corner, piece: int, *, there: Collection[int], numbers: Mapping[int, int]
) -> str:
    """The layers on an upright line through a piece as SVG; empty for one without a face.

    Parameters
    ----------
    there : collection of int
        The pieces that stand there when it is laid.
    numbers : mapping
        Numbers that are written at the pieces.
    """
    face = main_face(corner, piece)
    if face < 0:
        return ""
    own = [corner.panels[p].polygon for p in corner.pieces[piece].panels
           if corner.panels[p].face == face]  # fmt: skip
    at = max(own, key=lambda polygon: polygon.area).representative_point().x
    _, foot, _, top = corner.faces[face].outline.bounds
    line = LineString([(at, foot - 1), (at, top + 1)])
    layers = _cut(corner, face, line, {*there, piece})
    mine = [k for k in layers if k.piece == piece]
    low, high = min(k.low for k in mine) - _PAST_IN, max(k.high for k in mine) + _PAST_IN
    seen = [k for k in layers if k.high > low and k.low < high]
    return _drawn(corner, seen, piece, (low, high), numbers)


def _cut(corner: Corner, face: int, line: LineString, there: Collection[int]) -> list[_Layer]:
    found = []
    for p in corner.panels_on[face]:
        panel = corner.panels[p]
        if panel.piece in there:
            crossed = panel.polygon.intersection(line)
            for part in getattr(crossed, "geoms", [crossed]):
                if part.length > 0:
                    _, low, _, high = part.bounds
                    found.append(_Layer(panel.piece, low, high))
    return found


def _columns(corner: Corner, layers: list[_Layer]) -> list[int]:
    """How many layers lie inside each one, one behind the other."""

    def inside(k: _Layer) -> list[int]:
        return [
            n
            for n, j in enumerate(layers)
            if j.piece != k.piece
            and min(j.high, k.high) - max(j.low, k.low) > 1 / 16
            and corner.outside(k.piece, j.piece)
        ]

    behind = [inside(k) for k in layers]
    columns = [0] * len(layers)
    for _ in layers:
        columns = [1 + max((columns[n] for n in rows), default=-1) for rows in behind]
    return columns


def _drawn(
    corner: Corner,
    layers: list[_Layer],
    piece: int,
    window: tuple[float, float],
    numbers: Mapping[int, int],
) -> str:
    columns = _columns(corner, layers)
    step = min(_MOST_COLUMN, (WIDE - 40.0) / (1 + max(columns)))
    start = 0.5 * (WIDE - step * (1 + max(columns)))
    scale = (_FOOT - _TOP) / (window[1] - window[0])
    title = quoteattr(f"Section at the {corner.pieces[piece].title}")
    rows = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE:g} {HIGH:g}" '
        f'width="{2 * WIDE:g}" height="{2 * HIGH:g}" '
        f'font-family="DejaVu Sans" aria-label={title}>'
    ]
    for layer, column in zip(layers, columns, strict=True):
        x = start + step * column
        y0 = _TOP + scale * (window[1] - min(layer.high, window[1]))
        y1 = _TOP + scale * (window[1] - max(layer.low, window[0]))
        fill = "#111111" if layer.piece == piece else "#ffffff"
        rows.append(
            f'<rect x="{x:.2f}" y="{y0:.2f}" width="{min(_THICK, 0.6 * step):.2f}" '
            f'height="{y1 - y0:.2f}" fill="{fill}" stroke="#111111" stroke-width="0.8"/>'
        )
        if layer.piece in numbers:
            rows.append(
                f'<text x="{x + 7:.2f}" y="{(y0 + y1) / 2 + 2.5:.2f}" font-size="7">'
                f"{numbers[layer.piece]}</text>"
            )
    rows.append(f'<text x="2" y="{HIGH - 3:g}" font-size="7">inside</text>')
    rows.append(f'<text x="{WIDE - 28:g}" y="{HIGH - 3:g}" font-size="7">outside</text>')
    return "".join([*rows, "</svg>"])
