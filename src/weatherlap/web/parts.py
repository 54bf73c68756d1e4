"""The parts of a job that have papers of their own, made beside the pages and kept."""

from __future__ import annotations

from weatherlap.job.model import Job
from weatherlap.papers.binder import BINDERS, Binder, Bound
from weatherlap.papers.orderleaf import BINDER as RIGHTING
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.store.shelf import NoSuchJob, Revision
from weatherlap.web.clerk import Order, print_of
from weatherlap.web.making import PacketMaking, PartMaking
from weatherlap.web.photorecords import with_photos
from weatherlap.web.site import Site

PACKET = "packet"


def held_parts(job: Job) -> tuple[Binder, ...]:
    """The parts that a job has something for, in the order of the binder."""
    return tuple(b for b in (RIGHTING, *BINDERS) if b.holds(job))


def binder_of(job: Job, key: str) -> Binder:
    """The part of a key.

    Raises
    ------
    NoSuchJob
        If the job holds no such part.
    """
    for binder in held_parts(job):
        if binder.key == key:
            return binder
    raise NoSuchJob("part", f"this job holds no part {key!r}", "one that its page lists")


def part_order(site: Site, head: Revision, key: str) -> Order[Bound]:
    """The papers of a part as the job stands, being made or ready.

    Raises
    ------
    NoSuchJob
        If the job holds no such part.
    """
    job, own = with_photos(site, head)
    making = PartMaking(binder_of(job, key), job, own)
    return site.clerk.ask((print_of(head.text, own), key), making)


def packet_order(site: Site, head: Revision, state: State, paper: Paper) -> Order[bytes]:
    """Everything about a job as one zip file, being made or ready."""
    job, own = with_photos(site, head)
    key = (print_of(head.text, own), PACKET, state.value, paper.value)
    return site.clerk.ask(key, PacketMaking(head.text, job, own, state, paper))
