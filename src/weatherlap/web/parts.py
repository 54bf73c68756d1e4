"""The parts of a job that have papers of their own, made beside the pages and kept."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable

from weatherlap.job.model import Job
from weatherlap.papers.binder import BINDERS, Binder, Bound, bound
from weatherlap.papers.orderleaf import BINDER as RIGHTING
from weatherlap.papers.packet import packet_files
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.store.shelf import NoSuchJob, Revision
from weatherlap.web.clerk import Order, print_of
from weatherlap.web.photorecords import with_photos
from weatherlap.web.site import Site

PACKET = "packet"
FIRST_DATE = (1980, 1, 1, 0, 0, 0)
"""Files in a packet carry no day of their own: same job, same bytes."""


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
    binder = binder_of(job, key)

    def make(say: Callable[[str], None]) -> Bound:
        return bound(binder, job, own=own, on_the_way=say)

    return site.clerk.ask((print_of(head.text, own), key), make)


def packet_order(site: Site, head: Revision, state: State, paper: Paper) -> Order[bytes]:
    """Everything about a job as one zip file, being made or ready."""
    job, own = with_photos(site, head)

    def make(say: Callable[[str], None]) -> bytes:
        say("Following the water")
        worked = site.desk.worked(head.text, state)
        files = packet_files(job, worked, state=state, paper=paper, own=own, on_the_way=say)
        return zipped({"job.toml": head.text.encode("utf-8"), **files})

    key = (print_of(head.text, own), PACKET, state.value, paper.value)
    return site.clerk.ask(key, make)


def zipped(files: dict[str, bytes]) -> bytes:
    """Files as one zip: same files, same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files.items():
            info = zipfile.ZipInfo(name, FIRST_DATE)
            info.compress_type = zipfile.ZIP_DEFLATED
            packed.writestr(info, data)
    return out.getvalue()
