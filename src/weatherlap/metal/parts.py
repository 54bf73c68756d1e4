"""A flat pattern cut into the lengths and widths that brake and coil can take."""

from __future__ import annotations

from collections.abc import Sequence
from string import ascii_uppercase

import shapely
from shapely import LineString, Polygon
from shapely.affinity import translate

from weatherlap.errors import InputError
from weatherlap.metal.flat import BendLine, FlatPattern
from weatherlap.metal.girth import Strip

FAR_IN = 1e5
LEAST_LINE_IN = 0.02


def along_run(
    pattern: FlatPattern, runs: Sequence[tuple[float, float]], *, length_in: float
) -> tuple[FlatPattern, ...]:
    """The pattern in pieces along its run; what stands beyond its ends goes with the end pieces.

    Parameters
    ----------
    runs : sequence of (from, to)
        Where each piece begins and ends. [in]
    length_in : float
        Length of the run. [in]

    Raises
    ------
    InputError
        If nothing of the pattern lies in one of them.
    """
    if len(runs) < 2:
        return (pattern,)
    found = []
    for number, (x0, x1) in enumerate(runs, 1):
        low = -FAR_IN if x0 <= 0 else x0
        high = FAR_IN if x1 >= length_in - 1e-6 else x1
        found.append(_part(pattern, f"{number}", (low, -FAR_IN, high, FAR_IN)))
    return tuple(found)


def across_girth(
    pattern: FlatPattern, middles_in: Sequence[float], *, lap_in: float
) -> tuple[FlatPattern, ...]:
    """The strips of a pattern, lapped at places across it from its start edge. [in]"""
    lows = [-FAR_IN, *(y - lap_in / 2 for y in middles_in)]
    highs = [*(y + lap_in / 2 for y in middles_in), FAR_IN]
    boxes = ((-FAR_IN, low, FAR_IN, high) for low, high in zip(lows, highs, strict=True))
    return tuple(
        _part(pattern, name, box) for name, box in zip(ascii_uppercase, boxes, strict=False)
    )


def middle_of_leg(strip: Strip, leg: int) -> float:
    """The middle of a leg (counted from 0) on the flat strip. [in]"""
    marks = (0.0, *strip.lines_in, strip.girth_in)
    return (marks[leg] + marks[leg + 1]) / 2


def _part(pattern: FlatPattern, name: str, box: tuple[float, float, float, float]) -> FlatPattern:
    """What of a pattern lies in a box, its own lower left corner at 0, 0."""
    window = shapely.box(*box)
    shape = Polygon(pattern.outline).intersection(window)
    parts = [p for p in getattr(shape, "geoms", (shape,)) if isinstance(p, Polygon) and p.area]
    if not parts:
        where = f"profile {pattern.profile_id}, piece {name}"
        raise InputError(where, "no metal lies there", "a piece within the pattern")
    whole = max(parts, key=lambda p: p.area)
    x0, y0, x1, y1 = whole.bounds
    lines = [_line(n, whole, -x0, -y0) for n in pattern.bend_lines]
    ring = tuple((x - x0, y - y0) for x, y in whole.exterior.coords)[:-1]
    return FlatPattern(
        f"{pattern.profile_id} {name}", ring, tuple(n for n in lines if n is not None),
        (x1 - x0, y1 - y0), whole.area, (y1 - y0, y1 - y0),
    )  # fmt: skip


def _line(line: BendLine, shape: Polygon, dx: float, dy: float) -> BendLine | None:
    """A bend line as far as there is metal, moved."""
    inside = LineString((line.start, line.end)).intersection(shape)
    parts = [p for p in getattr(inside, "geoms", (inside,)) if isinstance(p, LineString)]
    longest = max(parts, key=lambda p: p.length, default=None)
    if longest is None or longest.length < LEAST_LINE_IN:
        return None
    moved = translate(longest, dx, dy)
    (a, b), (c, d) = moved.coords[0], moved.coords[-1]
    return BendLine((a, b), (c, d), line.angle_deg, line.toward, line.bend)


def runs_of(lengths_in: Sequence[float], *, length_in: float) -> tuple[tuple[float, float], ...]:
    """Where equal pieces that lap one another begin and end along a run. [in]

    Sources
    -------
    M-007 : laps of trim coil along a run.
    """
    if len(lengths_in) < 2:
        return ((0.0, length_in),)
    step = (length_in - lengths_in[-1]) / (len(lengths_in) - 1)
    starts = [step * k for k in range(len(lengths_in))]
    ends = zip(starts, lengths_in, strict=True)
    return tuple((s, min(s + long, length_in)) for s, long in ends)
