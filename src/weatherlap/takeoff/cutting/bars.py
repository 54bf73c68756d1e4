"""Cutting plans for what is sold by length: lumber, trim, channels, siding, gutter."""

from __future__ import annotations

import math
from collections import Counter
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.takeoff.cutting.covering import DEFAULT_EFFORT, Cover, Effort, cover
from weatherlap.takeoff.cutting.knapsack import Holder, Sizes
from weatherlap.takeoff.cutting.model import (
    PARTS,
    BarPiece,
    BarPlan,
    BarStock,
    CutBar,
    CutRules,
    distinct,
    down,
    not_too_fine,
    not_too_many,
    up,
)
from weatherlap.takeoff.cutting.settle import Load, settled
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class _Saw:
    """The problem in whole units: kerf added to each piece, and once to the stock."""

    sizes: Sizes
    holders: tuple[Holder, ...]
    ids: tuple[tuple[str, ...], ...]
    unit: int


def plan_bars(
    pieces: tuple[BarPiece, ...],
    *,
    stock: tuple[BarStock, ...],
    rules: CutRules,
    effort: Effort = DEFAULT_EFFORT,
) -> BarPlan:
    """The cheapest bars that give all pieces, and in which order to cut them.

    Of plans of one cost, pieces go to the shortest bar that serves, and what is left over is
    gathered into as few long leftovers as may be.

    Parameters
    ----------
    pieces : tuple of BarPiece
        Lengths and counts. [in]
    stock : tuple of BarStock
        What can be bought or is on hand. If no price is above 0, the length used is made least.
    rules : CutRules
        Kerf, end trim, leftovers. [in]
    effort : Effort
        When to stop looking for the proof.

    Returns
    -------
    BarPlan
        Bars, cost, and the bound no plan can go below.

    Raises
    ------
    InputError
        If a piece is longer than all stock, or counts are absurd.
    NoSolution
        If the stock on hand is too little.

    Sources
    -------
    M-036 : kerf. M-030, M-032 : proof. M-037 : order of cutting.
    """
    _check(pieces, stock, rules)
    saw = _in_units(pieces, stock, rules)
    found = cover(saw.sizes, holders=saw.holders, effort=effort)
    lengths = [s.length_in for s in stock]
    loads = settled(_loads(found), sizes=saw.sizes, holders=saw.holders, lengths_in=lengths)
    bars = _bars(loads, saw, stock, rules)
    priced = any(s.price_usd > 0 for s in stock)
    return BarPlan(
        bars=bars,
        cost_usd=sum(bar.price_usd * bar.times for bar in bars),
        stock_in=sum(bar.stock_in * bar.times for bar in bars),
        pieces_in=sum(p.length_in * p.count for p in pieces),
        least_usd=found.bound / 100 if priced else None,
        least_stock_in=None if priced else found.bound / PARTS,
    )


def _check(pieces: tuple[BarPiece, ...], stock: tuple[BarStock, ...], rules: CutRules) -> None:
    if not stock:
        raise InputError("stock", "none", "at least one length to cut from")
    distinct("stock", (s.id for s in stock))
    distinct("pieces", (p.id for p in pieces))
    not_too_many([p.count for p in pieces], len({up(p.length_in) for p in pieces}))
    longest = max(s.length_in for s in stock if s.on_hand != 0) - 2 * rules.end_trim_in
    for piece in pieces:
        if up(piece.length_in) > down(longest):
            count = math.ceil(piece.length_in / max(longest, 1.0))
            raise InputError(
                f"piece {piece.id}",
                f"{tape(piece.length_in)}, longer than all stock",
                f"at most {tape(max(longest, 0.0))}, what the longest stock leaves between trims",
                f"Make it of {count} or more pieces with a lap, or find longer stock.",
            )


def _in_units(pieces: tuple[BarPiece, ...], stock: tuple[BarStock, ...], rules: CutRules) -> _Saw:
    """Widths, counts, capacities and costs as whole numbers, by their greatest common unit."""
    kerf = up(rules.kerf_in)
    counts: Counter[int] = Counter()
    ids: dict[int, list[str]] = {}
    for piece in pieces:
        width = up(piece.length_in) + kerf
        counts[width] += piece.count
        ids.setdefault(width, []).extend([piece.id] * piece.count)
    rooms = [max(down(s.length_in - 2 * rules.end_trim_in) + kerf, 0) for s in stock]
    widths = sorted(counts)
    unit = math.gcd(*widths)
    not_too_fine(max(rooms) // unit, len(widths))
    priced = any(s.price_usd > 0 for s in stock)
    costs = [round(s.price_usd * 100) if priced else down(s.length_in) for s in stock]
    holders = tuple(
        Holder(room // unit, cost, len(widths), s.on_hand)
        for room, cost, s in zip(rooms, costs, stock, strict=True)
    )
    sizes = Sizes(tuple(w // unit for w in widths), tuple(counts[w] for w in widths))
    return _Saw(sizes, holders, tuple(tuple(ids[w]) for w in widths), unit)


def _loads(found: Cover) -> list[Load]:
    """One load a bar: the holder and the sizes on it."""
    return [
        Load(k, [n for n, times in enumerate(fill) for _ in range(times)])
        for (k, fill), often in found.columns
        for _ in range(often)
    ]


def _bars(
    loads: list[Load], saw: _Saw, stock: tuple[BarStock, ...], rules: CutRules
) -> tuple[CutBar, ...]:
    """Bars with their cuts, those cut alike together; most alike and longest first."""
    names = [list(reversed(ids)) for ids in saw.ids]
    kerf = up(rules.kerf_in)
    rows: dict[tuple[int, tuple[int, ...]], list[tuple[str, ...]]] = {}
    for load in loads:
        order = tuple(sorted(load.sizes, reverse=True))
        rows.setdefault((load.holder, order), []).append(tuple(names[n].pop() for n in order))
    bars = []
    for (k, order), named in rows.items():
        lengths = tuple((saw.sizes.widths[n] * saw.unit - kerf) / PARTS for n in order)
        for ids, times in Counter(named).items():
            bars.append(_bar(stock[k], ids, lengths, times, rules))
    return tuple(sorted(bars, key=lambda b: (-b.stock_in, b.stock_id, -b.lengths_in[0], -b.times)))


def _bar(
    stock: BarStock, ids: tuple[str, ...], lengths: tuple[float, ...], times: int, rules: CutRules
) -> CutBar:
    """One bar: the longest piece first, so that a slip leaves stock for the shorter ones."""
    marks: list[float] = []
    at = 0.0
    for length in lengths:
        at += length
        marks.append(at)
        at += rules.kerf_in
    left = max(stock.length_in - 2 * rules.end_trim_in - at, 0.0)
    return CutBar(
        stock_id=stock.id,
        stock_in=stock.length_in,
        price_usd=stock.price_usd,
        times=times,
        piece_ids=ids,
        lengths_in=lengths,
        marks_in=tuple(marks),
        leftover_in=left,
        keep=left > 0 and left >= rules.keep_in,
    )
