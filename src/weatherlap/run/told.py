"""A finding told: what it is in a few words, what follows from it, and what to look at next."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Sheet
from weatherlap.run.places import capital, listed, over, place_words
from weatherlap.run.worked import Worked
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.units import tape
from weatherlap.water.findings import Finding
from weatherlap.water.follow import Spot, TrailLine, finding_line
from weatherlap.water.hops import Cause
from weatherlap.water.wording import water_words

MOST_NAMED = 6


@dataclass(frozen=True, slots=True)
class Told:
    """A finding in words, with the line of its water.

    ``title`` says what is wrong, ``place`` where by tape, ``flow`` how much runs there in the
    design rain, ``reaches`` how far down the wet goes, ``look`` what to open or meter next.
    """

    finding: Finding
    line: TrailLine | None
    title: str
    place: str
    flow: str
    reaches: str
    look: str


def tell(worked: Worked, finding: Finding) -> Told:
    """Say what a finding is, what follows from it and what to look at."""
    line = finding_line(worked.trace, finding)
    corner = worked.corner
    return Told(
        finding=finding,
        line=line,
        title=short_title(corner, finding),
        place=place_words(corner, face=finding.face, at=finding.at),
        flow=_flow(finding),
        reaches=_reaches(corner, line),
        look=_look(corner, finding, line),
    )


def short_title(corner: Corner, finding: Finding) -> str:
    """What is wrong, in one short sentence without its stop."""

    def name(piece: int | None) -> str:
        return "" if piece is None else f"the {corner.pieces[piece].title}"

    face = f"the {corner.faces[finding.face].title}"
    return capital(_TITLES[finding.cause](name(finding.upper), name(finding.lower), face))


def _missing(upper: str, lower: str, face: str) -> str:
    if upper:
        return f"nothing takes over the water below {upper}"
    return f"{lower} lies bare" if lower else f"nothing covers a part of {face}"


_TITLES: dict[Cause, Callable[[str, str, str], str]] = {
    Cause.WRONG_WAY: lambda upper, lower, face: f"{upper} ends behind {lower or face}",
    Cause.TOO_SHORT: lambda upper, lower, face: f"{upper} does not reach over {lower or face}",
    Cause.MISSING: _missing,
    Cause.SEALED: lambda upper, lower, face: f"the foot of {lower or upper or face} is sealed shut",
    Cause.NO_DRIP: lambda upper, _, face: f"{upper or face} has no free drip edge",
    Cause.DAMMED: lambda upper, _, face: f"the end of {upper or face} is dammed",
    Cause.OVERFULL: lambda upper, _, face: f"{upper or face} overflows",
    Cause.LEVEL: lambda upper, _, face: f"water stands on {upper or face}",
}


def _flow(finding: Finding) -> str:
    return f"{water_words(finding.flow_lph)} an hour."


def _reaches(corner: Corner, line: TrailLine | None) -> str:
    """From where to where the wood is wet, and how far down that is."""
    if line is None or line.soaked_from is None:
        return ""
    wet = line.spots[line.soaked_from :]
    top, foot = wet[0], min(wet, key=lambda s: _height(corner, s))
    drop = _height(corner, top) - _height(corner, foot)
    if drop < 1.0:
        return f"It stays near {_spot(corner, top)}."
    if top.face == foot.face and abs(top.u - foot.u) < 1.0:
        return _down(corner, top, foot)
    return f"From {_spot(corner, top)}, {tape(drop)} down to {_spot(corner, foot)}."


def _down(corner: Corner, top: Spot, foot: Spot) -> str:
    """How far down one face: where the wet begins and where it ends."""
    face = corner.faces[top.face]
    left, low, _, _ = face.outline.bounds
    end = "at its foot" if foot.v - low < TOUCH_IN else f"{tape(foot.v - low)} up"
    where = f"Down the {face.title} at {tape(top.u - left)} right"
    return f"{where}: it begins {tape(top.v - low)} up and ends {end}."


def _height(corner: Corner, spot: Spot) -> float:
    return corner.faces[spot.face].frame.to_space(spot.u, spot.v)[2]


def _spot(corner: Corner, spot: Spot) -> str:
    return place_words(corner, face=spot.face, at=(spot.u, spot.v))


def _look(corner: Corner, finding: Finding, line: TrailLine | None) -> str:
    """What to open and what to meter, so that this finding is proved or struck out."""
    spot = _wood(corner, finding, line)
    if spot is None or spot.piece is None:
        water_on = finding.lower if finding.upper is None else finding.upper
        behind = _behind(corner, finding.face, finding.at, water_on)
        where = place_words(corner, face=finding.face, at=finding.at)
        return f"Look {behind}at {where}, best after rain or with a hose for an hour."
    at = (spot.u, spot.v)
    behind = _behind(corner, spot.face, at, spot.piece)
    where = place_words(corner, face=spot.face, at=at)
    return f"Meter the {corner.pieces[spot.piece].title} {behind}at {where}."


def _behind(corner: Corner, face: int, at: tuple[float, float], piece: int | None) -> str:
    """Behind what a place lies, for a sentence; empty if it lies open."""
    covers = [corner.pieces[p].title for p in over(corner, face=face, at=at, piece=piece)]
    if not covers:
        return ""
    if len(covers) > MOST_NAMED:
        covers = [*covers[: MOST_NAMED - 1], f"{len(covers) - MOST_NAMED + 1} more"]
    return f"behind the {listed(covers)} "


def _wood(corner: Corner, finding: Finding, line: TrailLine | None) -> Spot | None:
    """The first place on the line that soaks, or what soaks at the finding itself, or None."""
    if line is not None and line.soaked_from is not None:
        for spot in line.spots[line.soaked_from :]:
            if spot.piece is not None and corner.pieces[spot.piece].sheet is Sheet.ABSORBS:
                return spot
    here = over(corner, face=finding.face, at=finding.at, piece=None)
    wet = next((p for p in here if p in finding.wets), None)
    return None if wet is None else Spot(finding.face, *finding.at, wet)
