"""From areas to members: each of a row of parallel members carries half way to its neighbours."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import hypot

from shapely import LineString, Polygon
from shapely.geometry import box

from weatherlap.errors import InputError
from weatherlap.structure.model import Case, Framing, LineLoad, Member

FAR_IN = 1e5
PARALLEL = 1e-3
UNCARRIED_IN = 2.0
IN2_PER_FT2 = 144.0
IN_PER_FT = 12.0
LONGEST_STEP_IN = 12.0
Plan = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Intensity:
    """A load on plan: even, plus a wedge that is deepest at a line and fades out from it.

    ``peak_psf`` at the line, 0 at ``fade_in`` from it; ``even_to_in`` ends an even strip along the
    line instead (sliding snow).
    """

    case: Case
    even_psf: float
    why: str
    source: str
    peak_psf: float = 0.0
    fade_in: float = 0.0
    even_to_in: float | None = None

    def at(self, distance_in: float) -> float:
        """Load at a distance from the line. [psf]"""
        wedge = self.peak_psf * (1 - distance_in / self.fade_in) if self.fade_in > 0 else 0.0
        if self.even_to_in is not None:
            return self.even_psf if distance_in < self.even_to_in else 0.0
        return self.even_psf + max(wedge, 0.0)

    @property
    def breaks_in(self) -> tuple[float, ...]:
        """Distances from the line where the load changes its run. [in]"""
        found = [self.fade_in] if self.fade_in > 0 else []
        return (*found, self.even_to_in) if self.even_to_in is not None else tuple(found)


@dataclass(frozen=True, slots=True)
class Area:
    """A roof or floor in plan, the members that carry it, and the line of the wall above it."""

    id: str
    outline_in: tuple[Plan, ...]
    carried_by: tuple[str, ...]
    wall_in: tuple[Plan, Plan] | None = None


@dataclass(frozen=True, slots=True)
class Strip:
    """A stretch of a member and the width that it carries at its two ends. [in, along axis]"""

    from_in: float
    to_in: float
    start_width_in: float
    end_width_in: float


@dataclass(frozen=True, slots=True)
class _Axes:
    """Plan axes along and across a row of members."""

    origin: Plan
    along: Plan

    def turned(self, point: Plan) -> Plan:
        """A plan point as distance along and across."""
        dx, dy = point[0] - self.origin[0], point[1] - self.origin[1]
        ux, uy = self.along
        return (dx * ux + dy * uy, -dx * uy + dy * ux)


def _direction(member: Member) -> Plan:
    """Unit plan direction of a member."""
    length = member.plan_length_in
    if length < 1.0:
        raise InputError(f"member {member.id!r}", "an upright under an area", "a lying member")
    dx, dy = member.end_in[0] - member.start_in[0], member.end_in[1] - member.start_in[1]
    return (dx / length, dy / length)


def _row(area: Area, framing: Framing) -> tuple[_Axes, list[tuple[Member, float]]]:
    """The members that carry an area, by their distance across.

    Raises
    ------
    InputError
        No members, members that are not parallel, or two in one line.
    """
    members = [framing.member(name) for name in area.carried_by]
    if not members:
        raise InputError(f"area {area.id!r}", "no members that carry it", "at least one")
    first = _direction(members[0])
    axes = _Axes(members[0].start_in[:2], first)
    for member in members:
        dx, dy = _direction(member)
        if abs(dx * first[1] - dy * first[0]) > PARALLEL:
            raise InputError(
                f"area {area.id!r}", f"member {member.id!r} at an angle to {members[0].id!r}",
                "members that are parallel in plan", "Split the area, one part for each row.",
            )  # fmt: skip
    row = sorted(((m, axes.turned(m.start_in[:2])[1]) for m in members), key=lambda r: r[1])
    for (a, ta), (b, tb) in pairwise(row):
        if tb - ta < 0.25:
            raise InputError(
                f"area {area.id!r}", f"members {a.id!r} and {b.id!r} in one line", "one of them"
            )
    return axes, row


def tributary_strips(area: Area, framing: Framing) -> dict[str, tuple[Strip, ...]]:
    """What each member carries of an area, exactly, piece by piece.

    Raises
    ------
    InputError
        An outline that is no polygon, or a part that reaches past the members' ends.

    Sources
    -------
    S-062 : half way to each neighbour.
    """
    axes, row = _row(area, framing)
    polygon = Polygon([axes.turned(p) for p in area.outline_in])
    if not polygon.is_valid or polygon.area < 1.0:
        raise InputError(f"area {area.id!r}", "an outline that crosses itself or has no area",
                         "a plain polygon in plan")  # fmt: skip
    found: dict[str, tuple[Strip, ...]] = {}
    for k, (member, across) in enumerate(row):
        low = -FAR_IN if k == 0 else (row[k - 1][1] + across) / 2
        high = FAR_IN if k == len(row) - 1 else (across + row[k + 1][1]) / 2
        strip = polygon.intersection(box(-FAR_IN, low, FAR_IN, high))
        found[member.id] = _strips(area, axes, member, strip)
    return found


def _strips(area: Area, axes: _Axes, member: Member, strip: Polygon) -> tuple[Strip, ...]:
    """Widths along one member."""
    if strip.is_empty:
        return ()
    a, b = axes.turned(member.start_in[:2])[0], axes.turned(member.end_in[:2])[0]
    low, high = min(a, b), max(a, b)
    left, _, right, _ = strip.bounds
    if left < low - UNCARRIED_IN or right > high + UNCARRIED_IN:
        past = max(low - left, right - high)
        raise InputError(
            f"area {area.id!r}", f"{past:.1f} in of it past an end of member {member.id!r}",
            "an area that its members carry", "Lengthen the member or shorten the area.",
        )  # fmt: skip
    marks = sorted({round(x, 6) for x in _corners(strip)})
    stretch = member.length_in / member.plan_length_in
    found = []
    for x0, x1 in pairwise(marks):
        if x1 - x0 < 0.01:
            continue
        w0, w1 = _end_widths(strip, x0, x1)
        s0, s1 = (abs(min(max(x, low), high) - a) * stretch for x in (x0, x1))
        if s0 > s1:
            s0, s1, w0, w1 = s1, s0, w1, w0
        if s1 - s0 > 0.05:
            found.append(Strip(s0, s1, w0, w1))
    return tuple(found)


def _corners(shape: Polygon) -> list[float]:
    """Distances along of all corners."""
    parts = getattr(shape, "geoms", [shape])
    return [x for part in parts if part.geom_type == "Polygon" for x, _ in part.exterior.coords]


def _end_widths(strip: Polygon, x0: float, x1: float) -> tuple[float, float]:
    """Widths at the two ends of a stretch in which the width runs straight. [in]"""
    third = (x1 - x0) / 3
    a, b = (
        strip.intersection(LineString([(x, -FAR_IN), (x, FAR_IN)])).length
        for x in (x0 + third, x1 - third)
    )
    return max(2 * a - b, 0.0), max(2 * b - a, 0.0)


def tributary_ft2(strips: tuple[Strip, ...], *, member: Member) -> float:
    """Area in plan that a member carries. [ft2]"""
    share = member.plan_length_in / member.length_in
    total = sum((s.to_in - s.from_in) * (s.start_width_in + s.end_width_in) / 2 for s in strips)
    return total * share / IN2_PER_FT2


def area_line_loads(
    area: Area, framing: Framing, intensities: tuple[Intensity, ...]
) -> tuple[LineLoad, ...]:
    """Line loads on the members that carry an area.

    Where both width and load change along a stretch it is cut into steps of at most 12 in, with the
    straight line through the true ends of each.

    Raises
    ------
    InputError
        A load that fades from a wall on an area without a wall.
    """
    loads = []
    strips = tributary_strips(area, framing)
    for name, pieces in strips.items():
        member = framing.member(name)
        for intensity in intensities:
            for piece in pieces:
                loads += _piece_loads(area, member, piece, intensity)
    return tuple(loads)


def _piece_loads(area: Area, member: Member, piece: Strip, intensity: Intensity) -> list[LineLoad]:
    """Line loads of one load on one stretch."""
    if intensity.breaks_in and area.wall_in is None:
        raise InputError(f"area {area.id!r}", f"{intensity.why} without a wall line",
                         "the line of the wall above it in plan")  # fmt: skip
    marks = _marks(area, member, piece, intensity)
    loads = []
    for a, b in pairwise(marks):
        inset = 1e-6 * (b - a)
        start, end = (
            _psf(area, member, s, intensity) * _width(piece, s) / IN_PER_FT
            for s in (a + inset, b - inset)
        )
        if max(abs(start), abs(end)) > 1e-9:
            loads.append(
                LineLoad(
                    member.id, intensity.case, start, end, a, b, intensity.why, intensity.source
                )
            )
    return loads


def _marks(area: Area, member: Member, piece: Strip, intensity: Intensity) -> list[float]:
    """Places where a stretch must be cut. [in]"""
    marks = {piece.from_in, piece.to_in}
    if not intensity.breaks_in:
        return sorted(marks)
    d0, d1 = (_wall_distance(area, member, s) for s in (piece.from_in, piece.to_in))
    for limit in intensity.breaks_in:
        if abs(d1 - d0) > 1e-9 and 0 < (limit - d0) / (d1 - d0) < 1:
            marks.add(piece.from_in + (limit - d0) / (d1 - d0) * (piece.to_in - piece.from_in))
    if abs(piece.end_width_in - piece.start_width_in) > 0.01:
        steps = int((piece.to_in - piece.from_in) // LONGEST_STEP_IN) + 1
        wide = (piece.to_in - piece.from_in) / steps
        marks |= {piece.from_in + k * wide for k in range(1, steps)}
    return sorted(marks)


def _width(piece: Strip, along_in: float) -> float:
    """Width carried at a place. [in]"""
    share = (along_in - piece.from_in) / (piece.to_in - piece.from_in)
    return piece.start_width_in + share * (piece.end_width_in - piece.start_width_in)


def _wall_distance(area: Area, member: Member, along_in: float) -> float:
    """Plan distance of a place on a member from the wall line. [in]"""
    assert area.wall_in is not None
    (x0, y0), (x1, y1) = area.wall_in
    x, y, _ = member.point_at(along_in)
    return abs((x1 - x0) * (y - y0) - (y1 - y0) * (x - x0)) / hypot(x1 - x0, y1 - y0)


def _psf(area: Area, member: Member, along_in: float, intensity: Intensity) -> float:
    """Load on plan at a place. [psf]"""
    if not intensity.breaks_in:
        return intensity.even_psf
    return intensity.at(_wall_distance(area, member, along_in))
