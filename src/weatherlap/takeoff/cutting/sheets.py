"""Cutting plans for sheets by edge-to-edge cuts, with kerf and the way the grain runs."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

import numpy as np

from weatherlap.errors import InputError, NoSolution
from weatherlap.takeoff.cutting.covering import DEFAULT_EFFORT, Effort, solve_whole
from weatherlap.takeoff.cutting.guillotine import (
    Grid,
    Rect,
    grid_of,
    pattern_of,
    worth_table,
)
from weatherlap.takeoff.cutting.knapsack import Fill, Holder
from weatherlap.takeoff.cutting.master import Column, Master, Worth, generate
from weatherlap.takeoff.cutting.model import (
    PARTS,
    CutRules,
    bounded,
    distinct,
    down,
    not_too_many,
    up,
    whole,
)
from weatherlap.takeoff.cutting.repack import Table, packed, repacked
from weatherlap.takeoff.cutting.roundedsizes import sized_bound
from weatherlap.takeoff.cutting.rounding import Plan, cost_of
from weatherlap.takeoff.cutting.totals import least_total, total_below
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class SheetStock:
    """A sheet that can be bought or is on hand; the grain runs along its length. [in, US$]"""

    id: str
    width_in: float
    length_in: float
    price_usd: float
    on_hand: int | None = None

    def __post_init__(self) -> None:
        bounded(f"width of {self.id}", self.width_in, least=1.0, most=240.0)
        bounded(f"length of {self.id}", self.length_in, least=1.0, most=1200.0)
        bounded(f"price of {self.id}", self.price_usd, least=0.0, most=100_000.0, unit="US$")
        if self.on_hand is not None:
            whole(f"{self.id} on hand", self.on_hand, least=0)


@dataclass(frozen=True, slots=True)
class SheetPiece:
    """Rectangles of one size, their length along the grain. [in]

    ``may_turn`` where neither grain, strength axis nor a striped finish forbids it.
    """

    id: str
    width_in: float
    length_in: float
    count: int = 1
    may_turn: bool = False

    def __post_init__(self) -> None:
        bounded(f"width of {self.id}", self.width_in, least=0.25, most=240.0)
        bounded(f"length of {self.id}", self.length_in, least=0.25, most=1200.0)
        whole(f"count of {self.id}", self.count, least=1)


@dataclass(frozen=True, slots=True)
class Placed:
    """A piece on a sheet, from the sheet's trimmed corner. [in]"""

    piece_id: str
    across_in: float
    along_in: float
    width_in: float
    length_in: float
    turned: bool


