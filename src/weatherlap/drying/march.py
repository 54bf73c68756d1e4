"""One stack through many hours: what the kernel needs going in, and what it kept coming out."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.drying import kernel
from weatherlap.drying.air import SECONDS_PER_HOUR, Array
from weatherlap.drying.grid import Cells, Index
from weatherlap.errors import InputError, NoSolution

COLDEST_C, WARMEST_C = -60.0, 90.0


@dataclass(frozen=True, slots=True)
class Steps:
    """How finely time is cut.

    ``water_tolerance_kg_m3`` bounds the change of pace of the water in one step of a cell that
    stores; ``longest_s`` and ``shortest_s`` bound the step; ``loose_kg_m2`` and ``loose_j_m2``
    are what a cell may carry unsolved into the next step.
    """

    water_tolerance_kg_m3: float = 10.0
    longest_s: float = SECONDS_PER_HOUR
    shortest_s: float = SECONDS_PER_HOUR / 1024.0
    loose_kg_m2: float = 1e-6
    loose_j_m2: float = 10.0
    most_rounds: int = 14


USUAL_STEPS = Steps()


@dataclass(frozen=True, slots=True, eq=False)
class Airs:
    """What stands on both sides of a stack, one value an hour.

    Films are whole heat films [W/(m2 K)] and vapour films [kg/(m2 s Pa)]; ``gain_w_m2`` is the
    sun taken up by the outer face less the loss to the sky.
    """

    outside_c: Array
    outside_pa: Array
    outside_film_w: Array
    outside_film_vapour: Array
    gain_w_m2: Array
    inside_c: Array
    inside_pa: Array
    inside_film_w: Array
    inside_film_vapour: Array

    def rows(self) -> Array:
        """The airs as one array, shape (hours, 9), in the order of the fields."""
        columns = [getattr(self, name) for name in Airs.__dataclass_fields__]
        return np.ascontiguousarray(np.stack(columns, axis=1).astype(float))


@dataclass(frozen=True, slots=True, eq=False)
class State:
    """Where a stack stands: place on the wetting path [knots] and temperature of each cell."""

    position: Array
    celsius: Array


@dataclass(frozen=True, slots=True, eq=False)
class Books:
    """Water and heat of one march, summed over the stack.

    ``water_gap_kg_m2`` and ``heat_gap_j_m2`` are what does not close; ``carried_kg_m2`` is what
    the last step left unsolved.
    """

    water_in_kg_m2: float
    leaked_kg_m2: float
    drained_kg_m2: float
    water_stored_kg_m2: float
    heat_in_j_m2: float
    heat_stored_j_m2: float
    water_gap_kg_m2: float
    heat_gap_j_m2: float
    carried_kg_m2: float


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """What a march kept.

    ``zone_water_kg_m3`` has shape (hours, zones); ``humidity`` and ``celsius`` have shape
    (hours, watched cells); ``water_kg_m3`` and ``end`` are the last state by cell.
    """

    zone_water_kg_m3: Array
    humidity: Array
    celsius: Array
    water_kg_m3: Array
    end: State
    books: Books
    steps: int
    rounds: int
    refused: int


@dataclass(frozen=True, slots=True, eq=False)
class Leaks:
    """Water put into cells: ``kg_m2_s`` by hour and leak, ``share`` of each leak by cell."""

    kg_m2_s: Array
    share: Array

    def up_to(self, hours: int) -> Leaks:
        """The same leaks for the first so many hours."""
        return Leaks(self.kg_m2_s[:hours], self.share)


def no_leaks(hours: int, cells: Cells) -> Leaks:
    """A dry march of so many hours."""
    return Leaks(np.zeros((hours, 0)), np.zeros((0, cells.width.size)))


def march(
    cells: Cells, *, airs: Airs, start: State, leaks: Leaks | None = None,
    zones: Index | None = None, watched: Index | None = None, steps: Steps = USUAL_STEPS,
) -> Course:  # fmt: skip
    """Heat and moisture of a stack through all hours of its airs.

    Parameters
    ----------
    cells : Cells
        The stack, cut.
    airs : Airs
        Both sides, hour by hour.
    start : State
        Where it stands before the first hour.
    leaks : Leaks, optional
        Water that gets in.
    zones : ndarray of int, shape (cells,), optional
        Zone of each cell, whose mean water is kept every hour; the layers, if not given.
    watched : ndarray of int, optional
        Cells whose humidity and temperature are kept every hour.
    steps : Steps
        How finely time is cut.

    Returns
    -------
    Course
        Water by zone and hour, watched cells, last state, books.

    Raises
    ------
    InputError
        If an air is not a number, warmer or colder than the tables, or a film is not above zero.
    NoSolution
        If even the shortest step does not come to a solution.

    Sources
    -------
    D-012, D-026.
    """
    rows = _checked(airs)
    hours, n = rows.shape[0], cells.width.size
    leaks = leaks or no_leaks(hours, cells)
    watched = np.zeros(0, dtype=np.int64) if watched is None else watched
    packed, state = _packed(cells), _state(start)
    now, books, counts = np.zeros((n, 11)), np.zeros((n, 6)), np.zeros(3, dtype=np.int64)
    zones = cells.layer_of() if zones is None else zones
    size = (hours, watched.size)
    kept = (np.zeros((hours, int(zones.max()) + 1)), np.zeros(size), np.zeros(size))
    blocks = tuple(np.zeros((n, 2, 2)) for _ in range(3))
    work = (np.zeros((n, 2)), *blocks, np.zeros((n + 2, 2)))
    first = _first_water(cells, start)
    stood = kernel.many_hours(
        packed, cells.table, cells.table_row, rows, leaks.kg_m2_s, leaks.share, _rules(steps),
        np.array([steps.longest_s]), state, now, np.zeros((n, 4)), work, books, counts, zones,
        watched, kept,
    )  # fmt: skip
    if stood:
        raise NoSolution(f"hour {stood}: no step of {steps.shortest_s:g} s or more comes out")
    stored = float(np.sum(cells.width * (now[:, kernel.WATER] - first)))
    end = State(state[:, kernel.POSITION].copy(), state[:, kernel.CELSIUS].copy())
    return Course(
        *kept, water_kg_m3=now[:, kernel.WATER].copy(), end=end,
        books=_closed(books, stored, state), steps=int(counts[kernel.COUNT_STEPS]),
        rounds=int(counts[kernel.COUNT_ROUNDS]), refused=int(counts[kernel.COUNT_REFUSED]),
    )  # fmt: skip


def _checked(airs: Airs) -> Array:
    """The airs as rows, refused if the kernel could not use them."""
    rows = airs.rows()
    if not np.all(np.isfinite(rows)) or rows.shape[0] == 0:
        raise InputError("airs", "a gap or no hour at all", "a number for every hour")
    for column in (kernel.OUT_C, kernel.IN_C):
        low, high = float(rows[:, column].min()), float(rows[:, column].max())
        if low < COLDEST_C or high > WARMEST_C:
            found = f"{low:g} to {high:g} C"
            raise InputError("air temperature", found, f"{COLDEST_C:g} to {WARMEST_C:g} C")
    films = rows[:, [kernel.OUT_FILM, kernel.OUT_FILM_V, kernel.IN_FILM, kernel.IN_FILM_V]]
    if not np.all(films > 0.0):
        raise InputError("surface film", f"{films.min():g}", "more than 0")
    return rows


def _packed(cells: Cells) -> Array:
    """Cell constants in the kernel's columns."""
    liquid = np.append(cells.liquid_face, 0.0)
    columns = (
        cells.width, cells.heat_dry, cells.conductivity_dry, cells.conductivity_wet,
        cells.vent_vapour, cells.vent_heat, cells.buffers, liquid,
    )  # fmt: skip
    return np.ascontiguousarray(np.stack(columns, axis=1))


