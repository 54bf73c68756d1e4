"""Folding: what water does at the rim of a face and where faces meet."""

from __future__ import annotations

import itertools

from shapely import Point

from weatherlap.building.corner import Face
from weatherlap.job.model import Sheet
from weatherlap.shape.folds import TOUCH_IN, Contact
from weatherlap.shape.frames import dot
from weatherlap.shape.tiles import Line
from weatherlap.water.columns import contact_line
from weatherlap.water.crossings import crossing_below, crossing_beyond, crossing_under, stops
from weatherlap.water.falling import fall, line_between, spans_on
from weatherlap.water.hops import Cause, Crossing, End, EndKind, Go, Hop, Soak, Tag
from weatherlap.water.landing import Leaving, arrive, at_each, drop, stop
from weatherlap.water.lay import Beyond, Lay, Rail, RailStop
from weatherlap.water.tiling import LEAST, Span, WetTile, above, cut, shared

HAIR_IN = 1 / 64
"""How far inside the next face a place at the fold is looked up. [in]"""


def leave(lay: Lay, mine: WetTile) -> list[Hop]:
    """The hops of water at the lower edge of a tile."""
    t = mine.tile
    rims = _rim_spans(lay, mine)
    hops: list[Hop] = []
    for span in cut((t.left, t.right), [u for r in rims for u in r]):
        leaving = Leaving(mine.piece, mine.face, t.bottom, span)
        u = leaving.middle[0]
        if any(lo <= u <= hi for lo, hi in rims):
            hops += _over_rim(lay, mine, leaving)
        else:
            hops += drop(lay, leaving, mine.over, mine.under)
    return hops


def _rim_spans(lay: Lay, mine: WetTile) -> list[Span]:
    """Where the lower edge of a tile lies on the lower rim of its face. [in]"""
    t, found = mine.tile, []
    for ground in lay.tiling.ground[mine.face]:
        span = shared((t.left, t.right), (ground.left, ground.right))
        span = above(ground.bottom, t.bottom, -LEAST, span) if span else None
        span = above(t.bottom, ground.bottom, -LEAST, span) if span else None
        if span and span[1] > span[0]:
            found.append(span)
    return found


def _over_rim(lay: Lay, mine: WetTile, leaving: Leaving) -> list[Hop]:
    """Water at the rim of a face: round a fold, or off a free edge."""
    folds: list[tuple[Span, Contact]] = []
    for contact in lay.corner.contacts_of[mine.face]:
        found = contact_line(contact)
        if found is None or contact.inside_here:
            continue
        span = shared(leaving.span, found[1])
        span = above(found[0], leaving.line, -LEAST, span) if span else None
        span = above(leaving.line, found[0], -LEAST, span) if span else None
        if span:
            folds.append((span, contact))
    hops: list[Hop] = []
    for span in cut(leaving.span, [u for s, _ in folds for u in s]):
        part = leaving.narrowed(span)
        u = part.middle[0]
        here = [c for s, c in folds if s[0] <= u <= s[1]]
        if here:
            hops += fold(lay, mine, _catching(lay, here), part)
        else:
            hops += fall(lay, part)
    return hops


def _catching(lay: Lay, folds: list[Contact]) -> Contact:
    """Of several folds at one place, the one whose face looks up most."""
    return min(folds, key=lambda c: (lay.corner.faces[c.there].tilt_deg, c.there))


def beyond(lay: Lay, contact: Contact) -> Beyond:
    """The next face along a contact, over u of this face. [in]"""
    found = lay.beyond.get(contact)
    if found is None:
        found = lay.beyond[contact] = _beyond(lay, contact)
    return found


def _beyond(lay: Lay, contact: Contact) -> Beyond:
    face = lay.corner.faces[contact.there]
    (a0, b0), (a1, b1) = contact.there_start, contact.there_end
    long = ((a1 - a0) ** 2 + (b1 - b0) ** 2) ** 0.5
    inward = ((b0 - b1) / long, (a1 - a0) / long)
    if not _points_in(lay, contact, face, inward):
        inward = (-inward[0], -inward[1])
    du, dv = HAIR_IN * inward[0], HAIR_IN * inward[1]
    start, end = contact.start[0], contact.end[0]
    if start > end:
        start, end, a0, b0, a1, b1 = end, start, a1, b1, a0, b0
    across = line_between(start, a0 + du, end, a1 + du)
    up = line_between(start, b0 + dv, end, b1 + dv)
    return Beyond(contact, face.index, across, up, inward[1] > 1e-6)


