"""The flat pattern of a bent piece: what is cut out and where it is bent."""

from __future__ import annotations

import math
from dataclasses import dataclass

from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from weatherlap.errors import InputError
from weatherlap.metal.bending import bend_allowance_in, setback_in
from weatherlap.metal.develop import Point, Sheet, unroll
from weatherlap.metal.ends import SQUARE, EndCut, Notch, Tab, check_end
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import Bend, Metal, Profile, Toward, checked
from weatherlap.metal.section import check_folds

SLIVER_IN = 1e-6
OVERLAP_IN = 0.02
LONGEST_PIECE_IN = 1200.0


@dataclass(frozen=True, slots=True)
class BendLine:
    """A line to bend on, painted side up. [in, deg]

    ``bend`` counts from 1 at the start edge; 0 is the line of a tab.
    """

    start: Point
    end: Point
    angle_deg: float
    toward: Toward
    bend: int


@dataclass(frozen=True, slots=True)
class FlatPattern:
    """A true flat pattern, painted side up: x along the piece, y across from its start edge. [in]

    ``outline`` is the cut line, once round; ``blank_in`` the (length, width) of the least
    rectangle, square to the start edge, that it is cut from.
    """

    profile_id: str
    outline: tuple[Point, ...]
    bend_lines: tuple[BendLine, ...]
    blank_in: tuple[float, float]
    area_in2: float
    girths_in: tuple[float, float]


def flat_pattern(
    profile: Profile,
    *,
    metal: Metal,
    length_in: float,
    near: EndCut = SQUARE,
    far: EndCut = SQUARE,
    far_profile: Profile | None = None,
    hold: int = 1,
) -> FlatPattern:
    """The flat pattern of a piece.

    Parameters
    ----------
    profile : Profile
        Cross-section at the near end. [in, deg]
    metal : Metal
        Thickness, K, radius. [in]
    length_in : float
        From section to section where the start edge begins, tabs not counted. [in]
    near, far : EndCut
        How the ends are cut.
    far_profile : Profile or None
        Cross-section at the far end where the piece tapers: the same bends, other legs.
    hold : int
        The leg (from 1) whose first edge stays parallel to x where the piece tapers.

    Returns
    -------
    FlatPattern
        Outline, bend lines, blank, area. [in]

    Raises
    ------
    InputError
        If the profile crosses itself, the far profile has other bends, an end is cut away, or a
        tab lies on other metal.

    Sources
    -------
    M-001 : allowances. M-016 : development of flats and bends, ruling by ruling.
    """
    last = profile if far_profile is None else far_profile
    _check(profile, last, metal, length_in, hold)
    check_end(profile, near)
    check_end(last, far)
    sheet = unroll(profile, last, metal=metal, length_in=length_in, cuts=(near, far), hold=hold - 1)
    body = Polygon((*sheet.near, *reversed(sheet.far)))
    if not body.is_valid or body.area <= 0 or any(a[0] >= b[0] for a, b in _pairs(sheet)):
        found = "the cuts of both ends meet on the piece"
        raise InputError(f"profile {profile.id}", found, "a longer piece or flatter mitres")
    outline, tab_lines = _with_ends(profile, metal, sheet, body, near, far)
    lines = (*_bend_lines(profile, sheet, outline), *tab_lines)
    return finished(profile, last, metal, outline, lines)


def _pairs(sheet: Sheet) -> list[tuple[Point, Point]]:
    return list(zip(sheet.near, sheet.far, strict=True))


def _check(profile: Profile, last: Profile, metal: Metal, length_in: float, hold: int) -> None:
    where = f"profile {profile.id}"
    checked(f"{where}, length", length_in, least=0.25, most=LONGEST_PIECE_IN)
    if last.bends != profile.bends:
        raise InputError(where, "other bends at the far end", "the same bends at both ends")
    if not 1 <= hold <= len(profile.legs):
        raise InputError(where, f"leg {hold} held", f"1 to {len(profile.legs)}")
    check_folds(profile, metal=metal)
    check_folds(last, metal=metal)


def _with_ends(
    profile: Profile, metal: Metal, sheet: Sheet, body: Polygon, near: EndCut, far: EndCut
) -> tuple[Polygon, list[BendLine]]:
    """The outline with notches taken away and tabs added, and the bend lines of the tabs."""
    shape: BaseGeometry = body
    lines = []
    for cut, edge, back in ((near, sheet.near, sheet.far), (far, sheet.far, sheet.near)):
        for notch in cut.notches:
            shape = shape.difference(_notch(notch, sheet, edge, back))
        for tab in cut.tabs:
            flap, line = _tab(tab, metal, sheet, edge, back)
            if flap.intersection(shape).area > OVERLAP_IN * flap.length:
                found = f"the tab of leg {tab.leg} lies on other metal of the flat"
                raise InputError(f"profile {profile.id}", found, "room for it", "Notch beside it.")
            shape = shape.union(flap)
            lines.append(line)
    if not isinstance(shape, Polygon) or shape.is_empty or shape.interiors:
        raise InputError(f"profile {profile.id}", "the notches part the piece", "one piece left")
    return shape, lines


