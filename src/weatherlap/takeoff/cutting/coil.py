"""Coil in two stages: crosscut to a section's length, then rip the section to girths.

The painted side stays up and the length runs along the coil: strips are never turned.
"""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass, replace

import numpy as np
from scipy.optimize import linprog

from weatherlap.errors import InputError
from weatherlap.metal.fits import split_run
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.covering import DEFAULT_EFFORT, Effort, cover
from weatherlap.takeoff.cutting.knapsack import Holder, Sizes
from weatherlap.takeoff.cutting.model import (
    DEAREST_USD,
    LONGEST_IN,
    PARTS,
    BarPiece,
    BarPlan,
    BarStock,
    CutRules,
    Way,
    bounded,
    distinct,
    down,
    not_too_many,
    up,
    whole,
)
from weatherlap.takeoff.cutting.totals import least_total
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class Coil:
    """A roll of flat metal that can be bought or is on hand. [in, US$]"""

    id: str
    length_in: float
    price_usd: float
    on_hand: int | None = None

    def __post_init__(self) -> None:
        bounded(f"length of {self.id}", self.length_in, least=12.0, most=LONGEST_IN)
        bounded(f"price of {self.id}", self.price_usd, least=0.0, most=DEAREST_USD, unit="US$")
        if self.on_hand is not None:
            whole(f"{self.id} on hand", self.on_hand, least=0)


@dataclass(frozen=True, slots=True)
class Strip:
    """Flat strips of one girth and length. [in]"""

    id: str
    girth_in: float
    length_in: float
    count: int = 1

    def __post_init__(self) -> None:
        bounded(f"girth of {self.id}", self.girth_in, least=0.125, most=120.0)
        bounded(f"length of {self.id}", self.length_in, least=1 / 16, most=LONGEST_IN)
        whole(f"count of {self.id}", self.count, least=1)


@dataclass(frozen=True, slots=True)
class CoilRules:
    """What limits the cutting. [in]

    ``brake_in`` is the longest piece the brake takes: longer runs are made of equal pieces with
    laps of ``lap_in``. ``edge_trim_in`` is ripped off each edge of the coil.
    """

    coil_width_in: float
    brake_in: float
    lap_in: float = 1.0
    edge_trim_in: float = 0.0

    def __post_init__(self) -> None:
        bounded("coil width", self.coil_width_in, least=1.0, most=120.0)
        bounded("brake length", self.brake_in, least=6.0, most=1200.0)
        bounded("lap", self.lap_in, least=0.0, most=24.0)
        bounded("edge trim", self.edge_trim_in, least=0.0, most=self.coil_width_in / 4)


@dataclass(frozen=True, slots=True)
class Section:
    """One crosscut length of coil and the strips ripped from it, widest first. [in]

    ``strips`` are (id, girth, length); a strip shorter than the section is cut to length after
    ripping. ``offcut_in`` is the width left over.
    """

    length_in: float
    strips: tuple[tuple[str, float, float], ...]
    rips_in: tuple[float, ...]
    offcut_in: float
    times: int


@dataclass(frozen=True, slots=True)
class CoilPlan:
    """Sections, and the coils they are crosscut from. [in, US$]

    ``section_proven`` says that no two-stage plan uses less length of coil than ``length_in``;
    no plan can cost less than ``least_usd``.
    """

    sections: tuple[Section, ...]
    coils: BarPlan
    length_in: float
    least_length_in: float
    least_usd: float
    laps: tuple[str, ...]

    @property
    def section_proven(self) -> bool:
        """Whether no two-stage plan uses less length of coil."""
        return self.length_in <= self.least_length_in + 1e-6

    @property
    def proven(self) -> bool:
        """Whether no two-stage plan costs less."""
        return self.coils.cost_usd <= self.least_usd + 1e-6

    @property
    def gap(self) -> float:
        """How far the cost may be above the least possible, as a part of it. [-]"""
        if self.proven:
            return 0.0
        return (self.coils.cost_usd - self.least_usd) / self.coils.cost_usd


def plan_coil(
    strips: tuple[Strip, ...],
    *,
    coils: tuple[Coil, ...],
    rules: CoilRules,
    effort: Effort = DEFAULT_EFFORT,
) -> CoilPlan:
    """The least length of coil in sections ripped to girth, and the coils it comes from.

    Parameters
    ----------
    strips : tuple of Strip
        Girths, lengths, counts. [in]
    coils : tuple of Coil
        Coils of one width, colour and thickness. [in, US$]
    rules : CoilRules
        Width, brake, lap, edge trim. [in]
    effort : Effort
        When to stop looking for the proof.

    Returns
    -------
    CoilPlan
        Sections, coils, bounds.

    Raises
    ------
    InputError
        If a girth is wider than the coil, there is no coil, or counts are absurd.
    NoSolution
        If the coils on hand are too little.

    Sources
    -------
    M-034 : two stages. M-007 : laps of trim coil.
    """
    _check(strips, coils, rules)
    longest = min(rules.brake_in, max(c.length_in for c in coils if c.on_hand != 0))
    short, laps = _in_pieces(strips, longest, rules)
    sections, length, least = _sections(short, rules, effort)
    pieces = tuple(
        BarPiece(f"section {n}", s.length_in, s.times) for n, s in enumerate(sections, 1)
    )
    stock = tuple(BarStock(c.id, c.length_in, c.price_usd, c.on_hand) for c in coils)
    sheared = CutRules(0.0, Way.SHEAR, keep_in=24.0)
    plan = plan_bars(pieces, stock=stock, rules=sheared, effort=effort)
    return CoilPlan(sections, plan, length, least, _least_usd(least, coils), laps)