def _points_in(lay: Lay, contact: Contact, face: Face, way: tuple[float, float]) -> bool:
    """Whether a direction on the next face leads from the fold into its reachable part."""
    if contact.inside_there:
        here = lay.corner.faces[contact.here].frame.normal
        lean = way[0] * dot(face.frame.right, here) + way[1] * dot(face.frame.up, here)
        return lean > 1e-9 or (abs(lean) <= 1e-9 and way[1] < 0)
    u = 0.5 * (contact.there_start[0] + contact.there_end[0]) + 4 * HAIR_IN * way[0]
    v = 0.5 * (contact.there_start[1] + contact.there_end[1]) + 4 * HAIR_IN * way[1]
    return bool(face.outline.covers(Point(u, v)))


def fold(lay: Lay, mine: WetTile, contact: Contact, leaving: Leaving) -> list[Hop]:
    """Rules 6 and 7 at a fold: round it on the same piece, onto another, drip or cling."""
    there = beyond(lay, contact)
    covers = _covers(lay, mine, leaving)
    places = _to_the_ends(
        contact, spans_on(lay, there.face, leaving.span, there.across, there.up), leaving.span
    )
    spans = cut(leaving.span, [u for s, _ in (*covers, *places) for u in s])
    sides = at_each(covers, spans), at_each(places, spans)
    hops: list[Hop] = []
    for span, over, here in zip(spans, *sides, strict=True):
        hops += _round(lay, leaving.narrowed(span), there, over, here)
    return hops


def _to_the_ends(
    contact: Contact, places: list[tuple[Span, int]], whole: Span
) -> list[tuple[Span, int]]:
    """Spans that stop under 1/16 in short of a fold's end reach to it.

    A place looked up a hair inside the next face slides past the end of a slanting fold.
    """
    low, high = sorted((contact.start[0], contact.end[0]))
    found = []
    for (lo, hi), tile in places:
        lo = whole[0] if lo - low < LEAST and whole[0] <= lo else lo
        hi = whole[1] if high - hi < LEAST and whole[1] >= hi else hi
        found.append(((lo, hi), tile))
    return found


def _covers(lay: Lay, mine: WetTile, leaving: Leaving) -> list[tuple[Span, int]]:
    """The outer tiles that still cover the water where it comes to the fold."""
    found = []
    for o in mine.over:
        tile = lay.tiling.tiles[o].tile
        span = shared(leaving.span, (tile.left, tile.right))
        span = above(tile.top, leaving.line, LEAST, span) if span else None
        span = above(leaving.line, tile.bottom, -LEAST, span) if span else None
        if span:
            found.append((span, o))
    return found


def _round(
    lay: Lay, leaving: Leaving, there: Beyond, covers: list[int], here: list[int]
) -> list[Hop]:
    tiles = lay.tiling.tiles
    own = [t for t in here if tiles[t].piece == leaving.piece]
    over = {tiles[o].piece for o in covers}
    landing = own[0] if own else _outermost_inside(lay, here, over)
    if lay.corner.faces[there.face].looks_down:
        return _underside(lay, leaving, there, covers, landing)
    tags = () if own else _crossing_at(lay, leaving, there, landing, here, covers)
    if landing is None:
        return [stop(leaving, End(EndKind.CAVITY, None, there.face), tags)]
    if there.uphill:
        return _along(lay, leaving, there, landing, tags)
    return arrive(lay, leaving, landing, across=there.across, up=there.up, tags=tags)


def _underside(
    lay: Lay, leaving: Leaving, there: Beyond, covers: list[int], landing: int | None
) -> list[Hop]:
    """Where an underside begins water drops from a free drip edge; else it clings."""
    if lay.corner.pieces[leaving.piece].drip and not covers:
        return fall(lay, leaving)
    piece = leaving.piece if landing is None else lay.tiling.tiles[landing].piece
    crossing = Crossing(Cause.NO_DRIP, leaving.face, leaving.piece, piece)
    return [stop(leaving, End(EndKind.CLING, piece, there.face), (crossing,))]


