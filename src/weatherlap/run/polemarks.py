"""The marks of a story pole: everything that a line across a face passes, by its distance."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from shapely import LineString

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.model import Job, Run
from weatherlap.run.layouts import laid_out
from weatherlap.run.ordering import order_job
from weatherlap.run.states import State
from weatherlap.run.worked import as_drawn, in_state
from weatherlap.units import tape

SAME_IN = 1 / 32
"""Marks nearer than this are one. [in]"""
GUTTER_REACH_IN = 48.0


class Along(StrEnum):
    """Which way a story pole is held on its face."""

    UP = "up"
    RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Mark:
    """A mark: where, what it is, and the piece's number in the take-down (0: none). [in]"""

    at_in: float
    text: str
    number: int = 0


@dataclass(frozen=True, slots=True)
class Pole:
    """A story pole: marks from the start of a line across a face, the lowest first. [in]"""

    job: str
    face: str
    held: str
    length_in: float
    marks: tuple[Mark, ...]


@dataclass(frozen=True, slots=True)
class _Line:
    """A line across a face: where it runs, and from where its marks are taken. [in]"""

    face: int
    along: Along
    at: float
    low: float
    high: float

    @property
    def geometry(self) -> LineString:
        """The line in the face's own plane."""
        ends = ((self.at, self.low), (self.at, self.high))
        return LineString(ends if self.along is Along.UP else [(b, a) for a, b in ends])

    def place(self, point: tuple[float, float]) -> float:
        """How far along a point lies. [in]"""
        return point[1] if self.along is Along.UP else point[0]


def story_pole(
    job: Job, *, face: str | None, along: Along, at_in: float | None, state: State
) -> Pole:
    """The story pole of a line across a face.

    Parameters
    ----------
    face : str or None
        The face; None takes the one with the most pieces.
    at_in : float or None
        Where the pole is held, from the face's left end or foot; None takes the place where it
        passes most pieces. [in]

    Raises
    ------
    InputError
        If there is no such face, or the pole would be held off it.
    """
    corner = as_drawn(in_state(job, state))
    number = _face(corner, face)
    line = _line(corner, number, along, at_in)
    numbers, runs = _numbers(job), _runs(job, corner, line)
    marks = [
        *_ends(line),
        *_edges(corner, line, numbers, {r.id for r in runs}),
        *_folds(corner, line),
        *_gutters(corner, line),
        *_laid_out(job, line, runs, numbers),
    ]
    return Pole(
        job=job.job.title,
        face=corner.faces[number].title,
        held=_held_words(corner, line),
        length_in=line.high - line.low,
        marks=_merged(marks, line.low),
    )


def _face(corner: Corner, face: str | None) -> int:
    if face is None:
        return max(range(len(corner.faces)), key=lambda f: len(corner.panels_on[f]))
    if face not in corner.face_named:
        known = ", ".join(corner.face_named)
        raise InputError("face", f"there is no {face!r}", f"one of {known}")
    return corner.face_named[face].index


def _line(corner: Corner, face: int, along: Along, at_in: float | None) -> _Line:
    outline = corner.faces[face].outline
    left, foot, right, top = outline.bounds
    start, end = (left, right) if along is Along.UP else (foot, top)
    if at_in is not None and not 0 <= at_in <= end - start:
        want = f"0 to {tape(end - start)}"
        raise InputError("the pole's place", f"found {tape(at_in)}", want)
    at = _busiest(corner, face, along, start, end) if at_in is None else start + at_in
    at = min(max(at, start + SAME_IN), end - SAME_IN)
    whole = (
        _Line(face, along, at, foot, top)
        if along is Along.UP
        else _Line(face, along, at, left, right)
    )
    inside = outline.intersection(whole.geometry)
    bounds = inside.bounds
    low, high = (bounds[1], bounds[3]) if along is Along.UP else (bounds[0], bounds[2])
    return _Line(face, along, at, low, high)


def _busiest(corner: Corner, face: int, along: Along, start: float, end: float) -> float:
    """The place, half-way between two edges, that lies over most pieces."""
    k = 0 if along is Along.UP else 1
    boxes = [corner.panels[p].polygon.bounds for p in corner.panels_on[face]]
    edges = sorted({start, end, *(b[k] for b in boxes), *(b[k + 2] for b in boxes)})
    middles = [(a + b) / 2 for a, b in pairwise(edges) if b - a > 2 * SAME_IN]

    def count(at: float) -> int:
        return sum(b[k] < at < b[k + 2] for b in boxes)

    return max(middles, key=lambda at: (count(at), -abs(at - (start + end) / 2)), default=start)


