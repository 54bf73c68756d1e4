"""The corner in space with its pieces moved out, for the exploded view and for 3D on a page."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from weatherlap.building.corner import Corner, Gutter, Panel
from weatherlap.drawings.look import hatch_of
from weatherlap.drawings.naming import names
from weatherlap.drawings.shown import Shown
from weatherlap.drawings.stackview import lap_pairs
from weatherlap.shape.frames import Vector, cross
from weatherlap.water.follow import TrailLine

Ring = tuple[Vector, ...]
SPREAD_SHARE = (0.5, 0.3)
"""How far the outermost piece is moved, as a share of the size of a corner of one face, or of
several. [-]"""
STEP_SHARE = (0.11, 0.06)
"""The most that one layer is moved from the next, likewise. [-]"""


@dataclass(frozen=True, slots=True)
class Plate:
    """A flat part of a piece in space, where it really is. [in]

    ``rank`` orders plates that lie in one plane, outermost last.
    """

    piece: int
    face: int
    rings: tuple[Ring, ...]
    normal: Vector
    rank: int


def add(a: Vector, b: Vector) -> Vector:
    """Sum of two vectors. [same unit]"""
    return a[0] + b[0], a[1] + b[1], a[2] + b[2]


def scaled(a: Vector, by: float) -> Vector:
    """A vector times a number. [units multiplied]"""
    return a[0] * by, a[1] * by, a[2] * by


def size_in(corner: Corner) -> float:
    """The diagonal of the box round all faces. [in]"""
    points: NDArray[np.float64] = np.array(
        [f.frame.to_space(u, v) for f in corner.faces for u, v in f.outline.exterior.coords]
    )
    return float(np.linalg.norm(points.max(axis=0) - points.min(axis=0)))


def plates(corner: Corner) -> list[Plate]:
    """Every panel of the corner, and each gutter as its three sides."""
    found = [_plate(corner, panel, k) for k, panel in enumerate(corner.panels)]
    for piece in corner.pieces:
        if piece.gutter is not None:
            found += _gutter_plates(piece.index, piece.gutter, len(found))
    return found


def _plate(corner: Corner, panel: Panel, rank: int) -> Plate:
    frame = corner.faces[panel.face].frame
    rings = [panel.polygon.exterior, *panel.polygon.interiors]
    inside = tuple(tuple(frame.to_space(u, v) for u, v in r.coords[:-1]) for r in rings)
    return Plate(panel.piece, panel.face, inside, frame.normal, rank)


def _gutter_plates(piece: int, gutter: Gutter, rank: int) -> list[Plate]:
    a, b = gutter.start, gutter.end
    along = (b[0] - a[0], b[1] - a[1], 0.0)
    long = (along[0] ** 2 + along[1] ** 2) ** 0.5 or 1.0
    side = scaled((along[1], -along[0], 0.0), gutter.width_in / 2 / long)
    down = (0.0, 0.0, -gutter.depth_in)
    left = [add(a, scaled(side, -1)), add(b, scaled(side, -1))]
    right = [add(a, side), add(b, side)]
    sides = [
        (left[0], left[1], add(left[1], down), add(left[0], down)),
        (add(left[0], down), add(left[1], down), add(right[1], down), add(right[0], down)),
        (right[0], right[1], add(right[1], down), add(right[0], down)),
    ]
    return [Plate(piece, -1, (s,), _normal(s), rank + k) for k, s in enumerate(sides)]


def _normal(ring: Sequence[Vector]) -> Vector:
    a, b, c = ring[0], ring[1], ring[2]
    n = cross(add(b, scaled(a, -1)), add(c, scaled(b, -1)))
    long = (n[0] ** 2 + n[1] ** 2 + n[2] ** 2) ** 0.5 or 1.0
    return scaled(n, 1 / long)


def levels(corner: Corner, *, apart: Iterable[int] = ()) -> list[int]:
    """How many layers each piece is moved out; courses of one kind move together.

    Parameters
    ----------
    apart : iterable of int
        Pieces that move by themselves although they are courses.
    """
    alone = set(apart)
    run_of = list(range(len(corner.pieces)))
    for name in names(corner, range(len(corner.pieces))):
        members = [p for p in name.pieces if p not in alone]
        for p in members:
            run_of[p] = members[0]
    inside: dict[int, set[int]] = {}
    for inner, outer in _over(corner):
        if run_of[inner] != run_of[outer]:
            inside.setdefault(run_of[outer], set()).add(run_of[inner])
    done: dict[int, int] = {}
    for piece in range(len(corner.pieces)):
        _level(run_of[piece], inside, done, frozenset())
    return [done[run_of[p]] for p in range(len(corner.pieces))]


def _over(corner: Corner) -> list[tuple[int, int]]:
    """Pairs of pieces (inner, outer) that overlap on some face."""
    return [
        (corner.panels[on_face[i]].piece, corner.panels[on_face[j]].piece)
        for on_face in corner.panels_on
        for i, j in lap_pairs(corner, on_face)
    ]


def _level(
    run: int, inside: Mapping[int, set[int]], done: dict[int, int], above: frozenset[int]
) -> int:
    """The longest way in from a run of pieces; runs that are woven together stop at each other."""
    if run not in done:
        deeper = [
            _level(k, inside, done, above | {run}) for k in inside.get(run, ()) if k not in above
        ]
        done[run] = 1 + max(deeper, default=0)
    return done[run]


def moves(corner: Corner, *, apart: Iterable[int] = ()) -> list[Vector]:
    """How far and which way each piece is moved out. [in]

    A piece on several faces moves as one, along the sum of their normals.
    """
    depth = levels(corner, apart=apart)
    size = size_in(corner)
    many = int(len(corner.faces) > 1)
    step = size * min(SPREAD_SHARE[many] / max([*depth, 1]), STEP_SHARE[many])
    found = []
    for piece in corner.pieces:
        normals = {corner.faces[corner.panels[p].face].frame.normal for p in piece.panels}
        total: Vector = (0.0, 0.0, 0.0)
        for normal in sorted(normals):
            total = add(total, normal)
        found.append(scaled(total, step * depth[piece.index]))
    return found


def told_pieces(shown: Shown) -> set[int]:
    """Pieces that findings name."""
    return {p for f in shown.findings for p in (f.upper, f.lower) if p is not None}


def geometry(shown: Shown) -> dict[str, Any]:
    """Everything in space as plain lists, for a 3D view: faces, pieces, findings, trails. [in]"""
    corner = shown.corner
    faces = [
        {
            "id": f.id,
            "title": f.title,
            "normal": _plain(f.frame.normal),
            "outline": [_plain(f.frame.to_space(u, v)) for u, v in f.outline.exterior.coords[:-1]],
        }
        for f in corner.faces
    ]
    findings = [
        {
            "letter": f.letter,
            "cause": f.cause.value,
            "at": _plain(corner.faces[f.face].frame.to_space(*f.at)),
            "upper": None if f.upper is None else corner.pieces[f.upper].id,
            "lower": None if f.lower is None else corner.pieces[f.lower].id,
        }
        for f in shown.findings
    ]
    return {
        "unit": "in",
        "faces": faces,
        "pieces": _pieces(shown),
        "findings": findings,
        "trails": [_trail(corner, line) for line in shown.trails],
    }


def _pieces(shown: Shown) -> list[dict[str, Any]]:
    corner = shown.corner
    move = moves(corner, apart=told_pieces(shown))
    panels: dict[int, list[dict[str, Any]]] = {}
    for plate in plates(corner):
        face = corner.faces[plate.face].id if plate.face >= 0 else None
        rings = [[_plain(p) for p in ring] for ring in plate.rings]
        panels.setdefault(plate.piece, []).append(
            {"face": face, "normal": _plain(plate.normal), "rings": rings}
        )
    return [
        {
            "id": p.id,
            "title": p.title,
            "sheet": p.sheet.value,
            "hatch": hatch_of(p).value,
            "move": _plain(move[p.index]),
            "panels": panels.get(p.index, []),
        }
        for p in corner.pieces
    ]


def _trail(corner: Corner, line: TrailLine) -> dict[str, Any]:
    return {
        "layer": "second" if line.layer else "first",
        "flow_lph": round(line.flow_lph, 6),
        "end": line.end.value,
        "soaked_from": line.soaked_from,
        "points": [_plain(corner.faces[s.face].frame.to_space(s.u, s.v)) for s in line.spots],
        "pieces": [None if s.piece is None else corner.pieces[s.piece].id for s in line.spots],
        "falls_to": None if line.falls_to is None else _plain(line.falls_to),
    }


def _plain(point: Vector) -> list[float]:
    return [round(x, 3) + 0.0 for x in point]