def _crossing_at(
    lay: Lay,
    leaving: Leaving,
    there: Beyond,
    landing: int | None,
    here: list[int],
    covers: list[int],
) -> tuple[Tag, ...]:
    """The crossing of water that goes round a fold onto another piece, if any.

    ``here`` are the tiles at the place on the next face, ``covers`` those over the water before.
    """
    tiles, pieces = lay.tiling.tiles, lay.corner.pieces
    inner = None if landing is None else tiles[landing].piece
    if inner is not None and stops(pieces[inner]):
        covers = [t for t in here if lay.corner.outside(tiles[t].piece, inner)]
    crossing = crossing_under(lay.tiling, leaving.face, leaving.piece, covers)
    if crossing is None:
        u = leaving.middle[0]
        place = there.across.at(u), there.up.at(u)
        crossing = crossing_beyond(
            lay.tiling, (leaving.face, leaving.piece), inner, there.face, place
        )
    return (crossing,) if crossing else ()


def _along(
    lay: Lay, leaving: Leaving, there: Beyond, landing: int, tags: tuple[Tag, ...]
) -> list[Hop]:
    """Water caught in a fold: it runs down along it, or stands where the fold is level."""
    rail = lay.rails.get(there.contact)
    wet = lay.tiling.tiles[landing]
    if lay.corner.pieces[wet.piece].sheet is Sheet.ABSORBS and wet.piece != leaving.piece:
        tags = (*tags, Soak(wet.piece, wet.face))
    if rail is None:
        level = Crossing(Cause.LEVEL, there.face, wet.piece, None)
        return [stop(leaving, End(EndKind.STANDS, wet.piece, there.face), (*tags, level))]
    node = _stop_at(lay, rail, landing, leaving.middle[0])
    if node is None:
        return [stop(leaving, End(EndKind.CAVITY, None, there.face), tags)]
    return [Hop(*leaving.span, tags, Go(node, Line(0.0, 0.0)), leaving.at)]


def _stop_at(lay: Lay, rail: Rail, landing: int, u: float) -> int | None:
    """The rail stop where water that comes to a fold at u lands on a tile's piece."""
    tiles = lay.tiling.tiles
    high = rail.contact.end[0] if rail.flipped else rail.contact.start[0]
    wide = abs(rail.contact.end[0] - rail.contact.start[0])
    down = abs(u - high) * rail.length_in / wide
    gaps = []
    for n in rail.nodes:
        here = lay.stop_of(n)
        if tiles[here.tile].piece == tiles[landing].piece:
            gaps.append((max(here.start - down, down - here.stop, 0.0), n))
    gap, node = min(gaps, default=(LEAST, -1))
    return node if gap < LEAST else None


def add_rails(lay: Lay) -> None:
    """Find the folds that water runs along, and number their stops as nodes."""
    for contact in lay.corner.contacts:
        face, next_face = lay.corner.faces[contact.here], lay.corner.faces[contact.there]
        if face.looks_down or next_face.looks_down or contact_line(contact) is None:
            continue
        high = face.frame.to_space(*contact.start)[2]
        low = face.frame.to_space(*contact.end)[2]
        if abs(high - low) <= LEAST or not beyond(lay, contact).uphill:
            continue
        _add_rail(lay, contact, flipped=low > high)


def _add_rail(lay: Lay, contact: Contact, *, flipped: bool) -> None:
    there = beyond(lay, contact)
    lo, hi = sorted((contact.start[0], contact.end[0]))
    high_u = contact.end[0] if flipped else contact.start[0]
    (a0, b0), (a1, b1) = contact.start, contact.end
    long = ((a1 - a0) ** 2 + (b1 - b0) ** 2) ** 0.5
    scale = long / (hi - lo)
    first = lay.node_count
    for span, t in spans_on(lay, there.face, (lo, hi), there.across, there.up):
        ends = sorted(abs(u - high_u) * scale for u in span)
        if ends[1] - ends[0] > LEAST:
            lay.rail_stops.append(RailStop(contact, t, ends[0], ends[1]))
    nodes = range(first, lay.node_count)
    runs = _runs([(lay.stop_of(n), lay.tiling.tiles[lay.stop_of(n).tile].piece) for n in nodes])
    lay.rails[contact] = Rail(contact, flipped, long, nodes, runs)


