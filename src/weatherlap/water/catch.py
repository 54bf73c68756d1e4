"""Catching: on which pieces rain lands, and what gets past them to the second layer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from graphlib import TopologicalSorter

import numpy as np
import shapely
from shapely import Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Face
from weatherlap.job.model import Sheet
from weatherlap.shape.patches import FINE_GRID_IN, Box, Patch, box_of, fall_short
from weatherlap.shape.tiles import NEAR
from weatherlap.water.tiling import LEAST

FIRST, SECOND = 0, 1
MOST_KNOWN = 200
"""Faces whose regions are kept, so that after a change only the changed ones are cut again."""
LAYER_NAMES = ("first", "second")


@dataclass(frozen=True, slots=True)
class Region:
    """A part of a face where rain of one layer lands on one panel (or on nothing).

    ``share`` of the rain takes this way; ``past`` is the piece it got past, for the second layer;
    ``more_in2`` is the area of gaps beside it that count as none. [in2]
    """

    face: int
    layer: int
    panel: int | None
    patch: Patch
    share: float
    past: int | None
    more_in2: float = 0.0


_KNOWN: dict[tuple[object, ...], tuple[Region, ...]] = {}


def rained_on(face: Face) -> bool:
    """Whether rain falls on a face (it does not look down)."""
    return not face.looks_down


def regions(corner: Corner) -> Iterator[Region]:
    """Where rain lands, on both layers, face by face; the first layer covers each face once."""
    for face in corner.faces:
        if rained_on(face):
            yield from _known_regions(corner, face)


def _known_regions(corner: Corner, face: Face) -> tuple[Region, ...]:
    """The regions of a face, taken from before where all that they depend on is as it was."""
    key = _all_that_counts(corner, face)
    found = _KNOWN.get(key)
    if found is None:
        rained = list(_regions_of_face(corner, face, None))
        if _leaves_out(face, rained):
            rained = list(_regions_of_face(corner, face, FINE_GRID_IN))
        found = tuple(without_slivers(corner, rained))
        while len(_KNOWN) >= MOST_KNOWN:
            _KNOWN.pop(next(iter(_KNOWN)), None)
        _KNOWN[key] = found
    return found


def _leaves_out(face: Face, rained: list[Region]) -> bool:
    """Whether the first layer leaves some of a face out, or the second some of what passes."""
    first = [r for r in rained if r.layer == FIRST]
    second = [r.patch.area for r in rained if r.layer == SECOND]
    passing = sum(r.patch.area for r in first if r.share < 1)
    areas = (r.patch.area for r in first)
    return fall_short(areas, face.outline.area) or fall_short(second, passing)


def _all_that_counts(corner: Corner, face: Face) -> tuple[object, ...]:
    """What the regions of a face follow from: its shape, what lies on it, in which order."""
    panels = [corner.panels[p] for p in corner.panels_on[face.index]]
    pieces = {p.piece: corner.pieces[p.piece] for p in panels}
    rows = [
        (i, p.sheet, p.passes, frozenset(b for b in p.behind if b in pieces))
        for i, p in pieces.items()
    ]
    return (
        face.index,
        face.outline,
        tuple((p.index, p.piece, p.box or p.polygon) for p in panels),
        tuple(rows),
    )


def _neighbours(corner: Corner, panels: list[int]) -> list[list[int]]:
    """For each panel the others on the face that overlap it, by position in the list."""
    shapes = [corner.panels[p].polygon for p in panels]
    rows: list[list[int]] = [[] for _ in panels]
    left, right = STRtree(shapes).query(shapes, predicate="intersects")
    box = shapely.bounds(shapes)
    wide = np.minimum(box[left, 2], box[right, 2]) - np.maximum(box[left, 0], box[right, 0])
    high = np.minimum(box[left, 3], box[right, 3]) - np.maximum(box[left, 1], box[right, 1])
    keep = (left != right) & (wide > NEAR) & (high > NEAR)
    for i, j in zip(left[keep].tolist(), right[keep].tolist(), strict=True):
        rows[i].append(j)
    return rows


def _ranks(corner: Corner, held: list[int], rows: list[list[int]]) -> list[int]:
    """Each panel's place in an order in which every one lies outside those before it."""
    pieces = [corner.panels[p].piece for p in held]
    if not any(corner.pieces[i].behind for i in pieces):
        return pieces
    graph: TopologicalSorter[int] = TopologicalSorter()
    for i, row in enumerate(rows):
        graph.add(i, *(j for j in row if corner.outside(pieces[i], pieces[j])))
    ranks = [0] * len(held)
    for rank, i in enumerate(graph.static_order()):
        ranks[i] = rank
    return ranks


