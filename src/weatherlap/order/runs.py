"""Runs: like pieces between taped marks, and whether each keeps its bite in the channels."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from weatherlap.errors import InputError
from weatherlap.job.model import Run
from weatherlap.takeoff.movement import DEFAULT_SEASON, EXPANSION, movement_in
from weatherlap.units import tape

BITE_IN = 0.375
"""Least that a piece keeps in a channel, whatever it does. [in]"""
BELLY = 1 / 20
"""Belly of a panel in the gust of 50 mph, as a share of its span. [-]"""
BELLY_GUST_M_PER_S = 22.352
MOST_BELLY = 1 / 8
LAID_AT_F = 60.0
_EXPANSION = {"vinyl": "vinyl-siding", "aluminum": "aluminum", "wood": "wood"}
_TINY_IN = 1e-6
GRAIN = 32
"""Bites are told to this part of an inch. [-]"""


def at_most(size: float) -> float:
    """A size down to the 1/32 in that is surely there; 0 if there is none. [in]"""
    return max(math.floor(GRAIN * size + _TINY_IN) / GRAIN, 0.0)


def at_least(size: float) -> float:
    """A size up to the 1/32 in that is surely enough. [in]"""
    return math.ceil(GRAIN * size - _TINY_IN) / GRAIN


def bite_text(bite_in: float) -> str:
    """What is kept in a channel, rounded down."""
    return tape(at_most(bite_in), sixteenths=GRAIN)


def need_text(need_in: float) -> str:
    """What is needed in a channel, rounded up."""
    return tape(at_least(need_in), sixteenths=GRAIN)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a piece of a run goes. [in]

    ``stretch_in`` is how much its lap is drawn out (over 0) or closed (under 0) against the middle
    of what a piece can show; ``rip_in`` the width that it is ripped to show, None for a whole one;
    ``cut_in`` the length across, its own one if it is used again;
    ``bite_in`` what stays in the worse channel when it lies right over to the other side, and
    ``need_in`` what it needs there in wind and cold. All three are None without channels.
    """

    number: int
    start_in: float
    end_in: float
    stretch_in: float
    cut_in: float | None
    bite_in: float | None
    need_in: float | None
    rip_in: float | None = None

    @property
    def falls_out(self) -> bool:
        """Whether its bite is too small."""
        if self.bite_in is None or self.need_in is None:
            return False
        return at_most(self.bite_in) < at_least(self.need_in)


@dataclass(frozen=True, slots=True)
class Layout:
    """A run laid out, with what has to be watched."""

    run: Run
    places: tuple[Place, ...]
    warnings: tuple[str, ...]


def lay_out(run: Run, count: int, *, gust_m_per_s: float) -> Layout:
    """Lay a run of pieces out between its marks, evenly in each stretch.

    Where that does not fit and the run allows it, its first and last piece are ripped: to the same
    width where no mark lies between them.

    Parameters
    ----------
    run : Run
        The run with its marks.
    count : int
        How many pieces it has. [-]
    gust_m_per_s : float
        Gust that it must hold against. [m/s]

    Raises
    ------
    InputError
        If there are no pieces, marks are out of order, or marks cannot hold their pieces.

    Sources
    -------
    O-002, O-003 : the bite a piece needs.
    """
    edges = _edges(run, count)
    places: list[Place] = []
    for (done, low), (upto, high) in pairwise(edges):
        rows = stretch_widths(run, upto - done, (low, high), ends=(done == 0, upto == count))
        at = low
        for k, (width, ripped) in enumerate(rows):
            end = high if k == len(rows) - 1 else at + width
            place = _place(run, len(places), at, end, gust_m_per_s)
            places.append(replace(place, stretch_in=0.0, rip_in=width) if ripped else place)
            at = end
    return Layout(run, tuple(places), tuple(_warnings(run, places)))


def _edges(run: Run, count: int) -> list[tuple[int, float]]:
    """(pieces so far, place) of the start, each mark and the end."""
    if count == 0:
        raise InputError(
            f"run {run.id!r}",
            "no piece names it",
            "pieces with this `run`",
            f'Write run = "{run.id}" at each of its pieces.',
            key=("id",),
        )
    if run.lengths and len(run.lengths) != count:
        raise InputError(
            f"run {run.id!r}",
            f"it has {count} pieces and {len(run.lengths)} `lengths`",
            "a length for each piece, or none",
            key=("lengths",),
        )
    rows = [(0, run.start), *((m.after, m.at) for m in run.marks), (count, run.end)]
    for (n, a), (m, b) in pairwise(rows):
        if m <= n or b <= a:
            raise InputError(
                f"run {run.id!r}",
                f"after {m} pieces {tape(b)} follows after {n} pieces {tape(a)}",
                "marks one after the other, each with more pieces before it",
                "Put the marks in order; the last mark lies before the end.",
                key=_mark_key(run, b),
            )
    return rows


def _mark_key(run: Run, at: float) -> tuple[str | int, ...]:
    """Where the mark at a place is written in the run's table. [in]"""
    rows: Iterator[tuple[str | int, ...]] = (
        ("marks", k, "at") for k, mark in enumerate(run.marks) if mark.at == at
    )
    return next(rows, ("end",))


def _width(run: Run, count: int, low: float, high: float) -> float:
    """What each piece between two marks shows. [in]"""
    width = (high - low) / count
    if _shows(run, width):
        return width
    room = f"between {tape(low)} and {tape(high)} each of {count} pieces would show {tape(width)}"
    want = f"{tape(run.least)} to {tape(run.most)}"
    do = _way_out(run, count, high - low)
    raise InputError(f"run {run.id!r}", room, want, do, key=_mark_key(run, high))


