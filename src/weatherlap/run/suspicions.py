"""Suspicions: what each possible cause would make wet, out of sight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from weatherlap.building.corner import Corner
from weatherlap.errors import InputError
from weatherlap.job.model import Leak, Sheet, Suspect
from weatherlap.run.places import over
from weatherlap.run.told import short_title
from weatherlap.run.worked import Worked
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.shape.patches import Patch
from weatherlap.water.catch import SECOND
from weatherlap.water.findings import Finding
from weatherlap.water.follow import Spot, TrailLine, finding_line, line_at
from weatherlap.water.openhere import ZONE_WIDE_IN, Suspicion, WetStrip
from weatherlap.water.starts import Start
from weatherlap.water.tiling import WetTile

STEP_IN = ZONE_WIDE_IN / 2
ELSE = "something else"


def suspicions(worked: Worked) -> tuple[Suspicion, ...]:
    """The job's suspects, or else its findings with even odds.

    A single one is weighed against "something else", which would wet nothing that is drawn.

    Raises
    ------
    InputError
        If a suspect names two pieces that have no finding between them, or a leak starts
        where no water can stay.
    """
    if worked.job.suspect:
        found = [_of_suspect(worked, s) for s in worked.job.suspect]
    else:
        found = [_of_finding(worked, f, 1.0) for f in worked.trace.findings]
    return tuple(found) if len(found) != 1 else with_else(found)


def with_else(found: Sequence[Suspicion]) -> tuple[Suspicion, ...]:
    """Suspicions with "something else" beside them, at their mean odds."""
    odds = sum(s.odds for s in found) / len(found)
    return (*found, Suspicion(ELSE, "Something that is not drawn here", odds, ()))


def _of_suspect(worked: Worked, suspect: Suspect) -> Suspicion:
    if suspect.leak is not None:
        spots = _leak_spots(worked, suspect, suspect.leak)
        wet = _hidden(worked.corner, spots)
        return Suspicion(suspect.id, suspect.text, suspect.odds, wet)
    wet = tuple(s for f in _between(worked, suspect) for s in _strips_of(worked, f))
    return Suspicion(suspect.id, suspect.text, suspect.odds, wet)


def _of_finding(worked: Worked, finding: Finding, odds: float) -> Suspicion:
    text = short_title(worked.corner, finding)
    return Suspicion(finding.letter, text, odds, _strips_of(worked, finding))


def _between(worked: Worked, suspect: Suspect) -> list[Finding]:
    """The findings between the two pieces that a suspect names."""
    named = worked.corner.piece_named
    pair = {named[p].index for p in suspect.finding}
    kinds = {_kind(worked.corner, p) for p in pair}
    rows = worked.trace.findings
    found = [f for f in rows if {f.upper, f.lower} == pair]
    found = found or [f for f in rows if _kinds(worked.corner, f) == kinds]
    if not found:
        raise InputError(
            f"suspect {suspect.id!r}",
            f"the trace has no finding between {' and '.join(suspect.finding)}",
            f"the two pieces of one of the findings: {_pairs(worked)}",
            "Or give a `leak`: the place where the water would get in.",
        )
    return found


def _kind(corner: Corner, piece: int) -> str:
    """Findings stand for all pieces of one kind."""
    record = corner.pieces[piece].record
    return record.run or record.what or record.id


def _kinds(corner: Corner, finding: Finding) -> set[str]:
    return {_kind(corner, p) for p in (finding.upper, finding.lower) if p is not None}


def _pairs(worked: Worked) -> str:
    pieces = worked.corner.pieces
    pairs = [
        f"{pieces[f.upper].id} and {pieces[f.lower].id}"
        for f in worked.trace.findings
        if f.upper is not None and f.lower is not None
    ]
    return "; ".join(pairs[:8]) or "there is none"


def _leak_spots(worked: Worked, suspect: Suspect, leak: Leak) -> Sequence[Spot]:
    """The line of water let in at a place."""
    corner = worked.corner
    face, piece = corner.face_named[leak.face].index, corner.piece_named[leak.on].index
    tile = _tile_at(worked, face=face, piece=piece, at=leak.at)
    if tile is None:
        raise InputError(
            f"suspect {suspect.id!r}",
            f"no water stays on {leak.on!r} at [{leak.at[0]:g}, {leak.at[1]:g}]",
            "a leak that starts on a piece that holds water",
        )
    patch = Patch(shape=corner.panels[tile.panel].polygon)
    start = Start(face, SECOND, 0, 0.0, 0.0, tile.index, patch)
    return line_at(worked.trace, start, u=leak.at[0], v=leak.at[1]).spots


def _tile_at(worked: Worked, *, face: int, piece: int, at: tuple[float, float]) -> WetTile | None:
    tiling = worked.trace.ways.lay.tiling
    u, v = at
    box = (u - TOUCH_IN, v - TOUCH_IN, u + TOUCH_IN, v + TOUCH_IN)
    for number in tiling.near(face, box):
        tile = tiling.tiles[number]
        if tile.piece == piece and tile.tile.holds(u, v, slack=TOUCH_IN):
            return tile
    return None


def _strips_of(worked: Worked, finding: Finding) -> tuple[WetStrip, ...]:
    """What the water of a finding wets from there on, out of sight."""
    line = finding_line(worked.trace, finding)
    if line is not None and line.end.is_trouble:
        after = line.spots[_crossing_at(line.spots, finding) :]
        return _hidden(worked.corner, after) or _where_it_ends(worked.corner, line, finding)
    return tuple(_below(worked.corner, finding)) or _at_it(finding)


def _where_it_ends(corner: Corner, line: TrailLine, finding: Finding) -> tuple[WetStrip, ...]:
    """The place where water stands, clings or is held, where nothing else is wet out of sight."""
    last = line.spots[-1]
    near = (line.piece, last.piece, finding.lower, finding.upper)
    piece = next((p for p in near if p is not None), None)
    if piece is None:
        return ()
    u, v = last.u, last.v
    if line.on_face != last.face:
        space = corner.faces[last.face].frame.to_space(u, v)
        u, v = corner.faces[line.on_face].frame.to_plane(space)
    return (WetStrip(line.on_face, piece, u, v, v),)


def _crossing_at(spots: Sequence[Spot], finding: Finding) -> int:
    """The number of the first spot after the crossing."""
    u, v = finding.at
    here = [k for k, s in enumerate(spots) if s.face == finding.face]
    leaves = [
        k
        for k in here
        if spots[k].piece == finding.upper
        and (k + 1 == len(spots) or spots[k + 1].piece != finding.upper)
    ]
    best = min(
        leaves or here or [0],
        key=lambda k: abs(spots[k].v - v) + abs(spots[k].u - u) / ZONE_WIDE_IN,
    )
    return min(best + 1, len(spots) - 1)


def _hidden(corner: Corner, spots: Sequence[Spot]) -> tuple[WetStrip, ...]:
    """The strips of a line that are out of sight, that soak, or that hang below."""
    return tuple(s for s in _strips(spots) if _tells(corner, s))


def _tells(corner: Corner, strip: WetStrip) -> bool:
    """Whether wet there means more than rain on the outside."""
    face, piece = corner.faces[strip.face], corner.pieces[strip.piece]
    if piece.sheet is Sheet.ABSORBS or face.looks_down:
        return True
    middle = (strip.u, 0.5 * (strip.high + strip.low))
    return bool(over(corner, face=strip.face, at=middle, piece=strip.piece))


def _strips(spots: Sequence[Spot]) -> Iterator[WetStrip]:
    for a, b in zip(spots, [*spots[1:], spots[-1]], strict=True):
        if a.piece is None:
            continue
        if (b.face, b.piece) != (a.face, a.piece):
            yield WetStrip(a.face, a.piece, a.u, a.v, a.v)
            continue
        count = max(1, round(abs(b.u - a.u) / STEP_IN))
        if count == 1:
            yield WetStrip(a.face, a.piece, b.u, max(a.v, b.v), min(a.v, b.v))
            continue
        for k in range(count):
            share = (k + 0.5) / count
            v = a.v + share * (b.v - a.v)
            yield WetStrip(a.face, a.piece, a.u + share * (b.u - a.u), v, v)


def _at_it(finding: Finding) -> tuple[WetStrip, ...]:
    """The place of a finding itself."""
    piece = finding.lower if finding.upper is None else finding.upper
    u, v = finding.at
    return () if piece is None else (WetStrip(finding.face, piece, u, v, v),)


def _below(corner: Corner, finding: Finding) -> Iterator[WetStrip]:
    """What a finding wets straight below it on its own face, where no line shows it."""
    u, v = finding.at
    for piece in finding.wets:
        for p in corner.pieces[piece].panels:
            panel = corner.panels[p]
            left, low, right, high = panel.polygon.bounds
            if panel.face == finding.face and left <= u <= right and low < v:
                yield WetStrip(finding.face, piece, u, min(high, v), low)
