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
    ways = _compose(hops, trails)
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


def _compose(hops: list[list[Hop]], trails: Trails) -> list[Way]:
    """The trails of every node."""
    nothing = Way([0.0, 0.0], [-1])
    ways = [nothing] * len(hops)
    for node in _order(hops):
        cuts: list[float] = []
        found: list[int] = []
        for hop in hops[node]:
            for left, trail in _parts(hop, ways, trails):
                if not found or found[-1] != trail:
                    cuts.append(left)
                    found.append(trail)
        cuts.append(hops[node][-1].right)
        ways[node] = Way(cuts, found)
    return ways


def _parts(hop: Hop, ways: list[Way], trails: Trails) -> list[tuple[float, int]]:
    """The trails of one hop, each with where it begins. [in]"""
    goal = hop.goal
    if isinstance(goal, End):
        return [(hop.left, _tagged(hop, trails.number(goal, -1, hop.at), trails))]
    way = ways[goal.node]
    if way.trails == [-1]:
        circle = trails.number(End(EndKind.STANDS, None, hop.at[0]), -1, hop.at)
        return [(hop.left, _tagged(hop, circle, trails))]
    across = goal.across
    if not across.slope:
        return [(hop.left, _tagged(hop, way.at(across.rise), trails))]
    a, b = across.at(hop.left), across.at(hop.right)
    rows = way.parts(min(a, b), max(a, b))
    if across.slope < 0:
        rows.reverse()
    starts = [lo if across.slope > 0 else hi for lo, hi, _ in rows]
    return [
        ((s - across.rise) / across.slope if k else hop.left, _tagged(hop, row[2], trails))
        for k, (s, row) in enumerate(zip(starts, rows, strict=True))
    ]


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