@dataclass(frozen=True, slots=True)
class SheetCut:
    """An edge-to-edge cut of a part, in order. [in]

    A rip runs along the grain, a crosscut across it; ``at_in`` is the width kept at the part's
    edge, the kerf lies beyond it. ``part`` is (across, along, width, length) of what is cut.
    """

    rip: bool
    at_in: float
    part: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One sheet and its cuts. [US$]"""

    stock_id: str
    price_usd: float
    placed: tuple[Placed, ...]
    cuts: tuple[SheetCut, ...]
    used: float


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """A cutting plan for sheets with its bound. [US$, -]

    No guillotine plan can cost less than ``least_usd`` (or, where nothing has a price, use less
    area than ``least_area_in2``).
    """

    sheets: tuple[CutSheet, ...]
    cost_usd: float
    area_in2: float
    least_usd: float | None
    least_area_in2: float | None
    wasted: float

    @property
    def gap(self) -> float:
        """How far cost (or area) may be above the least possible, as a part of it. [-]"""
        if self.least_usd is not None:
            return max(0.0, (self.cost_usd - self.least_usd) / max(self.cost_usd, 0.01))
        return max(0.0, (self.area_in2 - (self.least_area_in2 or 0.0)) / self.area_in2)

    @property
    def proven(self) -> bool:
        """Whether no cheaper guillotine plan exists."""
        return self.gap <= 1e-9


def plan_sheets(
    pieces: tuple[SheetPiece, ...],
    *,
    stock: tuple[SheetStock, ...],
    rules: CutRules,
    effort: Effort = DEFAULT_EFFORT,
) -> SheetPlan:
    """The cheapest sheets found that give all pieces by edge-to-edge cuts, with a bound.

    The bound prices every guillotine pattern where the sizes allow the table for it, else areas.

    Parameters
    ----------
    pieces : tuple of SheetPiece
        Sizes and counts. [in]
    stock : tuple of SheetStock
        Sheets. [in, US$]
    rules : CutRules
        Kerf, and trim off every edge. [in]
    effort : Effort
        When to stop looking for the proof.

    Raises
    ------
    InputError
        If a piece fits no sheet, or counts are absurd.
    NoSolution
        If the sheets on hand are too few.

    Sources
    -------
    M-034 : guillotine recursion and column generation. M-036 : kerf.
    """
    _check(pieces, stock, rules)
    table = _in_units(pieces, stock, rules)
    best = packed(table)
    bound, better = _proved(table, best, effort)
    best = better if better is not None else best
    if best is not None:
        best = repacked(table, best, bound=bound)
    if best is None:
        raise NoSolution("cutting: the sheets on hand cannot give all the pieces; add sheets")
    return _plan(best, bound, table, pieces, stock, rules)


def _check(pieces: tuple[SheetPiece, ...], stock: tuple[SheetStock, ...], rules: CutRules) -> None:
    distinct("sheets", (s.id for s in stock))
    distinct("pieces", (p.id for p in pieces))
    not_too_many([p.count for p in pieces], len(pieces))
    rooms = [
        (s.width_in - 2 * rules.end_trim_in, s.length_in - 2 * rules.end_trim_in)
        for s in stock
        if s.on_hand != 0
    ]
    if not rooms:
        raise InputError("sheets", "none", "at least one sheet to cut from")
    for piece in pieces:
        sizes = [(piece.width_in, piece.length_in)]
        if piece.may_turn:
            sizes.append((piece.length_in, piece.width_in))
        if not any(up(w) <= down(a) and up(h) <= down(b) for w, h in sizes for a, b in rooms):
            width, length = max(rooms, key=lambda room: room[0] * room[1])
            raise InputError(
                f"piece {piece.id}",
                f"{tape(piece.width_in)} by {tape(piece.length_in)} fits no sheet",
                f"at most {tape(width)} by {tape(length)}, length along the grain",
                "Split it on a framing member, or take a larger sheet.",
            )


def _in_units(
    pieces: tuple[SheetPiece, ...], stock: tuple[SheetStock, ...], rules: CutRules
) -> Table:
    """Sizes and sheets as whole numbers with the kerf added, by their greatest common unit."""
    kerf = up(rules.kerf_in)
    raw = [(up(p.width_in) + kerf, up(p.length_in) + kerf) for p in pieces]
    unit = math.gcd(*(side for pair in raw for side in pair))
    ways = []
    for n, ((across, along), piece) in enumerate(zip(raw, pieces, strict=True)):
        lies = [Rect(n, across // unit, along // unit)]
        if piece.may_turn and across != along:
            lies.append(Rect(n, along // unit, across // unit))
        ways.append(tuple(lies))
    trim = 2 * rules.end_trim_in
    sheets = tuple(
        (
            max(down(s.width_in - trim) + kerf, 0) // unit,
            max(down(s.length_in - trim) + kerf, 0) // unit,
        )
        for s in stock
    )
    priced = any(s.price_usd > 0 for s in stock)
    holders = tuple(
        Holder(
            across * along,
            round(100 * s.price_usd) if priced else round(s.width_in * s.length_in),
            len(pieces),
            s.on_hand,
        )
        for s, (across, along) in zip(stock, sheets, strict=True)
    )
    counts = tuple(p.count for p in pieces)
    return Table(tuple(ways), counts, sheets, holders, unit, {})


def _proved(table: Table, best: Plan | None, effort: Effort) -> tuple[int, Plan | None]:
    """A bound, and a better plan if one is found on the way."""
    sized = sized_bound(table.ways, table.counts, table.sheets, table.holders)
    bound = least_total(max(_area_bound(table), sized), table.holders)
    if best is not None and cost_of(best, table.holders) <= bound:
        return bound, None
    rects = tuple(rect for lies in table.ways for rect in lies)
    grid = grid_of(
        rects,
        counts=table.counts,
        across=max(a for a, _ in table.sheets),
        along=max(b for _, b in table.sheets),
    )
    if grid is None:
        return bound, None
    master = _master(table, grid)
    for column in best or {}:
        master.add(column)
    enough = None if best is None else cost_of(best, table.holders)
    duals = generate(master, enough=enough)
    bound = max(bound, least_total(duals.bound, table.holders))
    if best is not None and cost_of(best, table.holders) <= bound:
        return bound, None
    target = total_below(best, table.holders)
    return bound, solve_whole(master, master.columns, target, effort).plan


def _area_bound(table: Table) -> float:
    """Least cost of sheets whose areas together hold the pieces, cheapest areas first."""
    need = float(
        sum(
            lies[0].across * lies[0].along * c
            for lies, c in zip(table.ways, table.counts, strict=True)
        )
    )
    cost = 0.0
    for holder in sorted(table.holders, key=lambda h: h.cost / max(h.capacity, 1)):
        take = need if holder.limit is None else min(need, float(holder.capacity * holder.limit))
        cost += take * holder.cost / max(holder.capacity, 1)
        need -= take
    return cost


def _master(table: Table, grid: Grid) -> Master:
    """The programme over guillotine patterns."""

    def price(worth: Worth, counts: Fill) -> list[tuple[float, Fill]]:
        wanted = np.where(np.array(counts) > 0, worth, 0.0)
        values = worth_table(grid, wanted)
        found = []
        for k, (across, along) in enumerate(table.sheets):
            pattern = pattern_of(grid, values, wanted, across=across, along=along)
            fill = table.note(k, pattern)
            found.append((float(wanted @ np.array(fill, dtype=float)), fill))
        return found

    return Master(table.counts, table.holders, price)


def _plan(
    best: Plan,
    bound: int,
    table: Table,
    pieces: tuple[SheetPiece, ...],
    stock: tuple[SheetStock, ...],
    rules: CutRules,
) -> SheetPlan:
    """The plan in inches, surplus pieces left out."""
    left = Counter(dict(enumerate(table.counts)))
    sheets = []
    for (k, fill), times in sorted(best.items(), key=lambda item: (item[0][0], item[0][1])):
        for _ in range(times):
            sheet = _cut_sheet(table, (k, fill), left, pieces, stock[k], rules.kerf_in)
            if sheet.placed:
                sheets.append(sheet)
    areas = {s.id: s.width_in * s.length_in for s in stock}
    area = sum(areas[sheet.stock_id] for sheet in sheets)
    used = sum(p.width_in * p.length_in * p.count for p in pieces)
    priced = any(s.price_usd > 0 for s in stock)
    cost = sum(sheet.price_usd for sheet in sheets)
    return SheetPlan(
        sheets=tuple(sheets),
        cost_usd=cost,
        area_in2=area,
        least_usd=min(bound / 100, cost) if priced else None,
        least_area_in2=None if priced else min(float(bound), area),
        wasted=1 - used / area,
    )


def _cut_sheet(
    table: Table,
    column: Column,
    left: Counter[int],
    pieces: tuple[SheetPiece, ...],
    stock: SheetStock,
    kerf_in: float,
) -> CutSheet:
    """One sheet: only the pieces still wanted; cuts stay in their order."""
    pattern, scale = table.patterns[column], table.unit / PARTS
    placed = []
    for rect, x, y in pattern.places:
        if left[rect.size] <= 0:
            continue
        left[rect.size] -= 1
        placed.append(_placed(pieces[rect.size], rect, x * scale, y * scale, scale))
    cuts = tuple(
        SheetCut(rip, at * scale - kerf_in, (x * scale, y * scale, w * scale, h * scale))
        for rip, at, (x, y, w, h) in pattern.cuts
    )
    used = sum(p.width_in * p.length_in for p in placed) / (stock.width_in * stock.length_in)
    return CutSheet(stock.id, stock.price_usd, tuple(placed), cuts, used)


def _placed(piece: SheetPiece, rect: Rect, x: float, y: float, scale: float) -> Placed:
    """Whether a piece lies turned shows in its width across the sheet."""
    as_given = abs(rect.across * scale - piece.width_in) < abs(
        rect.across * scale - piece.length_in
    )
    turned = not as_given and piece.may_turn
    width, length = piece.width_in, piece.length_in
    if turned:
        width, length = length, width
    return Placed(piece.id, x, y, width, length, turned)
