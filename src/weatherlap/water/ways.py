"""Ways: the trails from every node, put together from the lowest node up."""

from __future__ import annotations

from dataclasses import dataclass, field

from weatherlap.building.corner import Corner
from weatherlap.water.again import Again, Key, Met
from weatherlap.water.columns import Event, EventKind
from weatherlap.water.folding import add_rails, fold, leave, rail_hops
from weatherlap.water.hops import (
    Cause,
    Crossing,
    End,
    EndKind,
    Go,
    Hop,
    IntoTrough,
    clipped,
)
from weatherlap.water.landing import SAME, Leaving, arrive, stop
from weatherlap.water.lay import Lay, lay_out
from weatherlap.water.outlets import Outlet, outlets
from weatherlap.water.tiling import WetTile
from weatherlap.water.trails import Trails, Way


@dataclass(slots=True)
class Ways:
    """The hops, the trails of every node, and the trails of every trough's outlets.

    ``outlet_trails[k]`` holds (share, trail) of trough k's outlets; ``met`` what is known of each
    event.
    """

    lay: Lay
    hops: list[list[Hop]]
    ways: list[Way]
    trails: Trails
    outlets: list[list[Outlet]]
    outlet_trails: list[list[tuple[float, int]]]
    met: dict[Key, Met] = field(repr=False, compare=False)


class _HopFinder:
    """Works out each event's hops once and clips them to the columns it crosses."""

    def __init__(self, lay: Lay, again: Again | None) -> None:
        self.lay = lay
        self.met: dict[Key, Met] = {}
        self._again = again

    def of(self, node: int) -> list[Hop]:
        if node >= len(self.lay.column_of_node):
            return rail_hops(self.lay, node)
        column, event = self.lay.column_of_node[node], self.lay.event_of(node)
        mine = self.lay.tiling.tiles[column.tile]
        if event.kind is EventKind.TROUGH:
            middle = 0.5 * (column.left + column.right)
            at = (mine.face, middle, event.line.at(middle))
            tags = (IntoTrough(event.what),)
            return [Hop(column.left, column.right, tags, Go(node + 1, SAME), at)]
        key = (column.tile, event.kind, event.what, event.left)
        if key not in self.met:
            known = None if self._again is None else self._again.met(key)
            self.met[key] = self._worked_out(mine, event) if known is None else known
        return clipped(self.met[key].hops, column.left, column.right)

    def _worked_out(self, mine: WetTile, event: Event) -> Met:
        self.lay.tiling.asked.clear()
        hops = _event_hops(self.lay, mine, event)
        return Met(hops, tuple(self.lay.tiling.asked))


def _event_hops(lay: Lay, mine: WetTile, event: Event) -> list[Hop]:
    leaving = Leaving(mine.piece, mine.face, event.line, (event.left, event.right))
    if event.kind is EventKind.ONTO:
        return arrive(lay, leaving, event.what, across=SAME, up=event.line)
    if event.kind is EventKind.HELD:
        holder = lay.tiling.tiles[event.what].piece
        crossing = Crossing(Cause.SEALED, mine.face, mine.piece, holder)
        return [stop(leaving, End(EndKind.HELD, holder, mine.face), (crossing,))]
    if event.kind is EventKind.FOLD:
        return fold(lay, mine, lay.corner.contacts_of[mine.face][event.what], leaving)
    return leave(lay, mine)


def find_ways(corner: Corner, *, before: Ways | None = None) -> Ways:
    """Every way that water can take on a corner.

    Parameters
    ----------
    before : Ways, optional
        Those on a corner that differs little, which saves time; the result is the same.
    """
    lay = lay_out(corner)
    add_rails(lay)
    again = None if before is None else Again.on(before.lay, before.met, lay)
    finder = _HopFinder(lay, again)
    hops = [finder.of(node) for node in range(lay.node_count)]
    trails = Trails()
    ways = _Composer(hops, trails).ways()
    outs = [outlets(lay, k) for k in range(len(lay.troughs))]
    outlet_trails = [
        [(o.share, _trail_of_hop(o.hops[0], ways, trails)) for o in row] for row in outs
    ]
    return Ways(lay, hops, ways, trails, outs, outlet_trails, finder.met)


