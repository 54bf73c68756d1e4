"""What makes the places of a job right: outlines fit to use, panels on their faces, faces apart."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.job.lines import Path
from weatherlap.job.model import FaceRecord, PanelRecord
from weatherlap.job.problems import Fault
from weatherlap.job.whole import Draft
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Frame, Place, Vector, frame_of
from weatherlap.shape.polygons import outline_fault, overlaps, sticks_out, widened
from weatherlap.units import tape

_SMALLEST = TOUCH_IN - 1e-9
_SAME_WAY = math.cos(math.radians(1.0))


@dataclass(frozen=True, slots=True)
class _Flat:
    """A face that can be used: its outline, the outline widened by 1/16 in, its frame. [in]"""

    number: int
    id: str
    outline: Polygon
    wide: BaseGeometry
    frame: Frame


@dataclass(frozen=True, slots=True)
class _Patch:
    """A panel that can be used, where it stands in the file, and the piece it belongs to."""

    path: Path
    piece: str
    record: PanelRecord
    outline: Polygon


def place_faults(draft: Draft) -> Iterator[Fault]:
    """Everything wrong with the shapes and places of a job's records."""
    flats: dict[str, _Flat] = {}
    for number, face in draft.faces.items():
        faults = list(_face_faults(("face", number), face))
        yield from faults
        if not faults and face.id not in flats:
            flats[face.id] = _flat(number, face)
    yield from _overlapping(list(flats.values()))
    patches: list[_Patch] = []
    for number, piece in draft.pieces.items():
        for which, panel in enumerate(piece.on):
            path: Path = ("piece", number, "on", which)
            faults = list(_panel_faults(path, panel))
            yield from faults
            if not faults:
                patches.append(_Patch(path, piece.id, panel, _panel_outline(panel)))
        if piece.gutter is not None:
            yield from _gutter_faults(("piece", number, "gutter", "line"), piece.gutter.line)
    yield from _off_face(patches, flats)
    for patch in patches:
        yield from _trough_faults(patch)
    yield from _stray_places(draft, flats, patches)


def _face_faults(path: Path, face: FaceRecord) -> Iterator[Fault]:
    """A face is a rectangle of width and height, or an outline."""
    has_size = face.width is not None and face.height is not None
    part_size = (face.width is None) != (face.height is None)
    if face.outline is None and not has_size:
        missing = "width" if face.width is None else "height"
        found = f"`{missing}` is missing" if part_size else "neither size nor outline is given"
        yield Fault(path, found, "`width` and `height`, or an `outline`")
    elif face.outline is not None and (has_size or part_size):
        yield Fault(path, "both size and outline are given", "only one of the two")
    elif face.outline is not None:
        yield from _outline_faults((*path, "outline"), face.outline)
    else:
        for key, size in (("width", face.width), ("height", face.height)):
            if size is not None and size < _SMALLEST:
                yield Fault((*path, key), f"found {size:g} in", "1/16 in or more")


def _outline_faults(path: Path, outline: tuple[Place, ...]) -> Iterator[Fault]:
    fault = outline_fault(outline)
    if fault is not None:
        yield Fault(
            path,
            fault,
            "corners in turn round a shape with an area, the first not repeated at the end",
        )


def _panel_faults(path: Path, panel: PanelRecord) -> Iterator[Fault]:
    """A panel is a rectangle or an outline, with an area."""
    if (panel.rect is None) == (panel.outline is None):
        found = "neither `rect` nor `outline` is given"
        if panel.rect is not None:
            found = "both `rect` and `outline` are given"
        yield Fault(path, found, "exactly one of the two")
    elif panel.outline is not None:
        yield from _outline_faults((*path, "outline"), panel.outline)
    elif panel.rect is not None:
        yield from _rect_faults((*path, "rect"), panel.rect)


def _rect_faults(path: Path, rect: tuple[float, float, float, float]) -> Iterator[Fault]:
    left, bottom, right, top = rect
    for size, low, high, a, b in (
        (right - left, "left", "right", left, right),
        (top - bottom, "bottom", "top", bottom, top),
    ):
        if size < _SMALLEST:
            yield Fault(
                path,
                f"{low} {a:g} is not below {high} {b:g} by 1/16 in or more",
                "[left, bottom, right, top] with left below right and bottom below top",
                f"Swap {low} and {high}?" if size < 0 else "",
            )


def _gutter_faults(
    path: Path, line: tuple[tuple[float, ...], tuple[float, ...]]
) -> Iterator[Fault]:
    if math.dist(*line) < _SMALLEST:
        yield Fault(path, "start and end are the same place", "a line with a length")


@lru_cache(maxsize=500)
def _flat(number: int, face: FaceRecord) -> _Flat:
    if face.outline is not None:
        outline = Polygon(face.outline)
    else:
        assert face.width is not None and face.height is not None
        outline = shapely.box(0.0, 0.0, face.width, face.height)
    wide = widened(outline)
    shapely.prepare(wide)
    return _Flat(number, face.id, outline, wide, frame_of(face.origin, face.facing, face.tilt))


def _panel_outline(panel: PanelRecord) -> Polygon:
    return _outline(panel.rect, panel.outline)


