"""The board: one face of a corner as a drawing that can be touched.

The same ink as the elevation, at a known scale, with the places of pieces, laps and letters
beside it as numbers, so that a page knows what lies under a thumb.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

import shapely

from weatherlap.building.corner import Corner, Face
from weatherlap.building.laps import LapKind, laps
from weatherlap.drawings.facemarks import draw_folds, draw_trough
from weatherlap.drawings.facepieces import draw_laps, draw_panels
from weatherlap.drawings.facewater import draw_runs, runs_on
from weatherlap.drawings.look import LOOK
from weatherlap.drawings.marks import damage_mark, meter_mark, ring_radius
from weatherlap.drawings.placing import Placer
from weatherlap.drawings.rings import draw_rings
from weatherlap.drawings.shown import Shown, view_words
from weatherlap.drawings.stackview import OnPage, StackView, stack_view
from weatherlap.drawings.svg import Drawing
from weatherlap.errors import InputError
from weatherlap.job.model import Sheet
from weatherlap.run.worked import Worked
from weatherlap.water.hops import Cause

Table = dict[str, Any]
WIDTH, HEIGHT, AIR = 480.0, 560.0, 26.0


@dataclass(frozen=True, slots=True)
class Board:
    """A drawing of a face and what can be touched on it. [in]"""

    svg: str
    touch: Table


def face_of(corner: Corner, face_id: str) -> Face:
    """The face of an id.

    Raises
    ------
    InputError
        If there is none.
    """
    face = corner.face_named.get(face_id)
    if face is None:
        known = ", ".join(f.id for f in corner.faces)
        raise InputError("face", f"there is no face {face_id!r}", f"one of {known}")
    return face


def board(shown: Shown, face_id: str, *, without: Collection[str] = (), name: str = "b") -> Board:
    """One face to look at and to touch; pieces in ``without`` are lifted off.

    Raises
    ------
    InputError
        If the corner has no such face.
    """
    corner = shown.corner
    face = face_of(corner, face_id)
    off = {p.index for p in corner.pieces if p.id in without}
    view = stack_view(corner, face.index, without=off)
    on, height = _placed(face)
    about = f"{shown.title}. {view_words(face)}."
    drawing = Drawing(WIDTH, height, title=face.title, about=about, name=f"{name}-{face.id}")
    rings = _draw(drawing, shown, face, view, on)
    touch = {
        "face": face.id,
        "title": face.title,
        "view": view_words(face),
        "width": WIDTH,
        "height": height,
        "scale": on.units_per_in,
        "left": on.left,
        "bottom": on.bottom,
        "u_min": on.u_min,
        "v_min": on.v_min,
        "box": list(face.outline.bounds),
        "panels": _panels(corner, view),
        "laps": _laps(corner, face, off),
        "rings": rings,
        "readings": _numbered(shown.readings, face),
        "damages": _numbered(shown.damages, face),
    }
    return Board(drawing.svg(), touch)


def _placed(face: Face) -> tuple[OnPage, float]:
    u0, v0, u1, v1 = face.outline.bounds
    scale = min((WIDTH - 2 * AIR) / (u1 - u0), (HEIGHT - 2 * AIR) / (v1 - v0))
    height = (v1 - v0) * scale + 2 * AIR
    left = 0.5 * (WIDTH - (u1 - u0) * scale)
    return OnPage(scale, left, height - AIR, u0, v0), height


def _draw(drawing: Drawing, shown: Shown, face: Face, view: StackView, on: OnPage) -> list[Table]:
    """Pieces, laps, water and marks, from the back to the front; gives the ringed letters."""
    corner = shown.corner
    outline = on.shape(face.outline)
    drawing.shape(outline, fill=LOOK.pale)
    draw_panels(drawing, corner, view, on)
    wrong = {
        (f.upper, f.lower)
        for f in shown.findings
        if f.cause is Cause.WRONG_WAY and f.upper is not None and f.lower is not None
    }
    draw_laps(drawing, corner, view, on, wrong_pairs=wrong)
    drawing.shape(outline, fill="none", **LOOK.outline.attributes())
    for panel in view.panels:
        for trough in corner.panels[panel.panel].troughs:
            draw_trough(drawing, trough, on)
    placer = Placer((4, 4, WIDTH - 4, drawing.height - 4))
    draw_runs(drawing, runs_on(face.index, shown.trails), on, placer)
    draw_folds(drawing, corner, face, on, placer)
    for damage in (d for d in shown.damages if d.face == face.id):
        damage_mark(drawing, on.point(*damage.at))
    for reading in (r for r in shown.readings if r.face == face.id):
        meter_mark(drawing, on.point(*reading.at), reading.percent)
    return _rings(drawing, shown, face, on, placer)


def _rings(drawing: Drawing, shown: Shown, face: Face, on: OnPage, placer: Placer) -> list[Table]:
    rows, told = [], []
    for finding in shown.findings:
        if finding.face != face.index:
            continue
        at, radius = on.point(*finding.at), ring_radius(finding.letter)
        ring = placer.ring(at, radius, least=1.7 * radius)
        rows.append((finding, at, ring))
        x, y = ring if ring is not None else at
        told.append({"letter": finding.letter, "x": x, "y": y, "at": list(finding.at)})
    draw_rings(drawing, rows)
    return told


def _panels(corner: Corner, view: StackView) -> list[Table]:
    """What is seen of each panel, innermost first: outlines to touch, and its box. [in]"""
    rows = []
    for panel in view.panels:
        shape = corner.panels[panel.panel].polygon
        rows.append(
            {
                "piece": corner.pieces[panel.piece].id,
                "box": [round(x, 4) for x in shape.bounds],
                "rings": _outlines(panel.seen),
            }
        )
    return rows


def _outlines(shape: shapely.geometry.base.BaseGeometry) -> list[list[list[float]]]:
    parts = [p for p in getattr(shape, "geoms", [shape]) if p.geom_type == "Polygon"]
    return [
        [[round(x, 3), round(y, 3)] for x, y in ring.coords[:-1]]
        for part in parts
        if not part.is_empty
        for ring in (part.exterior, *part.interiors)
    ]


def _laps(corner: Corner, face: Face, off: Collection[int]) -> list[Table]:
    """Laps on a face that can be turned round, the small ones first."""
    stops = {Sheet.SHEDS, Sheet.RESISTS}
    rows = []
    for lap in laps(corner, face=face.index):
        outer, inner = corner.pieces[lap.outer], corner.pieces[lap.inner]
        hidden = lap.outer in off or lap.inner in off
        if lap.face != face.index or hidden or not {outer.sheet, inner.sheet} <= stops:
            continue
        if lap.kind is LapKind.COVER:
            continue
        rows.append(
            {
                "outer": outer.id,
                "inner": inner.id,
                "upper": corner.pieces[lap.upper].id,
                "kind": lap.kind.value,
                "right_way": lap.right_way,
                "at": list(lap.at),
                "height": lap.height_in,
                "length": lap.length_in,
            }
        )
    return sorted(rows, key=lambda r: r["height"] * r["length"])


def _numbered(rows: Collection[Any], face: Face) -> list[Table]:
    return [
        {"number": n, "at": list(row.at)} | row.model_dump(mode="json", exclude={"at", "face"})
        for n, row in enumerate(rows)
        if row.face == face.id
    ]


def piece_tables(worked: Worked) -> list[Table]:
    """Every piece with what can be done to it, in stack order."""
    corner = worked.corner
    return [
        {
            "id": p.id,
            "title": p.title,
            "sheet": p.sheet.value,
            "drip": p.drip,
            "sealed_top": p.sealed_top,
            "sealed_bottom": p.sealed_bottom,
            "keep": p.record.keep,
            "faces": list(dict.fromkeys(corner.faces[corner.panels[k].face].id for k in p.panels)),
            "rect": [panel.rect is not None for panel in p.record.on],
        }
        for p in corner.pieces
    ]
