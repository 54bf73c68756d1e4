"""How long and how wide a piece is, which way it runs, and how its outline is cut."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon

from weatherlap.building.corner import Corner, Panel, Piece
from weatherlap.shape.frames import Place, Vector, dot, minus
from weatherlap.takeoff.model import Line

OFF_SQUARE_IN = 1 / 16
"""A shape that is nowhere so far off its rectangle is cut square. [in]"""
UPRIGHT = 0.9
"""A panel that fills so much of its upright box runs along it. [-]"""
ALONG = 0.05
"""Two directions are square to each other where their cosine is less than this. [-]"""


@dataclass(frozen=True, slots=True)
class Extent:
    """A piece by its length, the width of its widest panel, and its girth over all. [in]

    ``turned_in`` is what is turned in beyond its length at its ends, where it is of bent metal;
    ``laid`` its one panel with the length level from the start on, None where it has several.
    """

    length_in: float
    turned_in: float
    width_in: float
    girth_in: float
    direction: Vector
    line: Line
    laid: Polygon | None


def extent_of(corner: Corner, piece: Piece) -> Extent:
    """The way along which a piece is longest, and its sizes along and across.

    A panel square to that way is a turned-in end: it adds its short side to the flat of bent metal.
    """
    panels = [corner.panels[p] for p in piece.panels]
    longest, widest = 0.0, 0.0
    direction = (1.0, 0.0, 0.0)
    for panel in panels:
        (axis, length), (_, width) = _axes(corner, panel)
        if (length, width) > (longest + 1e-6, widest):
            longest, widest, direction = length, width, axis
    along = [p for p in panels if abs(dot(_normal(corner, p), direction)) < ALONG]
    ends = [p for p in panels if abs(dot(_normal(corner, p), direction)) > 1 - ALONG]
    reach = [dot(v, direction) for p in along for v in _in_space(corner, p)]
    widths = {p.index: _across(corner, p, direction) for p in along}
    turned = sum(min(size for _, size in _axes(corner, p)) for p in ends)
    return Extent(
        length_in=max(reach) - min(reach),
        turned_in=turned,
        width_in=max(widths.values()),
        girth_in=_girth(along, widths),
        direction=direction,
        line=line_of(corner, along, direction),
        laid=_laid(corner, along[0], direction) if len(along) == 1 else None,
    )


def _laid(corner: Corner, panel: Panel, direction: Vector) -> Polygon:
    """A panel seen from outside, turned so that a direction runs to the right. [in]"""
    frame = corner.faces[panel.face].frame
    x, y = dot(direction, frame.right), dot(direction, frame.up)
    return Polygon([(x * u + y * v, x * v - y * u) for u, v in panel.polygon.exterior.coords])


def _girth(along: Sequence[Panel], widths: dict[int, float]) -> float:
    """Widths of the faces that it lies on; patches of one face count once, the widest."""
    by_face: dict[int, float] = {}
    for panel in along:
        by_face[panel.face] = max(by_face.get(panel.face, 0.0), widths[panel.index])
    return sum(by_face.values())


def _axes(corner: Corner, panel: Panel) -> tuple[tuple[Vector, float], tuple[Vector, float]]:
    """The two directions of a panel in space with its size along each, the longer first."""
    frame = corner.faces[panel.face].frame
    u0, v0, u1, v1 = panel.polygon.bounds
    if panel.polygon.area >= UPRIGHT * (u1 - u0) * (v1 - v0):
        pair = [(frame.right, u1 - u0), (frame.up, v1 - v0)]
    else:
        ring = shapely.minimum_rotated_rectangle(panel.polygon).exterior.coords
        pair = []
        for (a, b), (c, d) in ((ring[0], ring[1]), (ring[1], ring[2])):
            size = math.hypot(c - a, d - b)
            x, y = (c - a) / size, (d - b) / size
            r, p = frame.right, frame.up
            pair.append(((x * r[0] + y * p[0], x * r[1] + y * p[1], x * r[2] + y * p[2]), size))
    first, second = sorted(pair, key=lambda one: -one[1])
    return first, second


def _normal(corner: Corner, panel: Panel) -> Vector:
    return corner.faces[panel.face].frame.normal


def _in_space(corner: Corner, panel: Panel) -> list[Vector]:
    frame = corner.faces[panel.face].frame
    return [frame.to_space(u, v) for u, v in panel.polygon.exterior.coords]


def _across(corner: Corner, panel: Panel, direction: Vector) -> float:
    """Size of a panel in its plane, square to a direction. [in]"""
    frame = corner.faces[panel.face].frame
    x, y = dot(direction, frame.right), dot(direction, frame.up)
    sizes: list[float] = [-y * u + x * v for u, v in panel.polygon.exterior.coords]
    return max(sizes) - min(sizes)


def line_of(corner: Corner, panels: Sequence[Panel], direction: Vector) -> Line:
    """The line along which panels run, through the middle of the largest."""
    main = max(panels, key=lambda p: p.polygon.area)
    face = corner.faces[main.face]
    ends = [dot(v, direction) for p in panels for v in _in_space(corner, p)]
    middle = face.frame.to_space(*_place(main.polygon))
    at = dot(middle, direction)
    low, high = (_moved(middle, direction, end - at) for end in (min(ends), max(ends)))
    u_low, u_high = (dot(minus(v, face.frame.origin), face.frame.right) for v in (low, high))
    return Line(low, high, face.id, u_low, u_high)


def _place(polygon: Polygon) -> Place:
    middle = polygon.centroid
    return middle.x, middle.y


def _moved(at: Vector, direction: Vector, by: float) -> Vector:
    return (at[0] + by * direction[0], at[1] + by * direction[1], at[2] + by * direction[2])


def shape_of(polygon: Polygon) -> tuple[str, tuple[Place, ...]]:
    """How a flat part is cut, in words, and its corners from its own lower left, if not square."""
    u0, v0, u1, v1 = polygon.bounds
    if polygon.hausdorff_distance(shapely.box(u0, v0, u1, v1)) <= OFF_SQUARE_IN:
        return "square", ()
    ring = polygon.simplify(1 / 64).exterior.coords[:-1]
    outline = tuple((u - u0, v - v0) for u, v in ring)
    if polygon.hausdorff_distance(polygon.convex_hull) > OFF_SQUARE_IN:
        return f"notched, {len(outline)} corners", outline
    return f"raked, {len(outline)} corners", outline
