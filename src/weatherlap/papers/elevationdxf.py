"""A face's elevation as a DXF file: what is seen of each piece, and where the findings are."""

from __future__ import annotations

from collections.abc import Sequence

from ezdxf.layouts.layout import Modelspace
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner
from weatherlap.drawings.stackview import stack_view
from weatherlap.papers.dxf import MARKS, drawing_with, write_text, written_drawing
from weatherlap.water.findings import Finding

FACE, PIECES, COVERED, FINDINGS = "FACE", "PIECES", "COVERED", "FINDINGS"
RING_IN = 1.5
TALL_IN = 40.0
"""Letters stand as on a pattern so tall: 1 in. [in]"""


def elevation_dxf(
    corner: Corner, face: int, findings: Sequence[Finding] = (), *, title: str
) -> bytes:
    """One face seen square on, from its own left lower corner, in inches.

    Outlines of what is seen of each piece are closed; edges that others cover are dashed; each
    piece's name and each finding's ringed letter stand at their place.
    """
    document = drawing_with(
        (FACE, 8, "CONTINUOUS"), (PIECES, 7, "CONTINUOUS"), (COVERED, 8, "DASHED"),
        (FINDINGS, 1, "CONTINUOUS"), (MARKS, 8, "CONTINUOUS"),
    )  # fmt: skip
    space = document.modelspace()
    outline = corner.faces[face].outline
    _rings(space, outline, FACE)
    for panel in stack_view(corner, face).panels:
        _rings(space, panel.seen, PIECES)
        _lines(space, panel.covered_edges)
        if not panel.seen.is_empty:
            at = panel.seen.representative_point()
            write_text(space, corner.pieces[panel.piece].title, (at.x, at.y), TALL_IN)
    for finding in findings:
        if finding.face == face:
            u, v = finding.at
            space.add_circle((u, v), RING_IN, dxfattribs={"layer": FINDINGS})
            write_text(space, finding.letter, (u - 0.5, v - 0.5), TALL_IN)
    u0, v0, _, _ = outline.bounds
    write_text(space, title, (u0, v0 - 2.0), TALL_IN)
    return written_drawing(document)


def _rings(space: Modelspace, shape: BaseGeometry, layer: str) -> None:
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type != "Polygon" or part.is_empty:
            continue
        for ring in (part.exterior, *part.interiors):
            space.add_lwpolyline(list(ring.coords)[:-1], close=True, dxfattribs={"layer": layer})


def _lines(space: Modelspace, shape: BaseGeometry) -> None:
    for part in getattr(shape, "geoms", [shape]):
        if part.geom_type in ("LineString", "LinearRing") and not part.is_empty:
            space.add_lwpolyline(list(part.coords), dxfattribs={"layer": COVERED})
