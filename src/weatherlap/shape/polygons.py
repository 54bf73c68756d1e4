"""Plain checks of polygons: fit to use, and how far one sticks out of another."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.frames import Place

_SLACK = 1e-6
_PLACE = re.compile(r"\[(\S+) (\S+)\]")


def outline_fault(points: Sequence[Place]) -> str | None:
    """What makes an outline unfit, in words; None if nothing does.

    Parameters
    ----------
    points : sequence of Place
        Its corners in turn, the first not repeated at the end. [in]
    """
    return _outline_fault(tuple(points))


@lru_cache(maxsize=4096)
def _outline_fault(points: tuple[Place, ...]) -> str | None:
    for number, (a, b) in enumerate(zip(points, [*points[1:], points[0]], strict=True), start=1):
        if a == b:
            following = number + 1 if number < len(points) else 1
            return f"corners {number} and {following} are the same place"
    polygon = Polygon(points)
    if not shapely.is_valid(polygon):
        place = _PLACE.search(shapely.is_valid_reason(polygon))
        near = f" near [{float(place[1]):.4g}, {float(place[2]):.4g}]" if place else ""
        return f"it has no area or crosses itself{near}"
    if polygon.buffer(-TOUCH_IN / 2 + _SLACK, join_style="mitre").is_empty:
        return "it is thinner than 1/16 in everywhere"
    return None


def widened(polygon: Polygon, *, by_in: float = TOUCH_IN) -> BaseGeometry:
    """The polygon with its edges moved out, corners kept sharp. [in]"""
    return shapely.buffer(polygon, by_in + _SLACK, join_style="mitre", mitre_limit=2.0)


def sticks_out(inner: BaseGeometry, outer: Polygon) -> tuple[float, Place]:
    """How far ``inner`` reaches beyond ``outer``, and the farthest place of it. [in]"""
    rest = inner.difference(outer)
    if rest.is_empty:
        return 0.0, (0.0, 0.0)
    middles = [part.representative_point() for part in getattr(rest, "geoms", [rest])]
    places = [Point(x, y) for x, y in shapely.get_coordinates(rest)] + middles
    far = max(places, key=outer.distance)
    return float(outer.distance(far)), (far.x, far.y)


def overlaps(a: Polygon, b: Polygon) -> bool:
    """Whether two polygons share a patch wider than 1/16 in."""
    shared = shapely.intersection(a, b)
    return not shapely.buffer(shared, -TOUCH_IN / 2, join_style="mitre").is_empty
