"""The sheet of a bent piece laid flat, exactly: node by node across, ruling beside ruling.

A piece runs along x between two ends that may be cut by slanting planes, and its legs may be of
other lengths at the far end. Every flat stays plane and every bend curves about one axis, so the
sheet unrolls: each ruling (a line along the piece) is placed beside the last one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from weatherlap.metal.ends import EndCut
from weatherlap.metal.girth import lay_flat
from weatherlap.metal.model import Metal, Profile
from weatherlap.metal.section import folded

Point = tuple[float, float]
Space = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class Node:
    """A point of the folded section; ``curve_in`` is the arc from the last node, 0 after a flat."""

    x_in: float
    y_in: float
    curve_in: float


@dataclass(frozen=True, slots=True)
class Sheet:
    """The unrolled sheet: points at the near and the far end of each ruling. [in]

    ``flats`` are the (first, last) node of each leg, ``middles`` the node in the middle of each
    bend.
    """

    near: tuple[Point, ...]
    far: tuple[Point, ...]
    flats: tuple[tuple[int, int], ...]
    middles: tuple[int, ...]


def unroll(
    start: Profile, end: Profile, *, metal: Metal, length_in: float, cuts: tuple[EndCut, EndCut],
    hold: int,
) -> Sheet:  # fmt: skip
    """The sheet of a piece that has profile ``start`` at x = 0 and ``end`` at the far end.

    ``hold`` is the flat (from 0) whose first point stays level from end to end.
    """
    nodes, flats, middles = _nodes(start, metal)
    others, _, _ = _nodes(end, metal)
    at = flats[hold][0]
    shift = nodes[at].x_in - others[at].x_in, nodes[at].y_in - others[at].y_in
    near = [_space(node, 0.0, cuts[0], -1.0, (0.0, 0.0)) for node in nodes]
    far = [_space(node, length_in, cuts[1], 1.0, shift) for node in others]
    curves = [(a.curve_in, b.curve_in) for a, b in zip(nodes, others, strict=True)]
    low, high = _rulings(near, far, curves)
    return Sheet(tuple(low), tuple(high), flats, middles)


def _nodes(
    profile: Profile, metal: Metal
) -> tuple[list[Node], tuple[tuple[int, int], ...], tuple[int, ...]]:
    """Nodes of a folded section, the nodes of its flats, the middle nodes of its bends."""
    allowances = lay_flat(profile, metal=metal).allowances_in
    nodes: list[Node] = []
    flats, middles = [], []
    for number, part in enumerate(folded(profile, metal=metal).parts):
        if number % 2 == 0:
            flats.append((max(len(nodes) - 1, 0), max(len(nodes), 1)))
            points, curve = part[1:] if nodes else part, 0.0
        else:
            points, curve = part[1:], allowances[number // 2] / (len(part) - 1)
            middles.append(len(nodes) - 1 + (len(part) - 1) // 2)
        nodes.extend(Node(x, y, curve) for x, y in points)
    return nodes, tuple(flats), tuple(middles)


def _space(node: Node, x: float, cut: EndCut, out: float, shift: Point) -> Space:
    """A node at one end of the piece: where the cut's plane meets its ruling."""
    along = x + out * (cut.per_x * node.x_in + cut.per_y * node.y_in)
    return along, node.x_in + shift[0], node.y_in + shift[1]


def _rulings(
    near: list[Space], far: list[Space], curves: list[tuple[float, float]]
) -> tuple[list[Point], list[Point]]:
    """Both ends of each ruling in the flat."""
    low: list[Point] = [(near[0][0], 0.0)]
    high: list[Point] = [(near[0][0] + math.dist(near[0], far[0]), 0.0)]
    for j, k in pairwise(range(len(near))):
        way = _unit(near[j], far[j])
        ahead = _unit2(low[j], high[j])
        low.append(_beside(low[j], ahead, *_step(near[j], near[k], way, curves[k][0])))
        high.append(_beside(high[j], ahead, *_step(far[j], far[k], way, curves[k][1])))
    return low, high


def _step(a: Space, b: Space, way: Space, curve: float) -> Point:
    """From one ruling to the next: how far along it, and how far across."""
    v = tuple(q - p for p, q in zip(a, b, strict=True))
    along = sum(p * q for p, q in zip(v, way, strict=True))
    across = curve or math.sqrt(max(sum(p * p for p in v) - along * along, 0.0))
    return along, across


def _beside(at: Point, ahead: Point, along: float, across: float) -> Point:
    return (
        at[0] + along * ahead[0] - across * ahead[1],
        at[1] + along * ahead[1] + across * ahead[0],
    )


def _unit(a: Space, b: Space) -> Space:
    far = math.dist(a, b)
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far, (b[2] - a[2]) / far


def _unit2(a: Point, b: Point) -> Point:
    far = math.dist(a, b)
    return (b[0] - a[0]) / far, (b[1] - a[1]) / far