def _state(start: State) -> Array:
    """The kernel's state columns at the start."""
    state = np.zeros((start.position.size, 7))
    state[:, kernel.POSITION], state[:, kernel.CELSIUS] = start.position, start.celsius
    return state


def _rules(steps: Steps) -> Array:
    """The step rules in the kernel's order."""
    return np.array(
        [
            steps.water_tolerance_kg_m3, steps.longest_s, steps.shortest_s, steps.loose_kg_m2,
            steps.loose_j_m2, float(steps.most_rounds),
        ]
    )  # fmt: skip


def _first_water(cells: Cells, start: State) -> Array:
    """Water of each cell before the first hour. [kg/m3]"""
    knot = start.position.astype(np.int64)
    rows = cells.table[cells.table_row + knot]
    return np.asarray(rows[:, 0] + (start.position - knot) * rows[:, 4])


def _closed(books: Array, stored: float, state: Array) -> Books:
    """The books summed over the stack, with what does not close."""
    total = books.sum(axis=0)
    water_in = float(total[kernel.BOOK_WATER] + total[kernel.BOOK_VENT])
    leaked, drained = float(total[kernel.BOOK_LEAK]), float(total[kernel.BOOK_DRAIN])
    heat_in, warmed = float(total[kernel.BOOK_HEAT]), float(total[kernel.BOOK_STORED])
    return Books(
        water_in_kg_m2=water_in,
        leaked_kg_m2=leaked,
        drained_kg_m2=drained,
        water_stored_kg_m2=stored,
        heat_in_j_m2=heat_in,
        heat_stored_j_m2=warmed,
        water_gap_kg_m2=water_in + leaked - drained - stored,
        heat_gap_j_m2=heat_in - warmed,
        carried_kg_m2=float(np.abs(state[:, kernel.CARRY_WATER]).sum()),
    )