def _regions_of_face(corner: Corner, face: Face, grid: float | None) -> Iterator[Region]:
    held = [p for p in corner.panels_on[face.index] if corner.pieces[corner.panels[p].piece].holds]
    shapes = [(corner.panels[p].polygon, corner.panels[p].box) for p in held]
    ground = Patch.of(face.outline, box_of(face.outline), grid=grid)
    bare = ground.less(_widest_first(shapes))
    if bare.area > 0:
        yield Region(face.index, FIRST, None, bare, 1.0, None)
    if not held:
        return
    rows = _neighbours(corner, held)
    ranks = _ranks(corner, held, rows)
    for i, p in enumerate(held):
        over = [shapes[j] for j in rows[i] if ranks[j] > ranks[i]]
        open_part = Patch.of(*shapes[i], grid=grid).less(over)
        if open_part.area <= 0:
            continue
        passes = corner.pieces[corner.panels[p].piece].passes
        yield Region(face.index, FIRST, p, open_part, 1.0 - passes, None)
        if passes > 0:
            below = sorted((j for j in rows[i] if ranks[j] < ranks[i]), key=lambda j: -ranks[j])
            yield from _behind(corner, p, open_part, [(held[j], *shapes[j]) for j in below])


def _widest_first(shapes: list[tuple[Polygon, Box | None]]) -> list[tuple[Polygon, Box | None]]:
    return sorted(shapes, key=lambda s: -s[0].area)


def _behind(
    corner: Corner, panel: int, open_part: Patch, below: list[tuple[int, Polygon, Box | None]]
) -> Iterator[Region]:
    """Where the share that gets past an outermost panel lands: on the next panel inside."""
    face, past = corner.panels[panel].face, corner.panels[panel].piece
    share = corner.pieces[past].passes
    rest = open_part
    for q, polygon, box in below:
        part = rest.common(polygon, box)
        if part.area <= 0:
            continue
        yield Region(face, SECOND, q, part, share, past)
        rest = rest.less([(polygon, box)])
        if rest.area <= 0:
            return
    if rest.area > 1e-9:
        yield Region(face, SECOND, None, rest, share, past)


def without_slivers(corner: Corner, found: list[Region]) -> Iterator[Region]:
    """Bare gaps under 1/16 in wide count as none: what falls there goes to the piece beside."""
    more = [0.0] * len(found)
    left: list[Region] = []
    for region in found:
        if not _is_bare(corner, region):
            left.append(region)
            continue
        thin, rest = _thin_parts(region.patch)
        for part in thin:
            if not _give(corner, found, region, part, more):
                rest.append(part)
        left.append(replace(region, patch=Patch(shape=shapely.union_all(rest))) if thin else region)
    for region, extra in zip(left, more, strict=True):
        if region.patch.area > 0:
            yield replace(region, more_in2=extra) if extra else region


def _is_bare(corner: Corner, region: Region) -> bool:
    if region.panel is None:
        return True
    return corner.pieces[corner.panels[region.panel].piece].sheet is Sheet.ABSORBS


def _thin_parts(patch: Patch) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
    """The parts of a patch that are under 1/16 in wide, and the others."""
    if patch.boxes is not None and len(patch.boxes) == 1:
        a, b, c, d = patch.boxes[0]
        if min(c - a, d - b) >= LEAST:
            return [], [patch.geometry()]
    shape = patch.geometry()
    thin: list[BaseGeometry] = []
    rest: list[BaseGeometry] = []
    for part in getattr(shape, "geoms", [shape]):
        narrow = part.buffer(-LEAST / 2, join_style="mitre").is_empty
        (thin if narrow else rest).append(part)
    return thin, rest


def _give(
    corner: Corner, found: list[Region], bare: Region, part: BaseGeometry, more: list[float]
) -> bool:
    """Give a gap's area to the piece beside it, on both layers; False where none is beside."""
    beside = [
        k
        for k, r in enumerate(found)
        if r.layer == bare.layer
        and r.past == bare.past
        and not _is_bare(corner, r)
        and r.patch.geometry().distance(part) < LEAST
    ]
    if not beside:
        return False
    best = max(beside, key=lambda k: found[k].patch.area)
    more[best] += part.area
    if bare.layer == FIRST and found[best].share < 1:
        panel = found[best].panel
        assert panel is not None
        past = corner.panels[panel].piece
        behind = next(k for k, r in enumerate(found) if r.layer == SECOND and r.past == past)
        more[behind] += part.area
    return True