def _check(strips: tuple[Strip, ...], coils: tuple[Coil, ...], rules: CoilRules) -> None:
    if not coils or all(c.on_hand == 0 for c in coils):
        raise InputError("coils", "none", "at least one coil to cut from")
    distinct("coils", (c.id for c in coils))
    distinct("strips", (s.id for s in strips))
    not_too_many([s.count for s in strips], len(strips))
    room = rules.coil_width_in - 2 * rules.edge_trim_in
    for strip in strips:
        if up(strip.girth_in) > down(room):
            parts = math.ceil((strip.girth_in - rules.lap_in) / max(room - rules.lap_in, 1.0))
            raise InputError(
                f"strip {strip.id}",
                f"a girth of {tape(strip.girth_in)}",
                f"at most {tape(room)}, the width of the coil",
                f"Make it of {parts} profiles that lap {tape(rules.lap_in)} on a flat leg.",
            )


def _in_pieces(
    strips: tuple[Strip, ...], longest_in: float, rules: CoilRules
) -> tuple[tuple[Strip, ...], tuple[str, ...]]:
    """Strips no longer than brake and coil, and words about the laps that this takes."""
    short, laps = [], []
    for strip in strips:
        parts = split_run(strip.length_in, longest_in=longest_in, lap_in=rules.lap_in)
        short.append(replace(strip, length_in=parts[0], count=strip.count * len(parts)))
        if len(parts) > 1:
            laps.append(
                f"{strip.id}: {tape(strip.length_in)} in {len(parts)} pieces of "
                f"{tape(parts[0])}, lapped {tape(rules.lap_in)}"
            )
    return tuple(short), tuple(laps)


def _sections(
    strips: tuple[Strip, ...], rules: CoilRules, effort: Effort
) -> tuple[tuple[Section, ...], float, float]:
    """Sections of least total length, that length, and the least possible."""
    rows: Counter[tuple[int, int]] = Counter()
    ids: dict[tuple[int, int], list[str]] = {}
    for strip in strips:
        key = up(strip.length_in), up(strip.girth_in)
        rows[key] += strip.count
        ids.setdefault(key, []).extend([strip.id] * strip.count)
    keys = sorted(rows)
    room = down(rules.coil_width_in - 2 * rules.edge_trim_in)
    sizes = Sizes(tuple(girth for _, girth in keys), tuple(rows[key] for key in keys))
    lengths = sorted({length for length, _ in keys})
    holders = tuple(Holder(room, one, sum(key[0] <= one for key in keys)) for one in lengths)
    found = cover(sizes, holders=holders, effort=effort)
    made = []
    for (_, fill), often in found.columns:
        for _ in range(often):
            kinds = [n for n, times in enumerate(fill) for _ in range(times)]
            made.append([keys[n] for n in kinds])
    sections = _named(made, {key: list(reversed(names)) for key, names in ids.items()}, rules)
    total = sum(s.length_in * s.times for s in sections)
    return sections, total, min(found.bound / PARTS, total)


def _named(
    made: list[list[tuple[int, int]]], names: dict[tuple[int, int], list[str]], rules: CoilRules
) -> tuple[Section, ...]:
    """Sections with the ids of their strips; surplus strips are left out, alike ones counted."""
    counted: Counter[tuple[tuple[str, int, int], ...]] = Counter()
    for keys in made:
        order = sorted(keys, key=lambda key: (-key[1], -key[0]))
        strips = tuple((names[key].pop(), key[1], key[0]) for key in order if names[key])
        if strips:
            counted[strips] += 1
    return tuple(
        _section(strips, times, rules)
        for strips, times in sorted(
            counted.items(), key=lambda item: (-max(s[2] for s in item[0]), item[0])
        )
    )


def _section(strips: tuple[tuple[str, int, int], ...], times: int, rules: CoilRules) -> Section:
    """One section: rips as running sizes from the trimmed edge."""
    rips: list[float] = []
    for _, girth, _ in strips:
        rips.append((rips[-1] if rips else 0.0) + girth / PARTS)
    return Section(
        length_in=max(length for _, _, length in strips) / PARTS,
        strips=tuple((one, girth / PARTS, length / PARTS) for one, girth, length in strips),
        rips_in=tuple(rips),
        offcut_in=rules.coil_width_in - 2 * rules.edge_trim_in - rips[-1],
        times=times,
    )


def _least_usd(least_in: float, coils: tuple[Coil, ...]) -> float:
    """The least cost of coils that hold a length in all, at prices that can be paid."""
    costs = np.array([round(100 * c.price_usd) for c in coils], dtype=float)
    lengths = np.array([c.length_in for c in coils])
    limits = [(0, c.on_hand) for c in coils]
    result = linprog(costs, A_ub=-lengths[None, :], b_ub=[-least_in], bounds=limits)
    holders = tuple(Holder(1, int(cost), 0) for cost in costs)
    return least_total(float(result.fun or 0.0), holders) / 100
