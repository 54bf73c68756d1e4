"""Courses: lap siding up a wall, and shingles up a roof with step flashing laid between."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import shapely
from shapely import Polygon

from weatherlap.building.details.parts import (
    Drawn,
    Slant,
    down_to_sixteenth,
    patches,
    piece,
    rect,
    shape,
)
from weatherlap.job.model import Edge

SHINGLE_EXPOSURE_IN = 5.625
SHINGLE_HEIGHT_IN = 13.25
STARTER_IN = 7.0
STEP_LENGTH_IN = 8.0
STEP_BACK_IN = 0.5
"""How far a step flashing stays up-roof of the edge of the shingle over it. [in]"""


@dataclass(frozen=True, slots=True)
class Siding:
    """One kind of lap siding: its catalogue entry, what shows of a course, and its lap. [in]"""

    what: str
    title: str
    exposure_in: float
    lap_in: float


VINYL = Siding("vinyl-siding", "siding", 8.0, 1.0)
BOARDS = Siding("fibre-cement-siding", "siding", 7.0, 1.25)
CEDAR = Siding("wood-siding", "siding", 4.5, 1.0)


def lap_siding(
    face_id: str,
    region: Polygon,
    kind: Siding,
    *,
    name: str = "siding",
    sealed: Sequence[int] = (),
    comment: str = "",
) -> list[Drawn]:
    """Courses of siding from the foot of a region to its top, each lapped over the one below.

    Parameters
    ----------
    region : Polygon
        Where there is siding on the face, cut round what is in its way. [in]
    sealed : sequence of int
        Courses (from 1) whose lower edge is caulked.
    """
    left, bottom, right, top = region.bounds
    found: list[Drawn] = []
    count = max(1, math.ceil((top - bottom) / kind.exposure_in - 1e-9))
    for k in range(1, count + 1):
        low = bottom + (k - 1) * kind.exposure_in
        board = shapely.box(left, low, right, low + kind.exposure_in + kind.lap_in)
        panels = list(patches(face_id, region.intersection(board)))
        if panels:
            edges = (Edge.BOTTOM,) if k in sealed else ()
            title = f"{kind.title} course {k}"
            note = comment if not found else ""
            found.append(
                piece(f"{name}-{k}", title, kind.what, *panels, sealed=edges, comment=note)
            )
    return found


@dataclass(frozen=True, slots=True)
class RoofLine:
    """Where a roof of a length up the slope runs up against a wall, as far as ``far``. [in]"""

    wall: str
    roof: str
    line: Slant
    far: float
    length: float

    def across(self, up_roof: float) -> float:
        """Where a distance up the roof lies across the wall, to the tape. [in]"""
        start = self.line.start_in
        return min(self.far, down_to_sixteenth(start + up_roof * (self.far - start) / self.length))


@dataclass(frozen=True, slots=True)
class Step:
    """A step flashing by its number: the stretch it covers, measured up the roof. [in]"""

    number: int
    low: float
    high: float


def steps(length: float) -> list[Step]:
    """Step flashings up a roof: number 0 at the eave, then one after each course. [in]"""
    found = [Step(0, 0.0, STEP_LENGTH_IN + STEP_BACK_IN)]
    while found[-1].high < length:
        low = found[-1].low + SHINGLE_EXPOSURE_IN + (STEP_BACK_IN if len(found) == 1 else 0.0)
        high = low + STEP_LENGTH_IN
        found.append(Step(len(found), low, high if high < length - 1.0 else length))
    return found


def step_flashing(step: Step, against: RoofLine, *, out: float, up: float) -> Drawn:
    """A step flashing that reaches ``out`` over the roof and, plumb, ``up`` the wall. [in]"""
    left, right = against.across(step.low), against.across(step.high)
    line = against.line
    upturn = [line.foot(left), line.foot(right), *line.band(left, right, low=0.0, high=up)[2:]]
    return piece(
        f"step-{step.number}",
        f"step flashing {step.number}",
        "step-flashing",
        shape(against.wall, upturn),
        rect(against.roof, 0, step.low, out, step.high),
    )


def shingles(
    face_id: str,
    span: tuple[float, float],
    length: float,
    *,
    between: Sequence[Drawn] = (),
    foot: float = 0.0,
) -> Iterator[Drawn]:
    """A starter course, then courses of shingles; after course k comes ``between[k]``.

    Parameters
    ----------
    span : tuple of float
        Left and right edge of the courses. [in]
    length : float
        Length of the roof, up the slope. [in]
    between : sequence of Drawn
        Pieces laid alternately with the courses; the first lies on the starter.
    foot : float
        How far the lowest edge stays up-roof of the edge of the face. [in]
    """
    left, right = span
    count = max(1, math.ceil(length / SHINGLE_EXPOSURE_IN - 1e-9))
    yield piece(
        "starter",
        "starter course",
        "starter-strip",
        rect(face_id, left, foot, right, STARTER_IN),
        comment="The roof from the eave up.",
    )
    yield from between[:1]
    for k in range(1, count + 1):
        low = (k - 1) * SHINGLE_EXPOSURE_IN
        top = min(low + SHINGLE_HEIGHT_IN, length)
        panel = rect(face_id, left, max(low, foot), right, top)
        if top - low >= 1 / 16:
            yield piece(f"shingle-{k}", f"shingle course {k}", "asphalt-shingle", panel)
        yield from between[k : k + 1]