def _numbers(job: Job) -> Mapping[str, int]:
    """Numbers of the pieces in the take-down; none where the job holds no change."""
    if not job.change:
        return {}
    ordered = order_job(job)
    return {ordered.found.pieces[r.piece].id: r.number for r in ordered.down.removals}


def _ends(line: _Line) -> Iterator[Mark]:
    first, last = ("foot", "top") if line.along is Along.UP else ("left end", "right end")
    yield Mark(line.low, f"{first} of the face")
    yield Mark(line.high, f"{last} of the face")


def _sides(line: _Line) -> tuple[str, str]:
    return ("foot", "top") if line.along is Along.UP else ("left edge", "right edge")


def _edges(
    corner: Corner, line: _Line, numbers: Mapping[str, int], laid_out: Collection[str]
) -> Iterator[Mark]:
    """Where the line enters and leaves each piece; those of a run stand at their own marks."""
    first, last = _sides(line)
    for p in corner.panels_on[line.face]:
        panel = corner.panels[p]
        piece = corner.pieces[panel.piece]
        crossed = panel.polygon.intersection(line.geometry)
        if piece.record.run in laid_out or crossed.is_empty or crossed.length < SAME_IN:
            continue
        number = numbers.get(piece.id, 0)
        ends = [line.place(c) for c in _ends_of(crossed)]
        yield Mark(min(ends), f"{first} of {piece.title}", number)
        yield Mark(max(ends), f"{last} of {piece.title}", number)


def _ends_of(crossed: object) -> Iterator[tuple[float, float]]:
    for part in getattr(crossed, "geoms", [crossed]):
        yield from part.coords


def _folds(corner: Corner, line: _Line) -> Iterator[Mark]:
    for fold in corner.contacts_of[line.face]:
        met = LineString([fold.start, fold.end]).intersection(line.geometry)
        if met.is_empty or met.length > SAME_IN:
            continue
        point = met.centroid
        title = corner.faces[fold.there].title
        yield Mark(line.place((point.x, point.y)), f"fold to the {title}")


def _gutters(corner: Corner, line: _Line) -> Iterator[Mark]:
    """The ends of gutters near the line, as high as they hang; on upright poles only."""
    frame = corner.faces[line.face].frame
    if line.along is not Along.UP:
        return
    for piece in corner.pieces:
        if piece.gutter is None:
            continue
        ends = (piece.gutter.start, piece.gutter.end)
        rise = abs(ends[0][2] - ends[1][2])
        for end, other in (ends, ends[::-1]):
            u, v = frame.to_plane(end)
            near = abs(u - line.at) <= GUTTER_REACH_IN and line.low <= v <= line.high
            if near and abs(frame.height_over(end)) <= GUTTER_REACH_IN:
                side = ", high end" if end[2] > other[2] else ", low end"
                yield Mark(v, f"{piece.title}{side if rise >= SAME_IN else ''}")


def _runs(job: Job, corner: Corner, line: _Line) -> tuple[Run, ...]:
    """The runs on the face that go the pole's way."""
    face = corner.faces[line.face].id
    return tuple(r for r in job.run if r.face == face and r.along == line.along.value)


def _laid_out(
    job: Job, line: _Line, runs: Iterable[Run], numbers: Mapping[str, int]
) -> Iterator[Mark]:
    """Where the pieces of runs begin, and the marks that were taped."""
    for run in runs:
        own = [p for p in job.piece if p.run == run.id]
        title = run.title or run.id
        for mark in run.marks:
            yield Mark(mark.at, f"taped mark: {mark.after} of the {title} end here")
        places = laid_out(job, job.run.index(run)).layout.places
        for place, piece in zip(places, own, strict=True):
            words = f"{_sides(line)[0]} of {piece.title or piece.id}"
            yield Mark(place.start_in, words, numbers.get(piece.id, 0))


def _held_words(corner: Corner, line: _Line) -> str:
    left, foot, _, _ = corner.faces[line.face].outline.bounds
    if line.along is Along.UP:
        return f"held upright {tape(line.at - left)} from the left end"
    return f"held level {tape(line.at - foot)} up from the foot"


def _merged(marks: list[Mark], low: float) -> tuple[Mark, ...]:
    """Marks by their place from the pole's start, those at one place as one."""
    rows: list[Mark] = []
    for mark in sorted(marks, key=lambda m: (m.at_in, m.number == 0, m.text)):
        at = mark.at_in - low
        if rows and at - rows[-1].at_in <= SAME_IN:
            old = rows[-1]
            text = old.text if mark.text in old.text else f"{old.text}; {mark.text}"
            rows[-1] = Mark(old.at_in, text, old.number or mark.number)
        else:
            rows.append(Mark(at, mark.text, mark.number))
    return tuple(rows)