@lru_cache(maxsize=8000)
def _outline(
    rect: tuple[float, float, float, float] | None, outline: tuple[Place, ...] | None
) -> Polygon:
    return Polygon(outline) if rect is None else shapely.box(*rect)


def _off_face(patches: Iterable[_Patch], flats: Mapping[str, _Flat]) -> Iterator[Fault]:
    """Panels that stick out of their faces, with how far and where."""
    by_face: dict[str, list[_Patch]] = {}
    for patch in patches:
        by_face.setdefault(patch.record.face, []).append(patch)
    for face_id, own in by_face.items():
        flat = flats.get(face_id)
        if flat is None:
            continue
        on = shapely.covers(flat.wide, np.array([patch.outline for patch in own]))
        for patch in (own[i] for i in np.flatnonzero(~on)):
            beyond, (u, v) = sticks_out(patch.outline, flat.outline)
            key = "rect" if patch.record.rect is not None else "outline"
            yield Fault(
                (*patch.path, key),
                f"it sticks out of face {face_id!r} by {tape(beyond)} near [{u:.6g}, {v:.6g}]",
                "a panel that lies on its face, to 1/16 in",
                "Trim the panel, or make the face larger.",
            )


def _trough_faults(patch: _Patch) -> Iterator[Fault]:
    """A trough's line has a length and lies on its own panel."""
    trough = patch.record.trough
    if trough is None:
        return
    path = (*patch.path, "trough", "line")
    if math.dist(*trough.line) < _SMALLEST:
        yield Fault(path, "start and end are the same place", "a line with a length")
        return
    line = LineString(trough.line)
    if not widened(patch.outline).covers(line):
        beyond, (u, v) = sticks_out(line, patch.outline)
        yield Fault(
            path,
            f"the line leaves its panel by {tape(beyond)} near [{u:.6g}, {v:.6g}]",
            "a line on the panel that bears the trough, to 1/16 in",
        )


def _overlapping(flats: list[_Flat]) -> Iterator[Fault]:
    """Faces that lie in one plane and cover the same place; one fault for each face."""
    if len(flats) < 2:
        return
    corners = [
        [flat.frame.to_space(u, v) for u, v in shapely.get_coordinates(flat.outline)]
        for flat in flats
    ]
    boxes = shapely.box(
        *(
            np.array([pick(c[axis] for c in points) + by for points in corners])
            for pick, by in ((min, -TOUCH_IN), (max, TOUCH_IN))
            for axis in (0, 1)
        )
    )
    tree = shapely.STRtree(boxes)
    normals = np.array([flat.frame.normal for flat in flats])
    for later, flat in enumerate(flats):
        close = tree.query(boxes[later])
        close = close[(close < later) & (normals[close] @ normals[later] > _SAME_WAY)]
        for earlier in close:
            if _share_place(flats[earlier], corners[later]):
                yield Fault(
                    ("face", flat.number),
                    f"it overlaps face {flats[earlier].id!r}, which lies in the same plane",
                    "faces that meet at their edges",
                    "Move one of the two, or trim it.",
                )
                break


def _share_place(a: _Flat, b_corners: list[Vector]) -> bool:
    """Whether two faces that look the same way lie in one plane and overlap by over 1/16 in."""
    if any(abs(a.frame.height_over(corner)) > TOUCH_IN for corner in b_corners):
        return False
    return overlaps(a.outline, Polygon([a.frame.to_plane(corner) for corner in b_corners]))


def _stray_places(
    draft: Draft, flats: Mapping[str, _Flat], patches: Iterable[_Patch]
) -> Iterator[Fault]:
    """Readings, damage, leaks and cut lines that miss what they name."""
    marks = (("reading", draft.readings), ("damage", draft.damages), ("dry", draft.dries))
    for name, records in marks:
        for number, record in records.items():
            yield from _off_flat((name, number, "at"), record.at, flats.get(record.face))
    for number, cut in draft.cuts.items():
        flat = flats.get(cut.face)
        if flat is not None:
            left, _, right, _ = flat.outline.bounds
            if not left <= cut.at <= right:
                found = f"found {cut.at:g}, beside face {cut.face!r}"
                yield Fault(("cut", number, "at"), found, f"a distance from {left:g} to {right:g}")
    for number, suspect in draft.suspects.items():
        leak = suspect.leak
        if leak is None or leak.face not in flats:
            continue
        path: Path = ("suspect", number, "leak", "at")
        off = list(_off_flat(path, leak.at, flats[leak.face]))
        yield from off
        own = [p.outline for p in patches if p.piece == leak.on and p.record.face == leak.face]
        is_read = any(piece.id == leak.on for piece in draft.pieces.values())
        if not off and is_read and not _near_any(leak.at, own):
            yield Fault(path, f"it is not on piece {leak.on!r}", "a place on one of its panels")


def _near_any(place: Place, outlines: Iterable[Polygon]) -> bool:
    point = Point(place)
    return any(outline.distance(point) <= TOUCH_IN for outline in outlines)


def _off_flat(path: Path, place: Place, flat: _Flat | None) -> Iterator[Fault]:
    if flat is not None and not flat.wide.covers(Point(place)):
        beyond = flat.outline.distance(Point(place))
        found = f"[{place[0]:g}, {place[1]:g}] is {tape(beyond)} off face {flat.id!r}"
        yield Fault(path, found, "a place on its face")
