"""Patches: areas in a plane that are mostly upright boxes, cut exactly and fast."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

Box = tuple[float, float, float, float]
MANY = 64
"""From this many boxes taken away at once, one union is quicker than one cut after another."""


def box_of(polygon: Polygon) -> Box | None:
    """The (left, bottom, right, top) of a polygon that is an upright box, else None. [in]"""
    if len(polygon.exterior.coords) != 5 or polygon.interiors:
        return None
    box: Box = polygon.bounds
    if all(x in (box[0], box[2]) and y in (box[1], box[3]) for x, y in polygon.exterior.coords):
        return box
    return None


def _cut(box: Box, by: Box) -> list[Box]:
    """What is left of a box when another is taken away: up to four boxes."""
    a, b, c, d = box
    p, q, r, s = by
    if p >= c or r <= a or q >= d or s <= b:
        return [box]
    rest = []
    if q > b:
        rest.append((a, b, c, q))
        b = q
    if s < d:
        rest.append((a, s, c, d))
        d = s
    if p > a:
        rest.append((a, b, p, d))
    if r < c:
        rest.append((r, b, c, d))
    return rest


def _shared(box: Box, other: Box) -> Box | None:
    u0, v0 = max(box[0], other[0]), max(box[1], other[1])
    u1, v1 = min(box[2], other[2]), min(box[3], other[3])
    return (u0, v0, u1, v1) if u1 > u0 and v1 > v0 else None


class Patch:
    """An area in a plane: separate boxes while it can be, any shape where it must be. [in]"""

    __slots__ = ("boxes", "shape")

    def __init__(self, *, boxes: Sequence[Box] | None = None, shape: BaseGeometry | None = None):
        self.boxes = None if boxes is None else list(boxes)
        self.shape = shape

    @classmethod
    def of(cls, polygon: Polygon, box: Box | None) -> Patch:
        """The patch of a polygon, given its box if it is one. [in]"""
        return cls(shape=polygon) if box is None else cls(boxes=[box])

    @property
    def area(self) -> float:
        """[in2]"""
        if self.boxes is not None:
            return sum((c - a) * (d - b) for a, b, c, d in self.boxes)
        return float(self.geometry().area)

    @property
    def bounds(self) -> Box:
        """(left, bottom, right, top). [in]"""
        if self.boxes:
            lefts, lows, rights, tops = zip(*self.boxes, strict=True)
            return min(lefts), min(lows), max(rights), max(tops)
        box: Box = self.geometry().bounds
        return box

    def geometry(self) -> BaseGeometry:
        """The patch as one shape. [in]"""
        if self.shape is None:
            boxes = [shapely.box(*b) for b in self.boxes or ()]
            self.shape = boxes[0] if len(boxes) == 1 else shapely.union_all(boxes)
        return self.shape

    def less(self, polygons: Sequence[tuple[Polygon, Box | None]]) -> Patch:
        """What is left when polygons (each with its box, if it is one) are taken away. [in]"""
        if not polygons:
            return self
        boxes = [b for _, b in polygons]
        if self.boxes is not None and len(boxes) < MANY and None not in boxes:
            rest = self.boxes
            for by in boxes:
                assert by is not None
                rest = [r for box in rest for r in _cut(box, by)]
                if not rest:
                    break
            return Patch(boxes=rest)
        shapes = [p for p, _ in polygons]
        cover = shapes[0] if len(shapes) == 1 else shapely.union_all(shapes)
        return Patch(shape=self.geometry().difference(cover))

    def common(self, polygon: Polygon, box: Box | None) -> Patch:
        """What the patch shares with a polygon (and its box, if it is one). [in]"""
        if self.boxes is not None and box is not None:
            found = [_shared(own, box) for own in self.boxes]
            return Patch(boxes=[f for f in found if f is not None])
        return Patch(shape=self.geometry().intersection(polygon))
