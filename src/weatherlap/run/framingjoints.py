"""How surveyed members are fastened: nails, rated parts, anchors, plies."""

from __future__ import annotations

from collections.abc import Iterator

from weatherlap.errors import InputError
from weatherlap.job.framingrecords import (
    AnchorRecord,
    JointRecord,
    NailsRecord,
    PlyNails,
    RatedRecord,
    SlabRecord,
    SupportRecord,
)
from weatherlap.job.model import Job
from weatherlap.run.framingmembers import NEW, Surveyed
from weatherlap.structure.anchors import AnchorGroup, Slab
from weatherlap.structure.connections import FastenerSet, Fastening, RatedPart
from weatherlap.structure.fasteners import Fastener, Manner, lag, nail, screw
from weatherlap.structure.ply_nailing import PlyNailing
from weatherlap.structure.survey import AnchoredBase, NailedPlies
from weatherlap.structure.withdrawal import Moisture


def fastenings_of(surveyed: Surveyed) -> tuple[Fastening, ...]:
    """What holds each joint and support together; new joints by what will fasten them."""
    found = []
    for joint in surveyed.joints:
        is_new = joint.upper.endswith(NEW) or joint.lower.endswith(NEW)
        found += list(_fastening(joint.id, surveyed.joint_of[joint.id], is_new=is_new))
    for support in surveyed.supports:
        record = surveyed.support_of[support.id]
        found += list(_fastening(support.id, record, is_new=support.member.endswith(NEW)))
    return tuple(found)


def _fastening(
    link: str, record: JointRecord | SupportRecord, *, is_new: bool
) -> Iterator[Fastening]:
    """The fastening of one joint or support, if anything is known of it."""
    nails, part = record.nails, record.part
    if is_new and (record.new_nails or record.new_part is not None):
        nails, part = record.new_nails, record.new_part
    if nails or part is not None:
        rated = None if part is None else rated_part(part)
        yield Fastening(link, tuple(_set(link, n) for n in nails), rated)


def rated_part(record: RatedRecord) -> RatedPart:
    """A connector with the loads of its report."""
    return RatedPart(
        record.name, record.source, up_lb=record.up, down_lb=record.down, side_lb=record.side,
        duration=record.duration,
    )  # fmt: skip


def fastener_of(record: NailsRecord, *, where: str) -> Fastener:
    """A nail, screw or lag by its trade name.

    Raises
    ------
    InputError
        A name that is not in the table, or a screw without a length.
    """
    name = record.nail.strip()
    try:
        return _named_fastener(name, record)
    except InputError as error:
        said = error.problems[0]
        raise InputError(f"{where}: {said.where}", said.found, said.want, said.do) from None


def _named_fastener(name: str, record: NailsRecord) -> Fastener:
    """A fastener of a name that the table holds."""
    if name.endswith(("screw", "lag")):
        if record.length is None:
            raise InputError(name, "no length", "`length`, under the head")
        make = lag if name.endswith("lag") else screw
        return make(name, length_in=record.length, threaded_in=record.into)
    return nail(name, ring=record.ring)


def _set(link: str, record: NailsRecord) -> FastenerSet:
    """One set of equal fasteners."""
    made = fastener_of(record, where=f"joint {link!r}")
    return FastenerSet(
        made, record.count, record.side, record.into, Manner(record.driven),
        pulls_out=record.pulls_out, moisture=Moisture(wet_in_service=record.wet),
        holds_in_upper=record.into_upper, in_row=record.in_row, apart_in=record.apart,
    )  # fmt: skip


def bases_of(surveyed: Surveyed) -> tuple[AnchoredBase, ...]:
    """Anchored bases that are there at the end of the work."""
    found = []
    for support in surveyed.supports:
        record = surveyed.support_of[support.id]
        gone = support.member in surveyed.replaces
        if record.anchors is not None and not gone:
            if record.slab is None:
                raise InputError(
                    f"support {support.id!r}", "anchors without the concrete they are in",
                    "`slab`, with its thickness",
                )  # fmt: skip
            group = _group(record.anchors, support.id)
            found.append(AnchoredBase(support.id, group, slab_of(record.slab)))
    return tuple(found)


def _group(record: AnchorRecord, name: str) -> AnchorGroup:
    """Screw anchors by their report."""
    return AnchorGroup(
        f"{name}: {record.name}", record.diameter, record.effective, record.steel_in2,
        record.steel_psi, record.report, across=record.across, deep=record.deep,
        spacing_x_in=record.spacing[0], spacing_y_in=record.spacing[1],
        pullout_lb=record.pullout, critical_edge_in=record.critical_edge,
        breakout_k=record.breakout_k,
    )  # fmt: skip


def slab_of(record: SlabRecord) -> Slab:
    """The concrete under a base."""
    return Slab(
        record.psi, record.thick, cracked=record.cracked,
        edges_in=record.edges or (None, None, None, None),
    )  # fmt: skip


def plies_of(job: Job, surveyed: Surveyed) -> tuple[NailedPlies, ...]:
    """How the plies of members are nailed; the new ones by their own pattern."""
    found = []
    for record in job.member:
        new = record.new.nailed if record.new is not None else None
        for name in surveyed.rows[record.id]:
            if record.nailed is not None:
                found.append(_nailed(name, record.nailed))
            if new is not None and name in surveyed.replaces:
                found.append(_nailed(name + NEW, new))
    return tuple(found)


def _nailed(name: str, record: PlyNails) -> NailedPlies:
    nailing = PlyNailing(nail(record.nail), record.spacing, record.rows)
    return NailedPlies(name, nailing, record.side_share, record.end)
