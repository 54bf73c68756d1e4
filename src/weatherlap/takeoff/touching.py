"""What touches what on the repaired corner, and whether it may."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from weatherlap.building.corner import Corner, Panel, Piece
from weatherlap.building.laps import overlaps
from weatherlap.sources.catalogue import entry
from weatherlap.takeoff.compatibility import Judged, Verdict, judge_metals, judge_on, metal_of
from weatherlap.takeoff.model import TakeOff

LEAST_TOUCH_IN2 = 1.0
RUN_OFF_IN = 12.0
"""Water off a piece reaches another that lies lower and no farther aside. [in]"""


@dataclass(frozen=True, slots=True)
class Air:
    """What decides besides the materials: salt air, and how treated lumber is treated."""

    salt: bool
    treatment: str


@dataclass(frozen=True, slots=True)
class Touch:
    """Two things that touch, by their titles, and the verdict."""

    outer: str
    inner: str
    judged: Judged


@dataclass(frozen=True, slots=True)
class Touches:
    """How many contacts of new things were looked at, and those that must be kept apart."""

    looked_at: int
    apart: tuple[Touch, ...]


def touches(corner: Corner, new: Collection[str], taken: TakeOff, air: Air) -> Touches:
    """Every contact of a new piece or its fasteners with metal, treated lumber or masonry.

    Parameters
    ----------
    corner : Corner
        The corner as repaired.
    new : collection of str
        Ids of its new pieces.
    taken : TakeOff
        Their parts and fasteners, which say what they are really made of.
    air : Air
        Salt, treatment.
    """
    made = {part.piece: part.good.material for part in taken.parts}
    rows = [*_laid(corner, new, made, air), *_fixed(corner, taken, made, air)]
    rows += _run_off(corner, new, made)
    distinct = {(row.outer, row.inner, row.judged.verdict): row for row in rows}
    apart = [row for row in distinct.values() if row.judged.verdict is not Verdict.FINE]
    return Touches(len(distinct), tuple(apart))


def _material(piece: Piece, made: Mapping[str, str]) -> str:
    if piece.id in made:
        return made[piece.id]
    return entry(piece.record.what).material if piece.record.what else ""


def _judge(outer: str, inner: str, air: Air, *, fastener: bool = False) -> Judged | None:
    """The verdict on two materials; None where neither is a metal, or nothing is known."""
    one, other = metal_of(outer), metal_of(inner)
    if one is not None and other is not None:
        return judge_metals(one, other, salt_air=air.salt, fastener=fastener)
    if one is not None and inner:
        return judge_on(one, inner, treatment=air.treatment)
    if other is not None and outer:
        return judge_on(other, outer, treatment=air.treatment)
    return None


def _laid(
    corner: Corner, new: Collection[str], made: Mapping[str, str], air: Air
) -> Iterator[Touch]:
    """Pieces that lie on each other with nothing between."""
    for a, b in overlaps(corner):
        one, other = corner.panels[a], corner.panels[b]
        if not corner.outside(one.piece, other.piece):
            one, other = other, one
        first, second = corner.pieces[one.piece], corner.pieces[other.piece]
        if first.id not in new and second.id not in new:
            continue
        judged = _judge(_material(first, made), _material(second, made), air)
        if judged is not None and _touch_in2(corner, one, other) > LEAST_TOUCH_IN2:
            yield Touch(first.title, second.title, judged)


def _touch_in2(corner: Corner, outer: Panel, inner: Panel) -> float:
    """The area over which two panels touch: their overlap without what lies between. [in2]"""
    shared: BaseGeometry = shapely.intersection(outer.polygon, inner.polygon)
    for index in corner.panels_on[outer.face]:
        middle = corner.panels[index]
        if middle.piece in (outer.piece, inner.piece):
            continue
        if corner.outside(middle.piece, inner.piece) and corner.outside(outer.piece, middle.piece):
            shared = shapely.difference(shared, middle.polygon)
    return float(shared.area)


def _fixed(corner: Corner, taken: TakeOff, made: Mapping[str, str], air: Air) -> Iterator[Touch]:
    """Fasteners in what they hold, and in the wood behind it."""
    titles = {part.piece: part.title for part in taken.parts}
    for sundry in taken.sundries:
        if metal_of(sundry.good.material) is None:
            continue
        held = made.get(sundry.piece, "")
        judged = _judge(sundry.good.material, held, air, fastener=True)
        if judged is not None:
            yield Touch(sundry.good.name, titles.get(sundry.piece, sundry.piece), judged)
        for behind in _behind(corner, sundry.piece):
            judged = _judge(sundry.good.material, _material(behind, made), air, fastener=True)
            if judged is not None:
                yield Touch(sundry.good.name, behind.title, judged)


def _behind(corner: Corner, name: str) -> tuple[Piece, ...]:
    """The wooden pieces that lie inside a piece, where they overlap."""
    piece = corner.piece_named.get(name)
    if piece is None:
        return ()
    found: dict[str, Piece] = {}
    for index in piece.panels:
        own = corner.panels[index]
        for other in (corner.panels[n] for n in corner.panels_on[own.face]):
            behind = corner.pieces[other.piece]
            is_inside = behind.index != piece.index and corner.outside(piece.index, behind.index)
            if is_inside and own.polygon.intersection(other.polygon).area > LEAST_TOUCH_IN2:
                found[behind.id] = behind
    return tuple(p for p in found.values() if p.role in ("frame", "sheathing", "masonry"))


def _run_off(corner: Corner, new: Collection[str], made: Mapping[str, str]) -> Iterator[Touch]:
    """Copper whose water can reach aluminum or zinc below it."""
    metal = {p.index: metal_of(_material(p, made)) for p in corner.pieces}
    nobler = [p for p in corner.pieces if metal[p.index] == "copper" and p.panels]
    baser = [p for p in corner.pieces if metal[p.index] in ("aluminum", "zinc") and p.panels]
    for upper in nobler:
        for lower in baser:
            if {upper.id, lower.id}.isdisjoint(new) or not _runs_onto(corner, upper, lower):
                continue
            judged = Judged(
                Verdict.NEVER,
                f"water off copper eats the {metal[lower.index]} that it reaches",
                "Take both of one metal, or lead that water away.",
                ("M-312",),
            )
            yield Touch(upper.title, lower.title, judged)


def _runs_onto(corner: Corner, upper: Piece, lower: Piece) -> bool:
    one, other = _box(corner, upper), _box(corner, lower)
    beside = all(
        one[0][k] <= other[1][k] + RUN_OFF_IN and other[0][k] <= one[1][k] + RUN_OFF_IN
        for k in (0, 1)
    )
    return beside and one[0][2] > other[0][2] + 1e-6


def _box(corner: Corner, piece: Piece) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """The least and greatest east, north and up of a piece. [in]"""
    points = [
        corner.faces[corner.panels[n].face].frame.to_space(u, v)
        for n in piece.panels
        for u, v in corner.panels[n].polygon.exterior.coords
    ]
    low = tuple(min(p[k] for p in points) for k in range(3))
    return low, tuple(max(p[k] for p in points) for k in range(3))