def _runs(stops: list[tuple[RailStop, int]]) -> tuple[tuple[float, float], ...]:
    """For each stop of a piece from where to where the piece goes on, gaps under 1/16 in closed."""
    found: list[tuple[float, float]] = [(s.start, s.stop) for s, _ in stops]
    of_piece: dict[int, list[int]] = {}
    for k in sorted(range(len(stops)), key=lambda k: stops[k][0].start):
        of_piece.setdefault(stops[k][1], []).append(k)
    for row in of_piece.values():
        for before, k in itertools.pairwise(row):
            if found[k][0] <= found[before][1] + LEAST:
                found[k] = found[before][0], max(found[before][1], found[k][1])
        for after, k in itertools.pairwise(reversed(row)):
            if found[k][0] == found[after][0]:
                found[k] = found[after]
    return tuple(found)


def rail_hops(lay: Lay, node: int) -> list[Hop]:
    """Water that runs along a fold comes to the end of a panel, or of the fold."""
    mine = lay.stop_of(node)
    rail = lay.rails[mine.rail]
    wet = lay.tiling.tiles[mine.tile]
    u, v = _on_there(rail, mine.stop)
    leaving = Leaving(wet.piece, wet.face, Line(0.0, v), (u, u))
    on = _same_piece_on(lay, rail, node)
    if on is not None:
        return [Hop(u, u, (), Go(on, Line(0.0, 0.0)), leaving.at)]
    stops_here = _passing(lay, rail, mine)
    by_tile = {
        lay.stop_of(n).tile: n
        for n in stops_here
        if lay.corner.outside(wet.piece, lay.tiling.tiles[lay.stop_of(n).tile].piece)
    }
    covers = [lay.stop_of(n).tile for n in stops_here if lay.stop_of(n).tile not in by_tile]
    if mine.stop >= rail.length_in - LEAST:
        return _off_rail(lay, rail, leaving, covers)
    landing = lay.tiling.outermost(list(by_tile)) if by_tile else None
    sealed = _sealed_along(lay, rail, mine, landing)
    if sealed is not None:
        return [_on_along(lay, leaving, sealed, ())]
    return _drop_on_rail(lay, leaving, None if landing is None else by_tile[landing], covers)


def _passing(lay: Lay, rail: Rail, mine: RailStop) -> list[int]:
    """The other pieces that reach 1/16 in above and below the end of a stop, by their nodes there.

    A piece is cut into tiles at its corners: the node is that of its tile at the place.
    """
    tiles, at = lay.tiling.tiles, mine.stop
    least = min(at + LEAST, rail.length_in - LEAST)
    nearest: dict[int, tuple[float, int]] = {}
    for n, (first, last) in zip(rail.nodes, rail.runs, strict=True):
        here = lay.stop_of(n)
        piece = tiles[here.tile].piece
        if first <= at - LEAST and last >= least and piece != tiles[mine.tile].piece:
            gap = max(here.start - at, at - here.stop, 0.0)
            if piece not in nearest or gap <= nearest[piece][0]:
                nearest[piece] = gap, n
    return sorted(n for _, n in nearest.values())


def _same_piece_on(lay: Lay, rail: Rail, node: int) -> int | None:
    """The stop on which the same piece goes on along a fold, if it does."""
    mine = lay.stop_of(node)
    piece = lay.tiling.tiles[mine.tile].piece
    for n in rail.nodes:
        other = lay.stop_of(n)
        same = n != node and lay.tiling.tiles[other.tile].piece == piece
        if same and other.start <= mine.stop + LEAST and other.stop > mine.stop + LEAST:
            return n
    return None


def _sealed_along(lay: Lay, rail: Rail, mine: RailStop, landing: int | None) -> int | None:
    """The node of a piece sealed at its top, over what would be landed on, that takes the water.

    Its upper edge meets the end of the stop, and it reaches on down the fold.
    """
    tiles, pieces, found = lay.tiling.tiles, lay.corner.pieces, {}
    inner = None if landing is None else tiles[landing].piece
    for n, (first, last) in zip(rail.nodes, rail.runs, strict=True):
        here = lay.stop_of(n)
        wet = tiles[here.tile]
        if not pieces[wet.piece].sealed_top or wet.piece == tiles[mine.tile].piece:
            continue
        meets = abs(here.start - mine.stop) <= LEAST and first == here.start
        outside = inner is None or lay.corner.outside(wet.piece, inner)
        u, v = _on_there(rail, here.start)
        top = wet.tile.top.at(min(max(u, wet.tile.left), wet.tile.right))
        if meets and outside and last >= mine.stop + LEAST and top - v <= LEAST:
            found[here.tile] = n
    return found[lay.tiling.outermost(list(found))] if found else None


