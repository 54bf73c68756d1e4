"""The pages: list, begin, job, history."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import IO, Annotated

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse, StreamingResponse

from weatherlap.building.details.shelf import detail, details
from weatherlap.job.model import Job
from weatherlap.run.states import State
from weatherlap.run.worked import corner_of
from weatherlap.store.packing import pack
from weatherlap.web.agreed import can_be_agreed
from weatherlap.web.agreedways import agreed_ways
from weatherlap.web.api import JobId, Name, detail_table
from weatherlap.web.cornerpicture import corner_picture
from weatherlap.web.doneways import can_be_ticked, done_ways
from weatherlap.web.mendways import mend_ways
from weatherlap.web.ownways import own_ways
from weatherlap.web.paperways import paper_ways
from weatherlap.web.parts import held_parts
from weatherlap.web.partways import part_ways
from weatherlap.web.shareways import pair_ways, share_ways
from weatherlap.web.sheets import page
from weatherlap.web.site import Site
from weatherlap.web.summary import summary

STATIC = Path(__file__).parent / "static"


def page_router(site: Site) -> APIRouter:
    """All pages on one site."""
    ways = APIRouter(include_in_schema=False)
    _list_ways(ways, site)
    _job_ways(ways, site)
    paper_ways(ways, site)
    part_ways(ways, site)
    mend_ways(ways, site)
    done_ways(ways, site)
    agreed_ways(ways, site)
    own_ways(ways, site)
    share_ways(ways, site)
    pair_ways(ways, site)
    return ways


def _list_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/backup.zip")
    def backup() -> StreamingResponse:
        packed = tempfile.TemporaryFile()  # noqa: SIM115
        pack(site.shelf, packed)
        packed.seek(0)
        headers = {"content-disposition": 'attachment; filename="weatherlap-backup.zip"'}
        return StreamingResponse(_parts(packed), media_type="application/zip", headers=headers)

    @ways.get("/offline.js")
    def offline() -> Response:
        files = sorted(f.name for f in STATIC.iterdir() if f.suffix in (".js", ".css", ".svg"))
        shell = json.dumps(["/", *(f"/static/{name}" for name in files)])
        text = (STATIC / "offline.js").read_text("utf-8")
        text = text.replace("const SHELL = [];", f"const SHELL = {shell};")
        return Response(text, media_type="text/javascript")

    @ways.get("/")
    def job_list() -> HTMLResponse:
        return page("jobs.html", jobs=site.shelf.jobs(), shared=bool(site.links))

    @ways.get("/begin")
    def begin() -> HTMLResponse:
        rows = [(d, _picture(d.id, d.variants[0].id)) for d in details()]
        return page("begin.html", rows=rows)

    @ways.get("/begin/{detail_id}")
    def sizes(detail_id: str) -> HTMLResponse:
        known = detail(detail_id)
        variants = [(v, _picture(known.id, v.id)) for v in known.variants]
        return page("sizes.html", detail=known, variants=variants, table=detail_table(known.id))


def _parts(file: IO[bytes]) -> Iterator[bytes]:
    with file:
        while part := file.read(1 << 16):
            yield part


_PICTURES: dict[tuple[str, str], str] = {}


def _picture(detail_id: str, variant: str) -> str:
    """A ready detail drawn small; each is drawn once."""
    key = (detail_id, variant)
    if key not in _PICTURES:
        known = detail(detail_id)
        corner = corner_of(known.job(variant=variant))
        name = f"picture-{detail_id}-{variant}"
        _PICTURES[key] = corner_picture(corner, title=known.title, name=name)
    return _PICTURES[key]


def _goes(job: Job) -> Iterator[tuple[str, str]]:
    """The pages on which the work is written down, as far as the job has something for them."""
    if can_be_ticked(job):
        yield "done", "Work done"
    if can_be_agreed(job):
        yield "agreed", "Contract"
    yield "mend", "Mend"


def _job_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/job/{job_id}")
    def job_page(
        job_id: JobId,
        face: Annotated[str | None, Name] = None,
        piece: Annotated[str | None, Name] = None,
    ) -> HTMLResponse:
        head = site.shelf.head(job_id)
        said = summary(site.desk, head, State.FOUND)
        faces = [f["id"] for f in said["faces"]]
        busy = [f["face"] for f in said["findings"]] or faces
        seen = face if face is not None and face in faces else busy[0]
        board = json.loads(site.desk.board(head.text, State.FOUND, seen))
        job = site.desk.job(head.text)
        held = piece if any(p["id"] == piece for p in said["pieces"]) else None
        return page(
            "job.html",
            begins={"said": said, "board": board, "job": job_id, "held": held},
            said=said,
            board=board,
            about=job.job,
            job_id=job_id,
            parts=held_parts(job),
            goes=list(_goes(job)),
        )

    @ways.get("/job/{job_id}/history")
    def history_page(job_id: JobId) -> HTMLResponse:
        row = site.shelf.job(job_id)
        return page("history.html", row=row, revisions=site.shelf.history(job_id))
