"""Layers: the bands of a strip drawn apart, each outside of what it really lies outside of."""

from __future__ import annotations

import itertools
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from weatherlap.building.corner import Corner
from weatherlap.drawings.cutting import Band, Strip
from weatherlap.drawings.look import THICKNESS, Hatch, hatch_of
from weatherlap.drawings.svg import Point

Floats = NDArray[np.float64]

GAP = 8.5
"""Air drawn between two layers, wide enough for a trail. [drawing units]"""
COURSE_GAP = 2.0
"""Air drawn between two courses of one kind. [drawing units]"""
FIRST_GAP = 3.0
"""Air between the face and its first layer. [drawing units]"""
BREAK = 20.0
"""The room that a break takes on the drawing. [drawing units]"""
EASE = 0.5
"""How fast a soft sheet steps outward over what lies behind it. [-]"""
SHORT = 60.0
"""A soft sheet shorter than this is drawn as stiff. [drawing units]"""
NEAR_IN = 1e-3
_SOFT = {Hatch.BARRIER, Hatch.METAL, Hatch.OPEN}
_BOARDS = {Hatch.WOOD, Hatch.BOARD, Hatch.MASONRY, Hatch.SOFT}


@dataclass(frozen=True, slots=True)
class Stop:
    """A place on a strip where the drawing is pulled apart to make room. [in, drawing units]"""

    at_in: float
    room: float


@dataclass(frozen=True, slots=True)
class Break:
    """A quiet stretch of a strip that is left out. [in]"""

    low_in: float
    high_in: float


@dataclass(frozen=True, slots=True)
class Scale:
    """Distances along a strip [in] to drawing units, pulled apart at stops, cut at breaks."""

    units_per_in: float
    stops: tuple[Stop, ...] = ()
    breaks: tuple[Break, ...] = ()

    def at(self, t_in: float, *, upper: bool) -> float:
        """Where a distance stands: at a stop, above or below its room. [drawing units]"""
        room = sum(
            s.room
            for s in self.stops
            if s.at_in < t_in - NEAR_IN or (upper and s.at_in <= t_in + NEAR_IN)
        )
        return t_in * self.units_per_in + room - sum(self._cut(b, t_in) for b in self.breaks)

    def _cut(self, gap: Break, t_in: float) -> float:
        """How much shorter a break makes the way to a place. [drawing units]"""
        whole = (gap.high_in - gap.low_in) * self.units_per_in - BREAK
        share = (t_in - gap.low_in) / (gap.high_in - gap.low_in)
        return max(whole, 0.0) * min(max(share, 0.0), 1.0)


@dataclass(frozen=True, slots=True)
class Layer:
    """A band as drawn: its profile as (along, off the face) points of its inner side.

    [drawing units]
    """

    band: Band
    hatch: Hatch
    thickness: float
    profile: tuple[Point, ...]

    @property
    def low(self) -> float:
        """Where it begins along the strip. [drawing units]"""
        return self.profile[0][0]

    @property
    def high(self) -> float:
        """Where it ends along the strip. [drawing units]"""
        return self.profile[-1][0]

    def off(self, along: float) -> float:
        """How far its inner side stands off the face. [drawing units]"""
        points = self.profile
        if along <= points[0][0]:
            return points[0][1]
        for (t0, a0), (t1, a1) in itertools.pairwise(points):
            if along <= t1:
                return a0 + (a1 - a0) * (along - t0) / (t1 - t0) if t1 > t0 else a1
        return points[-1][1]


@dataclass(frozen=True, slots=True)
class Stacking:
    """How layers are drawn apart.

    ``swell`` widens layers and air where there are few of them.  ``courses`` are pieces that
    lean on one another; those with the same number in ``course_of`` are of one kind and stand
    closer, as no finding is about them.
    """

    corner: Corner
    swell: float = 1.0
    course_of: Mapping[int, int] = field(default_factory=dict)
    courses: frozenset[int] = frozenset()

    def gap(self, inner: int, outer: int) -> float:
        """Air between a piece and the one that it lies on. [drawing units]"""
        course = self.course_of.get(inner)
        same = course is not None and course == self.course_of.get(outer)
        return COURSE_GAP if same else GAP * self.swell

    def thickness(self, hatch: Hatch) -> float:
        """How thick a layer is drawn. [drawing units]"""
        return THICKNESS[hatch] * self.swell


