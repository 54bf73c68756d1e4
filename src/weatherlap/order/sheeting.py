"""Sheets of a cover: boxes that follow what stands open, shingled over one another."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

SHEET_IN2 = 24.0 * 144.0
"""Area that one sheet more is worth: under this it is not cut. Own choice. [in2]"""

Box = tuple[float, float, float, float]


def around(boxes: Sequence[Box]) -> Box:
    """The box around boxes. [in]"""
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def grown(box: Box, by: float, edge: Box) -> Box:
    """A box that reaches further on all sides, as far as a face goes. [in]"""
    return (
        max(box[0] - by, edge[0]),
        max(box[1] - by, edge[1]),
        min(box[2] + by, edge[2]),
        min(box[3] + by, edge[3]),
    )


def area(box: Box) -> float:
    """The area of a box. [in2]"""
    return (box[2] - box[0]) * (box[3] - box[1])


def _meet(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def groups(boxes: Sequence[Box]) -> list[list[Box]]:
    """Boxes in groups that touch, from the left."""
    rows: list[list[Box]] = []
    for box in boxes:
        touching = [row for row in rows if any(_meet(box, b) for b in row)]
        rows = [row for row in rows if row not in touching]
        rows.append([b for row in touching for b in row] + [box])
    return sorted(rows, key=around)


def _bands(boxes: Sequence[Box]) -> list[Box]:
    """Upright bands that hold the boxes, each as high as what lies in it; like ones joined."""
    cuts = sorted({u for b in boxes for u in (b[0], b[2])})
    bands: list[Box] = []
    for left, right in pairwise(cuts):
        inside = [b for b in boxes if b[0] < right and b[2] > left]
        if not inside:
            continue
        low, top = min(b[1] for b in inside), max(b[3] for b in inside)
        if bands and bands[-1][1:] == (low, left, top):
            bands[-1] = bands[-1][0], low, right, top
        else:
            bands.append((left, low, right, top))
    return bands


def _joined(bands: list[Box]) -> list[Box]:
    """Neighbouring bands made one wherever that costs less cloth than one sheet more."""
    rows = list(bands)
    while len(rows) > 1:
        spare = [
            area(around((a, b))) - area(a) - area(b) if a[2] >= b[0] else SHEET_IN2
            for a, b in pairwise(rows)
        ]
        least = min(range(len(spare)), key=lambda k: spare[k])
        if spare[least] >= SHEET_IN2:
            break
        rows[least : least + 2] = [around(rows[least : least + 2])]
    return rows


def sheets(boxes: Sequence[Box], *, lap_in: float, edge: Box) -> list[Box]:
    """Sheets over boxes of one face, from the left, reaching past them and over one another.

    Parameters
    ----------
    boxes : sequence of (left, low, right, top)
        What has to be sheltered. [in]
    lap_in : float
        How far a sheet reaches past what it shelters, and over the next one. [in]
    edge : (left, low, right, top)
        How far the face goes. [in]

    Sources
    -------
    O-005 : lap of a cover.
    """
    found: list[Box] = []
    for group in groups([grown(b, lap_in, edge) for b in boxes]):
        rows = _joined(_bands(group))
        last = len(rows) - 1
        for k, (left, low, right, top) in enumerate(rows):
            lap = lap_in if k < last and rows[k + 1][0] <= right else 0.0
            found.append((left, low, min(right + lap, edge[2]), top))
    return found
