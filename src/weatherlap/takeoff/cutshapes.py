"""Pieces that are cut to a shape: each piece of a cut list that is no rectangle, laid flat."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import shapely
from shapely import Polygon

from weatherlap.shape.frames import Place
from weatherlap.takeoff.cutting.rolls import RollPlan
from weatherlap.takeoff.extents import shape_of
from weatherlap.takeoff.model import Part
from weatherlap.takeoff.splicing import Spliced

ALIKE_IN = 1 / 32
LEAST_IN2 = 1.0


@dataclass(frozen=True, slots=True)
class CutShape:
    """Pieces of one shape, as seen from outside, the length level. [in]

    ``number`` counts within the cut list, ``names`` are the pieces of its plan, ``count`` how many
    of them in all; ``outline`` are its corners from the lower left of its box.
    """

    number: int
    title: str
    names: tuple[str, ...]
    count: int
    outline: tuple[Place, ...]

    @property
    def size_in(self) -> tuple[float, float]:
        """Along and across, of the rectangle that it is cut from. [in]"""
        return max(x for x, _ in self.outline), max(y for _, y in self.outline)


def bar_and_sheet_shapes(rows: Sequence[Spliced]) -> tuple[CutShape, ...]:
    """The shapes of parts that are cut from lengths and sheets, joints cut square."""
    return _numbered(_of_parts(rows))


def roll_shapes(plan: RollPlan, parts: Sequence[Part]) -> tuple[CutShape, ...]:
    """The shapes of lengths off a roll, by course."""
    return _numbered(_of_courses(plan, {part.id: part for part in parts}))


def course_name(covered_id: str, course: int, from_in: float) -> str:
    """The name of a length off a roll."""
    return f"{covered_id}, course {course} from {from_in:.2f}"


Found = tuple[str, str, int, tuple[Place, ...]]


def _of_parts(rows: Sequence[Spliced]) -> Iterator[Found]:
    for row in (r for r in rows if r.part.outline):
        whole = Polygon(row.part.outline)
        starts = [0.0, *(s.from_in for s in row.plan.splices)] if row.plan else [0.0]
        for (name, length), start in zip(row.named(), starts, strict=True):
            _, low, _, high = whole.bounds
            box = shapely.box(start, low - 1.0, start + length, high + 1.0)
            yield from _cut(whole, box, name, row.part.title, row.part.count)


def _of_courses(plan: RollPlan, parts: dict[str, Part]) -> Iterator[Found]:
    for p in plan.pieces:
        part = parts[p.covered_id]
        if not part.outline:
            continue
        top = p.bottom_in + plan.roll.width_in
        box = shapely.box(p.from_in, p.bottom_in, p.from_in + p.length_in, top)
        name = course_name(p.covered_id, p.course, p.from_in)
        yield from _cut(Polygon(part.outline), box, name, part.title, part.count)


def _cut(whole: Polygon, box: Polygon, name: str, title: str, count: int) -> Iterator[Found]:
    """What a piece keeps of a shape; nothing where it is a rectangle."""
    for part in shapely.get_parts(shapely.intersection(whole, box)):
        if isinstance(part, Polygon) and part.area > LEAST_IN2:
            _, outline = shape_of(part)
            if outline:
                yield name, title, count, _from_corner(outline)


def _from_corner(outline: Sequence[Place]) -> tuple[Place, ...]:
    """Corners counter-clockwise from the lower left one."""
    ring = list(shapely.orient_polygons(Polygon(outline)).exterior.coords[:-1])
    first = min(range(len(ring)), key=lambda k: (round(ring[k][1], 3), ring[k][0]))
    return tuple((x, y) for x, y in (*ring[first:], *ring[:first]))


def _numbered(found: Iterator[Found]) -> tuple[CutShape, ...]:
    """Shapes that are alike as one, in the order of their first piece."""
    kinds: dict[object, CutShape] = {}
    for name, title, count, outline in found:
        key = title, tuple((round(x / ALIKE_IN), round(y / ALIKE_IN)) for x, y in outline)
        like = kinds.get(key)
        kinds[key] = (
            CutShape(len(kinds) + 1, title, (name,), count, outline)
            if like is None
            else replace(like, names=(*like.names, name), count=like.count + count)
        )
    return tuple(kinds.values())