def _order(hops: list[list[Hop]]) -> list[int]:
    """Nodes so that each comes after all that it leads to."""
    state = bytearray(len(hops))
    done: list[int] = []
    for first in range(len(hops)):
        stack = [first]
        while stack:
            node = stack[-1]
            if state[node]:
                stack.pop()
                if state[node] == 1:
                    state[node] = 2
                    done.append(node)
                continue
            state[node] = 1
            stack += [
                h.goal.node for h in hops[node] if isinstance(h.goal, Go) and not state[h.goal.node]
            ]
    return done


class _Composer:
    """Puts the trails of every node together."""

    def __init__(self, hops: list[list[Hop]], trails: Trails) -> None:
        self._hops, self._trails = hops, trails
        self._ways: list[Way | None] = [None] * len(hops)

    def ways(self) -> list[Way]:
        """The trails of every node."""
        for node in _order(self._hops):
            self._ways[node] = self._way(node)
        return [way for way in self._ways if way is not None]

    def _way(self, node: int) -> Way:
        cuts: list[float] = []
        found: list[int] = []
        for hop in self._hops[node]:
            for left, trail in self._parts(hop, (node,)):
                if not found or found[-1] != trail:
                    cuts.append(left)
                    found.append(trail)
        cuts.append(self._hops[node][-1].right)
        return Way(cuts, found)

    def _parts(self, hop: Hop, passed: tuple[int, ...]) -> list[tuple[float, int]]:
        """The trails of one hop, each with where it begins. [in]"""
        goal, trails = hop.goal, self._trails
        if isinstance(goal, End):
            return [(hop.left, _tagged(hop, trails.number(goal, -1, hop.at), trails))]
        across = goal.across
        way = self._ways[goal.node]
        if not across.slope:
            at = across.rise
            trail = self._rows(hop, at, at, passed)[-1][2] if way is None else way.at(at)
            return [(hop.left, _tagged(hop, trail, trails))]
        a, b = across.at(hop.left), across.at(hop.right)
        lo, hi = min(a, b), max(a, b)
        rows = self._rows(hop, lo, hi, passed) if way is None else way.parts(lo, hi)
        if across.slope < 0:
            rows.reverse()
        starts = [lo if across.slope > 0 else hi for lo, hi, _ in rows]
        return [
            ((s - across.rise) / across.slope if k else hop.left, _tagged(hop, row[2], trails))
            for k, (s, row) in enumerate(zip(starts, rows, strict=True))
        ]

    def _rows(
        self, hop: Hop, left: float, right: float, passed: tuple[int, ...]
    ) -> list[tuple[float, float, int]]:
        """The trails of a node that leads back to one of those passed, between two u. [in]

        Nodes may lead to each other at different places without any water that goes round: only
        water that comes to a node for the second time stands.
        """
        assert isinstance(hop.goal, Go)
        node = hop.goal.node
        way = self._ways[node]
        if way is not None:
            return way.parts(left, right)
        if node in passed:
            circle = self._trails.number(End(EndKind.STANDS, None, hop.at[0]), -1, hop.at)
            return [(left, right, circle)]
        found: list[tuple[float, float, int]] = []
        for part in clipped(self._hops[node], left, right) or self._hops[node][-1:]:
            rows = self._parts(part, (*passed, node))
            ends = [*(u for u, _ in rows[1:]), part.right]
            found += [(u, end, t) for (u, t), end in zip(rows, ends, strict=True)]
        return found


def _tagged(hop: Hop, trail: int, trails: Trails) -> int:
    for tag in reversed(hop.tags):
        trail = trails.number(tag, trail, hop.at)
    return trail


def _trail_of_hop(hop: Hop, ways: list[Way], trails: Trails) -> int:
    """The trail of a hop at a single place."""
    goal = hop.goal
    if isinstance(goal, End):
        return _tagged(hop, trails.number(goal, -1, hop.at), trails)
    return _tagged(hop, ways[goal.node].at(goal.across.at(hop.left)), trails)