def _notch(notch: Notch, sheet: Sheet, edge: tuple[Point, ...], back: tuple[Point, ...]) -> Polygon:
    """The metal of some legs, from an end inward; the outer legs up to the edge of the sheet."""
    first = sheet.flats[notch.first_leg - 1][0]
    last = sheet.flats[notch.last_leg - 1][1]
    nodes = range(first, last + 1)
    inner = [_toward(edge[n], back[n], notch.depth_in) for n in nodes]
    outer = [_toward(edge[n], back[n], -1.0) for n in nodes]
    return Polygon((*inner, *reversed(outer))).buffer(0)


def _tab(
    tab: Tab, metal: Metal, sheet: Sheet, edge: tuple[Point, ...], back: tuple[Point, ...]
) -> tuple[Polygon, BendLine]:
    """A tab beyond the end of a leg, and its bend line."""
    first, last = sheet.flats[tab.leg - 1]
    a, b = edge[first], edge[last]
    wide = math.dist(a, b)
    ahead = ((b[0] - a[0]) / wide, (b[1] - a[1]) / wide)
    out = (ahead[1], -ahead[0])
    if out[0] * (back[first][0] - a[0]) + out[1] * (back[first][1] - a[1]) > 0:
        out = (-out[0], -out[1])
    setback = setback_in(tab.angle_deg, radius_in=metal.radius_in)
    allowance = bend_allowance_in(
        tab.angle_deg, radius_in=metal.radius_in, thickness_in=metal.thickness_in,
        k_factor=metal.k_factor,
    )  # fmt: skip
    reach = tab.length_in + allowance - 2 * setback
    narrow = tab.inset_in + reach * math.tan(math.radians(tab.taper_deg))
    if 2 * narrow >= wide:
        found = f'{wide:.3f}" of leg for a tab that narrows by {2 * narrow:.3f}"'
        raise InputError(f"tab of leg {tab.leg}", found, "less taper, inset or length")

    def point(along: float, outward: float) -> Point:
        return (
            a[0] + along * ahead[0] + outward * out[0],
            a[1] + along * ahead[1] + outward * out[1],
        )

    low, high = tab.inset_in, wide - tab.inset_in
    flap = Polygon(
        [
            point(low, -OVERLAP_IN), point(low, 0.0), point(narrow, reach),
            point(wide - narrow, reach), point(high, 0.0), point(high, -OVERLAP_IN),
        ]
    )  # fmt: skip
    line = allowance / 2 - setback
    return flap, BendLine(point(low, line), point(high, line), tab.angle_deg, tab.toward, 0)


def _toward(a: Point, b: Point, far: float) -> Point:
    part = far / math.dist(a, b)
    return a[0] + part * (b[0] - a[0]), a[1] + part * (b[1] - a[1])


def _bend_lines(profile: Profile, sheet: Sheet, outline: Polygon) -> list[BendLine]:
    """The profile's own bend lines, as far as there is metal."""
    found: list[BendLine] = []
    for number, (node, bend) in enumerate(zip(sheet.middles, profile.bends, strict=True), 1):
        inside = LineString((sheet.near[node], sheet.far[node])).intersection(outline)
        found.extend(
            _bend_line(part, bend, number)
            for part in getattr(inside, "geoms", (inside,))
            if isinstance(part, LineString) and part.length > SLIVER_IN
        )
    return found


def _bend_line(part: LineString, bend: Bend, number: int) -> BendLine:
    (x0, y0), (x1, y1) = part.coords[0], part.coords[-1]
    return BendLine((x0, y0), (x1, y1), bend.angle_deg, bend.toward, number)


def finished(
    profile: Profile, last: Profile, metal: Metal, outline: Polygon, lines: tuple[BendLine, ...]
) -> FlatPattern:
    """The pattern of an outline with its bend lines: blank, area, girths at both ends."""
    x0, y0, x1, y1 = outline.bounds
    ring = tuple((x, y) for x, y in outline.simplify(SLIVER_IN).exterior.coords)[:-1]
    girths = tuple(lay_flat(p, metal=metal).girth_in for p in (profile, last))
    blank = (x1 - x0, y1 - y0)
    return FlatPattern(profile.id, ring, lines, blank, outline.area, (girths[0], girths[1]))
