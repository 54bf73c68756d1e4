"""The compiled loops: one stack, hour after hour, heat and moisture solved together.

Each cell holds its water (by its place on the wetting path, ``curves``) and its temperature. A
step is implicit: Newton rounds on both unknowns of every cell, each round one sweep down and one
up a block tridiagonal matrix. What a step leaves unsolved is carried into the next, so what came
in, what went out and what is stored agree to rounding.

Written as plain loops for the compiler; arrays are packed by the named columns below. Left out, as
in the equations of the standard: sensible heat carried by moving water, gravity, salt. Between
two layers water crosses as vapour only; how it comes to a face is taken from the step's start.

Sources: D-012 for the equations, D-026 for the numerical scheme.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any, TypeVar, cast

import numpy as np
from numba import njit

from weatherlap.drying.air import HEAT_OF_WATER_J_PER_KG_K as WATER_HEAT
from weatherlap.drying.air import LATENT_HEAT_J_PER_KG as LATENT
from weatherlap.drying.air import SECONDS_PER_HOUR, Array
from weatherlap.drying.curves import STEPS
from weatherlap.drying.grid import Index

Routine = TypeVar("Routine", bound=Callable[..., object])

WIDTH, HEAT_DRY, CONDUCTS_DRY, CONDUCTS_WET, VENT_VAPOUR, VENT_HEAT, BUFFERS, LIQUID = range(8)
POSITION, CELSIUS, CAPACITY, PACE, CARRY_WATER, CARRY_HEAT, LEAK = range(7)
WATER, WATER_RISE, HUMID, LIQ, LIQ_RISE, HALF_V, HALF_H, P, P_KNOT, P_KELVIN, HALF_ALL = range(11)
WAS_WATER, WAS_CELSIUS, WAS_POSITION, WAS_HALF = range(4)
OUT_C, OUT_PA, OUT_FILM, OUT_FILM_V, GAIN, IN_C, IN_PA, IN_FILM, IN_FILM_V = range(9)
BOOK_WATER, BOOK_HEAT, BOOK_LEAK, BOOK_DRAIN, BOOK_STORED, BOOK_VENT = range(6)
TOLERANCE, LONGEST, SHORTEST, LOOSE_WATER, LOOSE_HEAT, ROUNDS = range(6)
COUNT_STEPS, COUNT_ROUNDS, COUNT_REFUSED = range(3)
LARGEST_MOVE = STEPS / 4.0
LARGEST_WARMING_K, COLDEST_C, WARMEST_C = 40.0, -100.0, 150.0
CONTACT_M_S_PA_PER_KG = 2.5e6
LEAST_P_KNOT = 1e-9
GROW_BELOW = 0.35
CLOSING = 1e-3
DONE, STANDS_STILL = 0, 1


def compiled(routine: Routine) -> Routine:
    """The routine compiled on first call, without the interpreter's lock, kept on disk.

    What is divided by nought is no number, not an error; ``move`` refuses such a step.
    """
    return cast(Routine, njit(cache=True, nogil=True, error_model="numpy")(routine))


def inner(routine: Routine) -> Routine:
    """A routine that only compiled ones call: without doors for others it compiles sooner."""
    doors: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    made = njit(cache=True, nogil=True, error_model="numpy", **doors)(routine)
    return cast(Routine, made)


@inner
def look_up(cells: Array, table: Array, row: Index, state: Array, now: Array) -> None:
    """Fill ``now`` with all that depends on position and temperature alone."""
    for i in range(cells.shape[0]):
        knot = int(state[i, POSITION])
        part = state[i, POSITION] - knot
        at = row[i] + knot
        now[i, WATER_RISE] = table[at, 4]
        now[i, WATER] = table[at, 0] + part * table[at, 4]
        now[i, HUMID] = table[at, 1] + part * table[at, 5]
        now[i, LIQ_RISE] = table[at, 6]
        now[i, LIQ] = table[at, 2] + part * table[at, 6]
        now[i, HALF_V] = 0.5 * cells[i, WIDTH] * (table[at, 3] + part * table[at, 7])
        conducts = cells[i, CONDUCTS_DRY] + cells[i, CONDUCTS_WET] * now[i, WATER]
        now[i, HALF_H] = 0.5 * cells[i, WIDTH] / conducts
        celsius = state[i, CELSIUS]
        if celsius >= 0.0:
            a, b = 17.269, 237.3
        else:
            a, b = 21.875, 265.5
        saturated = 610.5 * math.exp(a * celsius / (b + celsius))
        now[i, P] = now[i, HUMID] * saturated
        now[i, P_KNOT] = table[at, 5] * saturated
        now[i, P_KELVIN] = now[i, P] * a * b / (b + celsius) ** 2
        liquid = now[i, LIQ_RISE] / max(now[i, P_KNOT], LEAST_P_KNOT)
        vapour_half = now[i, HALF_V] / (0.5 * cells[i, WIDTH])
        now[i, HALF_ALL] = 0.5 * cells[i, WIDTH] / (1.0 / vapour_half + liquid)


@inner
def join_air(
    i: int, way_v: float, way_h: float, pascal: float, celsius: float, seconds: float,
    state: Array, now: Array, left: Array, block: Array, book: Array,
) -> None:  # fmt: skip
    """Exchange of a cell with an air: into what is left over, the matrix and the flow book."""
    vapour = way_v * (pascal - now[i, P])
    heat = LATENT * vapour + way_h * (celsius - state[i, CELSIUS])
    book[0] = vapour
    book[1] = heat
    left[i, 0] -= seconds * vapour
    left[i, 1] -= seconds * heat
    by_knot = seconds * way_v * now[i, P_KNOT]
    by_kelvin = seconds * way_v * now[i, P_KELVIN]
    block[i, 0, 0] += by_knot
    block[i, 0, 1] += by_kelvin
    block[i, 1, 0] += LATENT * by_knot
    block[i, 1, 1] += LATENT * by_kelvin + seconds * way_h


@inner
def join_faces(
    seconds: float, cells: Array, before: Array, state: Array, now: Array, left: Array,
    block: Array, below: Array, above: Array,
) -> None:  # fmt: skip
    """Flow between neighbours: into what is left over and the matrix.

    Between two layers water crosses as vapour, but may come to the face as liquid.
    """
    for i in range(cells.shape[0] - 1):
        j = i + 1
        half = now[i, HALF_V] + now[j, HALF_V]
        if cells[i, LIQUID] == 0.0:
            half = before[i, WAS_HALF] + before[j, WAS_HALF] + CONTACT_M_S_PA_PER_KG
        way_v = seconds / half
        way_h = seconds / (now[i, HALF_H] + now[j, HALF_H])
        way_l = seconds * cells[i, LIQUID]
        vapour = way_v * (now[i, P] - now[j, P])
        water = vapour + way_l * (now[i, LIQ] - now[j, LIQ])
        heat = LATENT * vapour + way_h * (state[i, CELSIUS] - state[j, CELSIUS])
        left[i, 0] += water
        left[j, 0] -= water
        left[i, 1] += heat
        left[j, 1] -= heat
        for k in range(i, j + 1):
            beyond, out = (below, j) if k == i else (above, i)
            vapour_knot = way_v * now[k, P_KNOT]
            vapour_kelvin = way_v * now[k, P_KELVIN]
            water_knot = vapour_knot + way_l * now[k, LIQ_RISE]
            heat_kelvin = LATENT * vapour_kelvin + way_h
            block[k, 0, 0] += water_knot
            block[k, 0, 1] += vapour_kelvin
            block[k, 1, 0] += LATENT * vapour_knot
            block[k, 1, 1] += heat_kelvin
            beyond[out, 0, 0] = -water_knot
            beyond[out, 0, 1] = -vapour_kelvin
            beyond[out, 1, 0] = -LATENT * vapour_knot
            beyond[out, 1, 1] = -heat_kelvin


@inner
def leftover(
    seconds: float, cells: Array, airs: Array, before: Array, state: Array, now: Array,
    left: Array, block: Array, below: Array, above: Array, flows: Array,
) -> None:  # fmt: skip
    """Water [kg/m2] and heat [J/m2] of this step that do not fit yet, and their matrix."""
    last = cells.shape[0] - 1
    for i in range(last + 1):
        vent = cells[i, VENT_VAPOUR] > 0.0
        left[i, 0] = cells[i, WIDTH] * (now[i, WATER] - before[i, WAS_WATER])
        left[i, 0] -= state[i, CARRY_WATER] + seconds * state[i, LEAK]
        left[i, 1] = state[i, CAPACITY] * (state[i, CELSIUS] - before[i, WAS_CELSIUS])
        left[i, 1] -= state[i, CARRY_HEAT]
        block[i, 0, 0] = cells[i, WIDTH] * now[i, WATER_RISE]
        block[i, 0, 1] = 0.0
        block[i, 1, 0] = 0.0
        block[i, 1, 1] = state[i, CAPACITY]
        if vent:
            join_air(
                i, cells[i, VENT_VAPOUR], cells[i, VENT_HEAT], airs[OUT_PA], airs[OUT_C], seconds,
                state, now, left, block, flows[i],
            )  # fmt: skip
    way_v = 1.0 / (1.0 / airs[OUT_FILM_V] + before[0, WAS_HALF])
    way_h = 1.0 / (1.0 / airs[OUT_FILM] + now[0, HALF_H])
    warm = airs[OUT_C] + airs[GAIN] / airs[OUT_FILM]
    join_air(0, way_v, way_h, airs[OUT_PA], warm, seconds, state, now, left, block, flows[last + 1])
    way_v = 1.0 / (1.0 / airs[IN_FILM_V] + before[last, WAS_HALF])
    way_h = 1.0 / (1.0 / airs[IN_FILM] + now[last, HALF_H])
    join_air(
        last, way_v, way_h, airs[IN_PA], airs[IN_C], seconds, state, now, left, block,
        flows[last + 2],
    )  # fmt: skip
    join_faces(seconds, cells, before, state, now, left, block, below, above)


@inner
def sweep(left: Array, block: Array, below: Array, above: Array) -> None:
    """Solve the block tridiagonal system in place; the answer stands in ``left``.

    ``below[i]`` couples row i to i - 1, ``above[i]`` row i to i + 1.
    """
    last = left.shape[0] - 1
    for i in range(last + 1):
        if i > 0:
            for u in range(2):
                a, b = below[i, u, 0], below[i, u, 1]
                block[i, u, 0] -= a * above[i - 1, 0, 0] + b * above[i - 1, 1, 0]
                block[i, u, 1] -= a * above[i - 1, 0, 1] + b * above[i - 1, 1, 1]
                left[i, u] -= a * left[i - 1, 0] + b * left[i - 1, 1]
        inverse = 1.0 / (block[i, 0, 0] * block[i, 1, 1] - block[i, 0, 1] * block[i, 1, 0])
        a, b = block[i, 1, 1] * inverse, -block[i, 0, 1] * inverse
        c, d = -block[i, 1, 0] * inverse, block[i, 0, 0] * inverse
        x, y = left[i, 0], left[i, 1]
        left[i, 0], left[i, 1] = a * x + b * y, c * x + d * y
        if i < last:
            for u in range(2):
                x, y = above[i, 0, u], above[i, 1, u]
                above[i, 0, u], above[i, 1, u] = a * x + b * y, c * x + d * y
    for i in range(last - 1, -1, -1):
        x, y = left[i + 1, 0], left[i + 1, 1]
        left[i, 0] -= above[i, 0, 0] * x + above[i, 0, 1] * y
        left[i, 1] -= above[i, 1, 0] * x + above[i, 1, 1] * y


@inner
def hold_full(state: Array, left: Array, block: Array, below: Array, above: Array) -> None:
    """Keep the position of full cells that still gain water: the rest of it will drain."""
    for i in range(left.shape[0]):
        if state[i, POSITION] >= STEPS and left[i, 0] < 0.0:
            left[i, 0] = 0.0
            block[i, 0, 0], block[i, 0, 1] = 1.0, 0.0
            for u in range(2):
                below[i, 0, u] = 0.0
                above[i, 0, u] = 0.0


@inner
def move(state: Array, left: Array) -> bool:
    """Take the found change from the state, kept on the wetting path; False if it has no sense."""
    for i in range(left.shape[0]):
        if not (math.isfinite(left[i, 0]) and math.isfinite(left[i, 1])):
            return False
    for i in range(left.shape[0]):
        step = min(max(left[i, 0], -LARGEST_MOVE), LARGEST_MOVE)
        state[i, POSITION] = min(max(state[i, POSITION] - step, 0.0), float(STEPS))
        warmer = min(max(-left[i, 1], -LARGEST_WARMING_K), LARGEST_WARMING_K)
        state[i, CELSIUS] = min(max(state[i, CELSIUS] + warmer, COLDEST_C), WARMEST_C)
    return True


@inner
def fits(state: Array, left: Array, rules: Array) -> bool:
    """Whether what is left over may be carried; water over a full cell drains and always fits."""
    for i in range(left.shape[0]):
        spills = state[i, POSITION] >= STEPS and left[i, 0] < 0.0
        if abs(left[i, 0]) > rules[LOOSE_WATER] and not spills:
            return False
        if abs(left[i, 1]) > rules[LOOSE_HEAT]:
            return False
    return True


@inner
def strain(
    seconds: float, cells: Array, before: Array, state: Array, now: Array, rules: Array
) -> float:
    """Change of pace of the stored water against what a step may have."""
    most = 0.0
    for i in range(cells.shape[0]):
        pace = (now[i, WATER] - before[i, WAS_WATER]) / seconds
        most = max(most, cells[i, BUFFERS] * abs(pace - state[i, PACE]))
    return float(0.5 * most * seconds / rules[TOLERANCE])


@inner
def enter(
    seconds: float, cells: Array, before: Array, state: Array, now: Array, left: Array,
    flows: Array, books: Array,
) -> None:  # fmt: skip
    """Enter an accepted step in the books; let full cells drain."""
    count = cells.shape[0]
    for i in range(count):
        state[i, PACE] = (now[i, WATER] - before[i, WAS_WATER]) / seconds
        state[i, CARRY_WATER] = -left[i, 0]
        state[i, CARRY_HEAT] = -left[i, 1]
        books[i, BOOK_LEAK] += seconds * state[i, LEAK]
        books[i, BOOK_STORED] += state[i, CAPACITY] * (state[i, CELSIUS] - before[i, WAS_CELSIUS])
        if state[i, POSITION] >= STEPS and left[i, 0] < 0.0:
            books[i, BOOK_DRAIN] += -left[i, 0]
            state[i, CARRY_WATER] = 0.0
        if cells[i, VENT_VAPOUR] > 0.0:
            books[i, BOOK_VENT] += seconds * flows[i, 0]
            books[i, BOOK_HEAT] += seconds * flows[i, 1]
    for end in range(2):
        i = 0 if end == 0 else count - 1
        books[i, BOOK_WATER] += seconds * flows[count + end, 0]
        books[i, BOOK_HEAT] += seconds * flows[count + end, 1]


@inner
def attempt(
    seconds: float, cells: Array, table: Array, row: Index, airs: Array, rules: Array,
    state: Array, now: Array, before: Array, work: tuple[Array, ...],
) -> int:  # fmt: skip
    """Newton rounds for one step; how many it took, 0 if water and heat did not fit."""
    left, block, below, above, flows = work
    for i in range(cells.shape[0]):
        before[i, WAS_WATER], before[i, WAS_CELSIUS] = now[i, WATER], state[i, CELSIUS]
        before[i, WAS_POSITION], before[i, WAS_HALF] = state[i, POSITION], now[i, HALF_ALL]
        state[i, CAPACITY] = cells[i, HEAT_DRY] + WATER_HEAT * cells[i, WIDTH] * now[i, WATER]
    for tried in range(int(rules[ROUNDS]) + 1):
        leftover(seconds, cells, airs, before, state, now, left, block, below, above, flows)
        if tried > 0 and fits(state, left, rules):
            return tried
        hold_full(state, left, block, below, above)
        sweep(left, block, below, above)
        if not move(state, left):
            return 0
        look_up(cells, table, row, state, now)
    return 0


@inner
def one_hour(
    cells: Array, table: Array, row: Index, airs: Array, rules: Array, step: Array,
    state: Array, now: Array, before: Array, work: tuple[Array, ...], books: Array, counts: Index,
) -> int:  # fmt: skip
    """Steps to the end of the hour; ``step[0]`` is the length to try next [s]."""
    remains = SECONDS_PER_HOUR
    while remains > 1e-6:
        seconds = min(step[0], remains)
        rounds = attempt(seconds, cells, table, row, airs, rules, state, now, before, work)
        counts[COUNT_ROUNDS] += rounds
        shortest = seconds <= rules[SHORTEST]
        tension = strain(seconds, cells, before, state, now, rules)
        if rounds == 0 and shortest:
            return STANDS_STILL
        if rounds == 0 or (tension > 1.0 and not shortest):
            for i in range(cells.shape[0]):
                state[i, CELSIUS], state[i, POSITION] = (
                    before[i, WAS_CELSIUS],
                    before[i, WAS_POSITION],
                )
            look_up(cells, table, row, state, now)
            step[0] = max(0.5 * seconds, rules[SHORTEST])
            counts[COUNT_REFUSED] += 1
            continue
        enter(seconds, cells, before, state, now, work[0], work[4], books)
        counts[COUNT_STEPS] += 1
        remains -= seconds
        if tension < GROW_BELOW:
            step[0] = min(2.0 * step[0], rules[LONGEST])
    return DONE


@compiled
def many_hours(
    cells: Array, table: Array, row: Index, airs: Array, leaks: Array, leak_share: Array,
    rules: Array, step: Array, state: Array, now: Array, before: Array, work: tuple[Array, ...],
    books: Array, counts: Index, zone_of: Index, watched: Index, kept: tuple[Array, ...],
) -> int:  # fmt: skip
    """All hours of ``airs``, the last one solved closely; the hour that stood still, or 0.

    ``kept`` is filled: zone water by hour, watched humidity and temperature by hour.
    """
    zone_water, humidity, celsius = kept
    zone_width = np.zeros(zone_water.shape[1])
    for i in range(cells.shape[0]):
        zone_width[zone_of[i]] += cells[i, WIDTH]
    closing = rules.copy()
    closing[LOOSE_WATER] *= CLOSING
    closing[LOOSE_HEAT] *= CLOSING
    look_up(cells, table, row, state, now)
    for hour in range(airs.shape[0]):
        if hour == airs.shape[0] - 1:
            rules = closing
        for i in range(cells.shape[0]):
            state[i, LEAK] = 0.0
            for k in range(leaks.shape[1]):
                state[i, LEAK] += leaks[hour, k] * leak_share[k, i]
        if one_hour(
            cells, table, row, airs[hour], rules, step, state, now, before, work, books, counts
        ):
            return hour + 1
        for i in range(cells.shape[0]):
            at = zone_of[i]
            zone_water[hour, at] += now[i, WATER] * cells[i, WIDTH] / zone_width[at]
        for k in range(watched.size):
            humidity[hour, k] = now[watched[k], HUMID]
            celsius[hour, k] = state[watched[k], CELSIUS]
    return 0
