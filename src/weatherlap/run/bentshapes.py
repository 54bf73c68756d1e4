"""Profiles, edges and ends from the job's records, as the bending engine takes them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from weatherlap.errors import InputError
from weatherlap.job.bendrecords import Add, EdgeRecord, EndRecord, LegRecord, ProfileRecord
from weatherlap.metal.edges import Hem, hemmed, kicked, returned, with_drip
from weatherlap.metal.ends import SQUARE, EndCut, Notch, Tab, mitred
from weatherlap.metal.model import Bend, End, Leg, Measure, Metal, Profile, Toward

KICK_DEG, RETURN_DEG = 45.0, 90.0


def written(record: ProfileRecord) -> Profile:
    """The profile that a record writes leg by leg, without its edges."""
    bends = tuple(_bend(leg) for leg in record.legs[:-1])
    return Profile(record.id, tuple(_leg(leg) for leg in record.legs), bends)


def far_of(profile: Profile, record: ProfileRecord, *, before: int) -> Profile | None:
    """The section at the far end where a piece tapers; the edges added keep their widths."""
    far = [leg.far for leg in record.legs]
    if not any(far):
        return None
    legs = list(profile.legs)
    for number, length in enumerate(far, before):
        if length is not None:
            legs[number] = replace(legs[number], length_in=length)
    return replace(profile, legs=tuple(legs))


def _leg(record: LegRecord) -> Leg:
    return Leg(record.length, Measure(record.measure), record.name)


def _bend(record: LegRecord) -> Bend:
    assert record.turn is not None and record.toward is not None
    return Bend(record.turn, Toward(record.toward), record.radius)


def with_edges(
    profile: Profile, edges: Sequence[EdgeRecord], *, faces: Sequence[Sequence[str]] = ()
) -> tuple[Profile, int]:
    """The profile with its hems, kicks, returns and drips; how many legs now stand before it.

    Raises
    ------
    InputError
        If an edge is named that the profile does not have.
    """
    before = 0
    for edge in edges:
        legs = len(profile.legs)
        end = _end(profile.id, edge.at, faces)
        profile = _with_edge(profile, edge, end)
        before += (len(profile.legs) - legs) if end is End.START else 0
    return profile, before


def _end(where: str, at: str, faces: Sequence[Sequence[str]]) -> End:
    if at in ("start", "end"):
        return End(at)
    outer = (*faces[0], *faces[-1]) if len(faces) > 1 else ()
    if at in outer:
        return End.START if at in faces[0] else End.END
    named = f", {' or '.join(repr(face) for face in outer)}" if outer else ""
    raise InputError(
        f"bent {where}, edges", f"at = {at!r}", f"'start' or 'end'{named}",
        "Edges are added to the outermost legs.",
    )  # fmt: skip


def _with_edge(profile: Profile, edge: EdgeRecord, end: End) -> Profile:
    toward = Toward(edge.toward)
    match edge.add:
        case Add.HEM:
            return hemmed(profile, end=end, hem=Hem(edge.width, toward, edge.gap))
        case Add.KICK:
            turn = edge.angle or KICK_DEG
            return kicked(profile, end=end, length_in=edge.width, toward=toward, angle_deg=turn)
        case Add.RETURN:
            turn = edge.angle or RETURN_DEG
            return returned(profile, end=end, length_in=edge.width, toward=toward, angle_deg=turn)
        case Add.DRIP:
            hem = Hem(edge.hem, toward, edge.gap)
            return with_drip(
                profile, end=end, drop_in=edge.width, toward=toward, kick_in=edge.kick, hem=hem
            )


def end_cuts(
    profile: Profile, ends: Sequence[EndRecord], *, metal: Metal, names: tuple[str, str]
) -> tuple[EndCut, EndCut]:
    """The near and the far end of a piece.

    Raises
    ------
    InputError
        If an end is named that the piece does not have, or twice.
    """
    cuts = dict.fromkeys(names, SQUARE)
    for record in ends:
        name = record.at.value
        if name not in cuts or cuts[name] is not SQUARE:
            found = f"at = {name!r}" if name not in cuts else f"{name!r} twice"
            want = f"{names[0]!r} and {names[1]!r}, each once"
            raise InputError(f"bent {profile.id}, ends", found, want)
        cuts[name] = _cut(profile, record, metal)
    return cuts[names[0]], cuts[names[1]]


def _cut(profile: Profile, record: EndRecord, metal: Metal) -> EndCut:
    tabs = tuple(
        Tab(t.leg, t.length, Toward(t.toward), t.angle, t.inset, t.taper) for t in record.tabs
    )
    notches = tuple(Notch(n.legs[0], n.legs[1], n.depth) for n in record.notches)
    return mitred(
        profile, metal=metal, leg=record.leg, angle_deg=record.mitre, tabs=tabs, notches=notches
    )
