"""Thumbs: a small picture of a corner, without words, for lists."""

from __future__ import annotations

from weatherlap.building.corner import Corner, Face
from weatherlap.drawings.facepieces import draw_panels
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.stackview import OnPage, stack_view
from weatherlap.drawings.svg import Drawing

WIDTH = 160.0
HEIGHT = 120.0
_RIM = 6.0


def busiest_face(corner: Corner) -> Face:
    """The face with the most pieces on it; of several, the widest and first one."""
    return max(
        corner.faces,
        key=lambda f: (len(corner.panels_on[f.index]), f.outline.area, -f.index),
    )


def thumb(corner: Corner, *, title: str = "", width: float = WIDTH, height: float = HEIGHT) -> str:
    """The busiest face of a corner as a small SVG.

    Parameters
    ----------
    title : str
        What the picture is called for those who cannot see it.
    width, height : float
        Its size. [drawing units]
    """
    face = busiest_face(corner)
    words = title or face.title
    about = f"A small picture of the {face.title}."
    drawing = Drawing(width, height, title=words, about=about, name=f"thumb-{face.id}")
    u0, v0, u1, v1 = face.outline.bounds
    scale = min((width - 2 * _RIM) / (u1 - u0), (height - 2 * _RIM) / (v1 - v0))
    left = 0.5 * (width - (u1 - u0) * scale)
    bottom = 0.5 * (height + (v1 - v0) * scale)
    on = OnPage(scale, left, bottom, u0, v0)
    outline = on.shape(face.outline)
    drawing.shape(outline, fill=LOOK.pale)
    draw_panels(drawing, corner, stack_view(corner, face.index), on)
    drawing.shape(outline, fill="none", **LOOK.outline.attributes())
    return drawing.svg()
