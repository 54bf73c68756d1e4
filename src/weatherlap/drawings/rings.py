"""Rings: the letters of findings with a line each to the place that they speak of."""

from __future__ import annotations

from collections.abc import Sequence

from weatherlap.drawings.marks import pointer, ring_radius, ringed
from weatherlap.drawings.svg import Drawing, Point
from weatherlap.water.findings import Finding


def draw_rings(drawing: Drawing, rings: Sequence[tuple[Finding, Point, Point | None]]) -> list[str]:
    """All lines first, then all letters; gives the letters that found no room."""
    for f, at, ring in rings:
        if ring is not None:
            pointer(drawing, at, ring, ring_radius(f.letter))
    for f, _, ring in rings:
        if ring is not None:
            ringed(drawing, ring, f.letter, first=f.first_layer)
    return [f.letter for f, _, ring in rings if ring is None]