def _shows(run: Run, width: float) -> bool:
    """Whether a whole piece can show a width. [in]"""
    if run.least > run.most:
        found = f"`least` {tape(run.least)} is more than `most` {tape(run.most)}"
        raise InputError(f"run {run.id!r}", found, "the smaller one first", key=("least",))
    return run.least - _TINY_IN <= width <= run.most + _TINY_IN


def stretch_widths(
    run: Run, count: int, between: tuple[float, float], *, ends: tuple[bool, bool]
) -> list[tuple[float, bool]]:
    """What each piece between two marks shows, and whether it is ripped to that. [in]

    Parameters
    ----------
    count : int
        Pieces in the stretch. [-]
    between : (low, high)
        The two marks. [in]
    ends : (first, last)
        Whether the run begins, and whether it ends, with this stretch.

    Raises
    ------
    InputError
        If the marks cannot hold the pieces, not with ripped ends either.

    Sources
    -------
    O-010 : the first and the last piece of a run are ripped to the same width.
    """
    low, high = between
    width = (high - low) / count
    cut = sum(ends) if count > 1 else min(sum(ends), 1)
    if run.rip is None or _shows(run, width) or not cut or width > run.most:
        return [(_width(run, count, low, high), False)] * count
    if count == cut:
        return [(width, True)] * count if width >= run.rip else _no_room(run, count, between)
    whole = min((run.least + run.most) / 2, (high - low - cut * run.rip) / (count - cut))
    if whole < run.least - _TINY_IN:
        return _no_room(run, count, between)
    rip = (high - low - (count - cut) * whole) / cut
    rows = [(whole, False)] * count
    for k, is_end in ((0, ends[0]), (-1, ends[1])):
        if is_end:
            rows[k] = rip, True
    return rows


def _no_room(run: Run, count: int, between: tuple[float, float]) -> list[tuple[float, bool]]:
    """Raises: pieces do not fit, not with ripped ends either."""
    assert run.rip is not None
    low, high = between
    raise InputError(
        f"run {run.id!r}",
        f"between {tape(low)} and {tape(high)} {count} pieces do not fit, not with ends ripped to "
        f"{tape(run.rip)} either",
        f"whole pieces that show {tape(run.least)} to {tape(run.most)}",
        "Leave one piece out, rip the ends narrower, or tape the marks again.",
        key=_mark_key(run, high),
    )


def _way_out(run: Run, count: int, room: float) -> str:
    """What can be done where marks cannot hold their pieces."""
    fits = [n for n in range(1, 10 * count + 10) if run.least <= room / n <= run.most]
    if fits:
        return f"{min(fits, key=lambda n: abs(n - count))} pieces would land on the marks."
    short = run.least * count > room
    if short:
        return (
            f"Rip the ends down by {tape(run.least * count - room)} together (`rip` says how "
            "narrow they may get), or tape the marks again."
        )
    return f"Add a piece ripped to {tape(room - run.most * count)}, or tape the marks again."


def _place(run: Run, index: int, start: float, end: float, gust_m_per_s: float) -> Place:
    stretch = (end - start) - (run.least + run.most) / 2
    if run.opening is None:
        return Place(index + 1, start, end, stretch, None, None, None)
    here, there = (opening_at_in(run, at) for at in (start, end))
    cut = run.lengths[index] if run.lengths else min(here, there) - run.gap
    slack = max(here, there) - cut
    need = needed_bite_in(run, cut, gust_m_per_s=gust_m_per_s)
    return Place(index + 1, start, end, stretch, cut, run.channel - max(slack, 0.0), need)


def opening_at_in(run: Run, at: float) -> float:
    """From back to back of the channels at a place along the run, on a straight line. [in]"""
    if run.opening is None:
        raise InputError(f"run {run.id!r}", "no `opening`", "what was taped at both ends")
    first, last = run.opening
    return first + (last - first) * (at - run.start) / (run.end - run.start)


def belly_shortening_in(span_in: float, belly_in: float) -> float:
    """How much a bowed panel draws in at its ends.

    Parameters
    ----------
    span_in : float
        Its length between the channels. [in]
    belly_in : float
        How far it bows in the middle. [in]

    Returns
    -------
    float
        What it draws in, both ends together. [in]

    Sources
    -------
    O-001 : 8 f^2 / (3 L).
    """
    return 8.0 * belly_in**2 / (3.0 * span_in)


def needed_bite_in(run: Run, length_in: float, *, gust_m_per_s: float) -> float:
    """Bite that a piece needs so that it stays in its channel in wind and cold. [in]

    Sources
    -------
    O-002, O-003 : least bite and belly.
    """
    share = min(BELLY * (gust_m_per_s / BELLY_GUST_M_PER_S) ** 2, MOST_BELLY)
    per_f = EXPANSION[_EXPANSION[run.material]].high_per_f
    cold = -movement_in(length_in, per_f=per_f, change_f=DEFAULT_SEASON.coldest_f - LAID_AT_F)
    return BITE_IN + belly_shortening_in(length_in, share * length_in) + cold


def _warnings(run: Run, places: Sequence[Place]) -> Iterator[str]:
    for p in places:
        if p.cut_in is None or p.bite_in is None or p.need_in is None:
            continue
        narrow = min(opening_at_in(run, at) for at in (p.start_in, p.end_in))
        if p.cut_in > narrow + _TINY_IN:
            yield (
                f"Piece {p.number} is {tape(p.cut_in)} long and its place {tape(narrow)} wide: "
                f"trim it to {tape(narrow - run.gap)}, or it belongs at another place in the run."
            )
        elif p.falls_out:
            yield (
                f"Piece {p.number} can fall out in wind: lying right over to one side it keeps "
                f"{bite_text(p.bite_in)} in the other channel and needs {need_text(p.need_in)}. "
                "Use a longer piece, a deeper channel, or hold it with a nail at the front."
            )