def layers_of(stacking: Stacking, strip: Strip, scale: Scale) -> tuple[Layer, ...]:
    """The bands of a strip, innermost first, each with room for water behind it."""
    corner = stacking.corner
    count = max(int(np.ceil(scale.at(strip.length_in, upper=True))), 1)
    along: Floats = np.arange(count, dtype=np.float64) + 0.5
    reach = np.full(count, FIRST_GAP)
    under = np.full(count, -1)
    found = []
    for band in strip.bands:
        if any(b.low_in <= band.start and band.end <= b.high_in for b in scale.breaks):
            continue
        low, high = scale.at(band.start, upper=True), scale.at(band.end, upper=False)
        high = max(high, low + 1.0)
        own = (along > low) & (along < high)
        if not own.any():
            own[min(int((low + high) / 2), count - 1)] = True
        gaps = {p: stacking.gap(p, band.piece) if p >= 0 else 0.0 for p in set(under[own].tolist())}
        least = reach[own] + np.array([gaps[p] for p in under[own].tolist()])
        hatch = hatch_of(corner.pieces[band.piece])
        fit = _eased if hatch in _SOFT and high - low > SHORT else _taut
        if hatch in _BOARDS or (hatch is Hatch.CLADDING and band.piece not in stacking.courses):
            fit = _straight
        offsets = fit(along[own], least)
        thick = stacking.thickness(hatch)
        reach[own], under[own] = offsets + thick, band.piece
        found.append(Layer(band, hatch, thick, _profile(along[own], offsets, low, high)))
    return tuple(found)


def _eased(along: Floats, least: Floats) -> Floats:
    """A soft sheet: follows what lies behind it, with eased steps outward."""
    steps = float(least.max() - least.min())
    ease = max(EASE, steps / max(0.5 * (along[-1] - along[0]), 1.0))
    forward: Floats = np.maximum.accumulate(least + ease * along) - ease * along
    back: Floats = np.maximum.accumulate((least - ease * along)[::-1])[::-1] + ease * along
    return np.maximum(forward, back)


def _taut(along: Floats, least: Floats) -> Floats:
    """A stiff board: the tightest profile without hollows that clears what lies behind it."""
    hull: list[Point] = []
    for t, a in zip(along.tolist(), least.tolist(), strict=True):
        while len(hull) > 1 and _hollow(hull[-2], hull[-1], (t, a)):
            hull.pop()
        hull.append((t, a))
    return np.interp(along, [t for t, _ in hull], [a for _, a in hull])


def _straight(along: Floats, least: Floats) -> Floats:
    """A board that lies flat: as far out as what lies behind it needs."""
    return np.full(len(along), least.max())


def _hollow(first: Point, middle: Point, last: Point) -> bool:
    """Whether the middle one of three points lies on or inside the line of the others."""
    rise = (middle[1] - first[1]) * (last[0] - first[0])
    return rise <= (last[1] - first[1]) * (middle[0] - first[0])


def _profile(along: Floats, offsets: Floats, low: float, high: float) -> tuple[Point, ...]:
    """The corners of a sampled profile, from its low to its high end."""
    bend = np.abs(np.diff(offsets, 2)) > 1e-6
    inner = [k + 1 for k in np.flatnonzero(bend).tolist()]
    points = [(low, float(offsets[0]))]
    points += [(float(along[k]), float(offsets[k])) for k in inner if low < along[k] < high]
    return (*points, (high, float(offsets[-1])))


def outermost(
    layers: Sequence[Layer], low: float, high: float, keep: Callable[[Layer], bool]
) -> float:
    """How far the kept layers stand off the face between two places. [drawing units]"""
    far = 0.0
    for layer in layers:
        if layer.low <= high and layer.high >= low and keep(layer):
            places = [max(layer.low, low), min(layer.high, high)]
            places += [t for t, _ in layer.profile if low <= t <= high]
            far = max(far, *(layer.off(t) + layer.thickness for t in places))
    return far
