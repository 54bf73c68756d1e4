"""Pages and files of a job's parts, and its whole packet; what takes long says how far it is."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from fastapi.responses import HTMLResponse

from weatherlap.errors import WeatherlapError
from weatherlap.papers.binder import Bound
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.run.states import State
from weatherlap.store.shelf import NoSuchJob, Revision
from weatherlap.web.api import ERRORS, JobId
from weatherlap.web.clerk import Order
from weatherlap.web.leafview import leaf_view
from weatherlap.web.making import zipped
from weatherlap.web.parts import binder_of, held_parts, packet_order, part_order
from weatherlap.web.sheets import download, page
from weatherlap.web.site import Site

Key = Annotated[str, Path(pattern=r"^[a-z][a-z0-9-]{0,40}$")]
FileName = Annotated[str, Path(pattern=r"^[A-Za-z0-9][A-Za-z0-9._-]{0,120}$")]
PATIENCE_S = 0.5
"""How long a page waits for a part before it shows how far it is. [s]"""


def part_ways(ways: APIRouter, site: Site) -> None:
    """The page of a part, its papers and its files."""

    @ways.get("/job/{job_id}/part/{key}")
    def part_page(job_id: JobId, key: Key) -> HTMLResponse:
        head = site.shelf.head(job_id)
        job = site.desk.job(head.text)
        binder, order = binder_of(job, key), part_order(site, head, key)
        if not order.done.wait(PATIENCE_S):
            return working_page(f"/api/jobs/{job_id}/parts/{key}", "", order, binder.title, job_id)
        made = order.result()
        leaves = [leaf_view(leaf, n) for n, leaf in enumerate(made.leaves)]
        title, files = job.job.title, sorted(made.files)
        return page(
            "part.html",
            leaves=leaves,
            kinds=[leaf.kind for leaf in made.leaves],
            files=files,
            binder=binder,
            shared=bool(site.links),
            title=title,
            job_id=job_id,
        )

    @ways.get("/job/{job_id}/part/{key}/{name}.pdf")
    def part_pdf(job_id: JobId, key: Key, name: FileName, paper: Paper = Paper.LETTER) -> Response:
        for leaf in _ready(site, job_id, key).leaves:
            if leaf.name == name:
                return download(leaf_pdf(leaf, paper=paper), f"{name}.pdf")
        raise NoSuchJob("paper", "there is no such paper", "one of the part's")

    @ways.get("/job/{job_id}/part/{key}/files/{name}")
    def part_file(job_id: JobId, key: Key, name: FileName) -> Response:
        data = _ready(site, job_id, key).files.get(name)
        if data is None:
            raise NoSuchJob("file", "there is no such file", "one of the part's")
        return download(data, name)

    @ways.get("/job/{job_id}/part/{key}/all.zip")
    def part_zip(job_id: JobId, key: Key) -> Response:
        made = _ready(site, job_id, key)
        papers = {f"{leaf.name}.pdf": leaf_pdf(leaf) for leaf in made.leaves}
        return download(zipped({**papers, **made.files}), f"{key}.zip")

    _packet_ways(ways, site)


def _packet_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/job/{job_id}/packet")
    def packet_page(
        job_id: JobId, state: State = State.FOUND, paper: Paper = Paper.LETTER
    ) -> HTMLResponse:
        order = packet_order(site, site.shelf.head(job_id), state, paper)
        asked = f"state={state.value}&paper={paper.value}"
        goes_to = f"/job/{job_id}/packet.zip?{asked}"
        order.done.wait(PATIENCE_S)
        way = f"/api/jobs/{job_id}/packet?{asked}"
        return working_page(way, goes_to, order, "The whole packet", job_id)

    @ways.get("/job/{job_id}/packet.zip")
    def packet(job_id: JobId, state: State = State.FOUND, paper: Paper = Paper.LETTER) -> Response:
        order = packet_order(site, site.shelf.head(job_id), state, paper)
        order.done.wait()
        return download(order.result(), "packet.zip")


def working_page(
    way: str, goes_to: str, order: Order[Any], title: str, job_id: str
) -> HTMLResponse:
    """A page that says how far something is; then it goes on, or gives the file."""
    said = order.said[-1] if order.said else "Waiting its turn"
    return page("working.html", way=way, goes_to=goes_to, title=title, said=said, job_id=job_id)


def why_not_page(order: Order[Any], title: str, job_id: str) -> HTMLResponse:
    """A page that says why something cannot be worked out from the job as it stands.

    Raises
    ------
    BaseException
        What stopped it, if that is no word to the person.
    """
    if not isinstance(order.fault, WeatherlapError):
        order.result()
    said = str(order.fault).splitlines()
    return page("whynot.html", 422, title=title, job_id=job_id, said=said)


def _ready(site: Site, job_id: str, key: str) -> Bound:
    order = part_order(site, site.shelf.head(job_id), key)
    order.done.wait()
    return order.result()


def part_router(site: Site) -> APIRouter:
    """The parts of a job over the API."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/jobs/{job_id}/parts")
    def list_parts(job_id: JobId) -> list[dict[str, str]]:
        """The parts that a job has something for."""
        job = site.desk.job(site.shelf.head(job_id).text)
        return [{"key": b.key, "title": b.title} for b in held_parts(job)]

    @api.get("/jobs/{job_id}/parts/{key}")
    def one_part(job_id: JobId, key: Key) -> dict[str, Any]:
        """A part as figures; ``ready`` is false, with what is being done, while it is made."""
        head = site.shelf.head(job_id)
        return _told(head, part_order(site, head, key))

    @api.get("/jobs/{job_id}/packet")
    def packet_told(
        job_id: JobId, state: State = State.FOUND, paper: Paper = Paper.LETTER
    ) -> dict[str, Any]:
        """Whether the whole packet is ready, and what is being done meanwhile."""
        head = site.shelf.head(job_id)
        return progress(head, packet_order(site, head, state, paper))

    return api


def _told(head: Revision, order: Order[Bound]) -> dict[str, Any]:
    told = progress(head, order)
    if not told["ready"]:
        return told
    made = order.result()
    papers = [{"name": leaf.name, "kind": leaf.kind, "for_firm": leaf.for_firm}
              for leaf in made.leaves]  # fmt: skip
    return {**told, "papers": papers, "files": sorted(made.files), "table": dict(made.table)}


def progress(head: Revision, order: Order[Any]) -> dict[str, Any]:
    """Whether something is ready, and what is being done meanwhile."""
    ready = order.done.wait(PATIENCE_S)
    if ready:
        order.result()
    return {"ready": ready, "said": list(order.said), "revision": head.number}