def _on_along(lay: Lay, leaving: Leaving, node: int, tags: tuple[Tag, ...]) -> Hop:
    """Water that goes on along a fold on another piece."""
    piece = lay.tiling.tiles[lay.stop_of(node).tile].piece
    if lay.corner.pieces[piece].sheet is Sheet.ABSORBS:
        tags = (*tags, Soak(piece, leaving.face))
    u = leaving.span[0]
    return Hop(u, u, tags, Go(node, Line(0.0, 0.0)), leaving.at)


def _drop_on_rail(lay: Lay, leaving: Leaving, landing: int | None, covers: list[int]) -> list[Hop]:
    """Rule 3 along a fold: onto the outermost panel inside the one that ends, by its node."""
    piece = None if landing is None else lay.tiling.tiles[lay.stop_of(landing).tile].piece
    crossing = crossing_under(lay.tiling, leaving.face, leaving.piece, covers) or crossing_below(
        lay.tiling, leaving.face, leaving.piece, piece, leaving.middle
    )
    tags: tuple[Tag, ...] = (crossing,) if crossing else ()
    if landing is None:
        return [stop(leaving, End(EndKind.CAVITY, None, leaving.face), tags)]
    return [_on_along(lay, leaving, landing, tags)]


def _on_there(rail: Rail, s: float) -> tuple[float, float]:
    """The place on the next face at a distance down a rail. [in]"""
    c = rail.contact
    a, b = (c.there_end, c.there_start) if rail.flipped else (c.there_start, c.there_end)
    t = s / rail.length_in
    return a[0] + t * (b[0] - a[0]), a[1] + t * (b[1] - a[1])


def _off_rail(lay: Lay, rail: Rail, leaving: Leaving, covers: list[int]) -> list[Hop]:
    """Water at the low end of a fold: onto the face that has the place on its rim, or off it."""
    frame = lay.corner.faces[leaving.face].frame
    spot = frame.to_space(*leaving.middle)
    taking = []
    for face in lay.corner.faces:
        if face.index in (rail.contact.here, rail.contact.there) or face.looks_down:
            continue
        place = face.frame.to_plane(spot)
        near = abs(face.frame.height_over(spot)) <= TOUCH_IN
        if near and face.outline.distance(Point(place)) <= LEAST:
            lowest = face.frame.to_space(0.0, face.outline.bounds[1])[2]
            if face.is_level or lowest < spot[2] - LEAST:
                taking.append((face.tilt_deg, face.index, place))
    if not taking:
        return fall(lay, leaving)
    _, index, place = min(taking)
    return _onto_next(lay, leaving, lay.corner.faces[index], place, covers)


def _onto_next(
    lay: Lay, leaving: Leaving, face: Face, place: tuple[float, float], covers: list[int]
) -> list[Hop]:
    """Water that comes off a fold's low end onto another face lands there."""
    inner = face.outline.representative_point()
    du, dv = inner.x - place[0], inner.y - place[1]
    long = (du * du + dv * dv) ** 0.5
    across = Line(0.0, place[0] + 2 * HAIR_IN * du / long)
    up = Line(0.0, place[1] + 2 * HAIR_IN * dv / long)
    tiles = lay.tiling.tiles
    here = [t for _, t in spans_on(lay, face.index, leaving.span, across, up)]
    own = [t for t in here if tiles[t].piece == leaving.piece]
    over = {tiles[c].piece for c in covers}
    landing = own[0] if own else _outermost_inside(lay, here, over)
    if landing is None:
        return [stop(leaving, End(EndKind.CAVITY, None, face.index))]
    return arrive(lay, leaving, landing, across=across, up=up)


def _outermost_inside(lay: Lay, here: list[int], over: set[int]) -> int | None:
    """The outermost tile that lies inside every piece that was covering the water, if any does."""
    piece_of = {t: lay.tiling.tiles[t].piece for t in here}
    inside = {
        p for p in set(piece_of.values()) - over if all(lay.corner.outside(c, p) for c in over)
    }
    free = [t for t in here if piece_of[t] in inside]
    return lay.tiling.outermost(free) if free else None
