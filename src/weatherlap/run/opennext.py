"""Open here next: where to open or meter first, and what each answer would mean."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from weatherlap.building.corner import Corner
from weatherlap.job.model import Job, Sheet
from weatherlap.run.places import listed, over, place_words
from weatherlap.run.suspicions import ELSE, suspicions, with_else
from weatherlap.run.worked import Worked
from weatherlap.water.openhere import (
    ZONE_HIGH_IN,
    ZONE_WIDE_IN,
    Look,
    Seen,
    Suspicion,
    chances,
    entropy_bits,
    looks,
)

WET_FROM_PERCENT = 20.0
DRY_UP_TO_PERCENT = 15.0
LEAST_BITS = 0.02
"""A look that tells less than this is not worth a hole. [bit]"""
LEAST_SHARE = 0.05
"""Nor one that settles less than this share of the question. [-]"""
NAMED_FROM = 0.1
"""Causes less likely than this are left out of a sentence. [-]"""
CANDIDATES = 200
ALIKE = 0.01
"""Chances closer than this are called even. [-]"""


@dataclass(frozen=True, slots=True)
class Weighed:
    """A suspicion with its chance after what was read and seen. [-]"""

    name: str
    text: str
    chance: float


@dataclass(frozen=True, slots=True)
class NextLook:
    """One look: what to do and where, what wet and what dry would mean.

    ``covers`` are the pieces in front of it, outermost first; chances follow the order of the
    suspicions. [in, -, bit]
    """

    face: int
    piece: int
    u: float
    v: float
    covers: tuple[int, ...]
    bits: float
    chance_wet: float
    if_wet: tuple[float, ...]
    if_dry: tuple[float, ...]
    place: str
    do: str
    wet_means: str
    dry_means: str
    tells: str


@dataclass(frozen=True, slots=True)
class OpenNext:
    """Where to open next: the causes weighed, and the looks that tell most, best first."""

    text: str
    weighed: tuple[Weighed, ...]
    looks: tuple[NextLook, ...]
    wet_seen: int
    dry_seen: int
    open_bits: float


def open_next(worked: Worked, *, most: int = 5) -> OpenNext:
    """Rank where to open or meter, from the suspects (or the findings) and what was seen.

    Readings of 20 % and more count as wet, of 15 % and less as dry, damage marks as wet. Causes
    that no look can tell apart are weighed against "something else".

    Parameters
    ----------
    worked : Worked
        The worked-out job.
    most : int
        How many looks are given at most.

    Raises
    ------
    InputError
        If a suspect fits no finding or no piece that holds water.
    """
    causes = suspicions(worked)
    seen = evidence(worked.job, worked.corner)
    wet = sum(s.wet for s in seen)
    if not causes:
        return OpenNext(_NOTHING, (), (), wet, len(seen) - wet, 0.0)
    ranked = looks(causes, seen, most=CANDIDATES)
    if not _any_tells(ranked) and all(s.name != ELSE for s in causes):
        causes = with_else(causes)
        ranked = looks(causes, seen, most=CANDIDATES)
    now = chances(causes, seen)
    weighed = tuple(Weighed(s.name, s.text, p) for s, p in zip(causes, now, strict=True))
    open_bits = entropy_bits(now)
    least = max(LEAST_BITS, LEAST_SHARE * open_bits)
    left = [k for k in ranked if k.bits >= least and not _seen_there(k, seen)]
    rows = tuple(_told(worked.corner, causes, k, open_bits) for k in _apart(left, most))
    text = _text(worked.job, weighed, rows, len(seen))
    return OpenNext(text, weighed, rows, wet, len(seen) - wet, open_bits)


def _any_tells(ranked: Sequence[Look]) -> bool:
    """Whether any look tells the causes apart."""
    return any(k.bits >= LEAST_BITS for k in ranked)


_NOTHING = (
    "As it is drawn, this corner drains, so there is no cause to look for. If it is wet all the "
    "same, something differs from the drawing: measure the laps again, or write down a suspect."
)


def evidence(job: Job, corner: Corner) -> list[Seen]:
    """Readings and damage as wet or dry; readings in between say nothing. [in]"""
    found = []
    for reading in job.reading:
        if reading.percent >= WET_FROM_PERCENT or reading.percent <= DRY_UP_TO_PERCENT:
            is_wet = reading.percent >= WET_FROM_PERCENT
            found.append(_seen(corner, reading.face, reading.at, reading.piece, is_wet))
    found += [_seen(corner, d.face, d.at, d.piece, True) for d in job.damage]
    return found


def _seen(
    corner: Corner, face: str, at: tuple[float, float], piece: str | None, is_wet: bool
) -> Seen:
    known = corner.piece_named.get(piece) if piece is not None else None
    number = known.index if known is not None else None
    return Seen(corner.face_named[face].index, at[0], at[1], number, is_wet)


def _seen_there(look: Look, seen: Sequence[Seen]) -> bool:
    """Whether somebody has looked there already."""
    return any(
        s.face == look.face
        and s.piece in (None, look.piece)
        and abs(s.u - look.u) <= ZONE_WIDE_IN / 2
        and abs(s.v - look.v) <= ZONE_HIGH_IN / 2
        for s in seen
    )


def _apart(ranked: Sequence[Look], most: int) -> list[Look]:
    """The best looks that are not next to a better one that tells the same."""
    kept: list[Look] = []
    for look in ranked:
        if len(kept) == most:
            break
        if not any(_same(look, k) for k in kept):
            kept.append(look)
    return kept


def _same(a: Look, b: Look) -> bool:
    alike = all(abs(p - q) < 0.005 for p, q in zip(a.if_wet, b.if_wet, strict=True))
    return alike and a.face == b.face


def _told(corner: Corner, causes: Sequence[Suspicion], look: Look, open_bits: float) -> NextLook:
    at = (look.u, look.v)
    covers = over(corner, face=look.face, at=at, piece=look.piece)
    place = place_words(corner, face=look.face, at=at)
    return NextLook(
        face=look.face,
        piece=look.piece,
        u=look.u,
        v=look.v,
        covers=tuple(covers),
        bits=look.bits,
        chance_wet=look.chance_wet,
        if_wet=look.if_wet,
        if_dry=look.if_dry,
        place=place,
        do=_do(corner, look, covers, place),
        wet_means=_means(causes, look.if_wet),
        dry_means=_means(causes, look.if_dry),
        tells=_tells(look, open_bits),
    )


def _do(corner: Corner, look: Look, covers: Sequence[int], place: str) -> str:
    piece = corner.pieces[look.piece]
    verb = "Meter" if piece.sheet is Sheet.ABSORBS else "Look for water on"
    if not covers:
        return f"{verb} the {piece.title} at {place}."
    names = listed([f"the {corner.pieces[p].title}" for p in covers])
    return f"Lift or take off {names} at {place}, then {verb.lower()} the {piece.title}."


def _means(causes: Sequence[Suspicion], after: Sequence[float]) -> str:
    """The likeliest causes with their chances, the best first, as a sentence."""
    order = sorted(range(len(after)), key=lambda i: -after[i])
    told = [i for i in order if after[i] >= NAMED_FROM][:3] or order[:1]
    names = [f"{causes[i].name} ({after[i]:.0%})" for i in told]
    return f"Then most likely {' or '.join(names)}."


def _tells(look: Look, open_bits: float) -> str:
    """How much of the question one look is expected to settle."""
    return (
        f"On average it settles {look.bits / open_bits:.0%} of the question; "
        f"the chance to find water is {look.chance_wet:.0%}."
    )


def _text(job: Job, weighed: Sequence[Weighed], rows: Sequence[NextLook], seen: int) -> str:
    """How the causes stand, in a sentence or two."""
    whose = "the suspects in the job" if job.suspect else "the findings, at even odds"
    if any(w.name == ELSE for w in weighed):
        whose += ", against something else"
    basis = f" and {seen} reading{'s' if seen != 1 else ''} and damage marks" if seen else ""
    best = max(weighed, key=lambda w: w.chance)
    text = f"Weighed from {whose}{basis}: likeliest is {best.name} ({best.chance:.0%})."
    if best.chance - min(w.chance for w in weighed) < ALIKE:
        text = f"Weighed from {whose}{basis}: none is likelier than another so far."
    if not rows:
        text += " No single look that is left would tell more."
    return text
