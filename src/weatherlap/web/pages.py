"""The pages: list, begin, job, history, pairing, and the papers to take away."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import IO, Annotated, Any

import segno
from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse, StreamingResponse
from jinja2 import Environment, FileSystemLoader, select_autoescape

from weatherlap import __version__
from weatherlap.building.details.shelf import detail, details
from weatherlap.papers.findings import findings_sheet
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import pictures
from weatherlap.run.states import State
from weatherlap.run.worked import corner_of
from weatherlap.store.packing import pack
from weatherlap.store.shelf import NoSuchJob
from weatherlap.units import tape
from weatherlap.web.api import JobId, Name, detail_table
from weatherlap.web.cornerpicture import corner_picture
from weatherlap.web.guard import COOKIE, SESSION_S, is_loopback
from weatherlap.web.handout import handout
from weatherlap.web.site import Site
from weatherlap.web.summary import board_table, summary

_PAGES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=select_autoescape(("html",)),
    trim_blocks=True,
    lstrip_blocks=True,
)


def day_words(seconds: float) -> str:
    """A moment as a list shows it, in the time of this machine. [s since 1970]"""
    return datetime.fromtimestamp(seconds, UTC).astimezone().strftime("%b %d, %Y %H:%M")


_PAGES.filters |= {"day": day_words, "tape": tape}


def page(name: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page from its template."""
    text = _PAGES.get_template(name).render(version=__version__, **values)
    return HTMLResponse(text, status_code=status)


def page_router(site: Site) -> APIRouter:
    """All pages on one site."""
    ways = APIRouter(include_in_schema=False)
    _list_ways(ways, site)
    _job_ways(ways, site)
    _paper_ways(ways, site)
    _share_ways(ways, site)
    _pair_ways(ways, site)
    return ways


def _list_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/backup.zip")
    def backup() -> StreamingResponse:
        packed = tempfile.TemporaryFile()  # noqa: SIM115
        pack(site.shelf, packed)
        packed.seek(0)
        headers = {"content-disposition": 'attachment; filename="weatherlap-backup.zip"'}
        return StreamingResponse(_parts(packed), media_type="application/zip", headers=headers)

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


def _job_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/job/{job_id}")
    def job_page(job_id: JobId, face: Annotated[str | None, Name] = None) -> HTMLResponse:
        head = site.shelf.head(job_id)
        said = summary(site.desk, head, State.FOUND)
        faces = [f["id"] for f in said["faces"]]
        busy = [f["face"] for f in said["findings"]] or faces
        seen = face if face is not None and face in faces else busy[0]
        board = board_table(site.desk, head, State.FOUND, seen)
        about = site.desk.job(head.text).job
        return page("job.html", said=said, board=board, about=about, job_id=job_id)

    @ways.get("/job/{job_id}/history")
    def history_page(job_id: JobId) -> HTMLResponse:
        row = site.shelf.job(job_id)
        return page("history.html", row=row, revisions=site.shelf.history(job_id))


def _paper_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/job/{job_id}/findings.pdf")
    def sheet(job_id: JobId, state: State = State.FOUND, paper: Paper = Paper.LETTER) -> Response:
        worked = site.desk.worked(site.shelf.head(job_id).text, state)
        drawn = pictures(worked, state=state)
        data = findings_sheet(worked, drawn, state=state, paper=paper)
        return _download(data, "application/pdf", "findings.pdf")

    @ways.get("/job/{job_id}/handout.html")
    def one_file(job_id: JobId, state: State = State.FOUND) -> Response:
        head = site.shelf.head(job_id)
        drawn = pictures(site.desk.worked(head.text, state), state=state)
        text = handout(summary(site.desk, head, state), drawn, site.photos)
        return _download(text.encode(), "text/html; charset=utf-8", "handout.html")

    @ways.get("/job/{job_id}/drawings")
    def drawings_page(job_id: JobId, state: State = State.FOUND) -> HTMLResponse:
        worked = site.desk.worked(site.shelf.head(job_id).text, state)
        drawn = pictures(worked, state=state)
        title = worked.job.job.title
        return page("drawings.html", title=title, job_id=job_id, drawn=drawn, state=state)

    @ways.get("/job/{job_id}/drawings/{name}.svg")
    def drawing(job_id: JobId, name: str, state: State = State.FOUND) -> Response:
        worked = site.desk.worked(site.shelf.head(job_id).text, state)
        for drawn in pictures(worked, state=state):
            if drawn.name == name:
                return _download(drawn.svg.encode(), "image/svg+xml", f"{drawn.name}.svg")
        raise NoSuchJob("drawing", "there is no such drawing", "one of the job's")


def _download(data: bytes, kind: str, name: str) -> Response:
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=kind, headers=headers)


def _share_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/share")
    def share(request: Request) -> Response:
        if not _is_own(request):
            return page("note.html", 403, head="Only on the machine that serves",
                        words="A new device is paired there.")  # fmt: skip
        code = site.pairing.code() if site.links else ""
        return page("share.html", links=site.links, code=code)

    @ways.get("/share/code.svg")
    def code_picture(request: Request) -> Response:
        if not _is_own(request) or not site.links:
            return Response(status_code=403)
        link = f"{site.links[0]}/pair?code={site.pairing.code()}"
        made = segno.make_qr(link, error="m").svg_inline(scale=6, dark="#111", light="#fff")
        svg = made.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
        return Response(svg, media_type="image/svg+xml")

    @ways.post("/share/forget")
    def forget(request: Request) -> Response:
        if not _is_own(request):
            return Response(status_code=403)
        site.sessions.forget_all()
        return RedirectResponse("/share", 303)


def _pair_ways(ways: APIRouter, site: Site) -> None:
    @ways.get("/pair")
    def pair_page(code: Annotated[str, Query(max_length=40)] = "") -> HTMLResponse:
        return page("pair.html", code=code, wrong="")

    @ways.post("/pair")
    def pair(request: Request, code: Annotated[str, Form(max_length=40)]) -> Response:
        address = request.client.host if request.client else ""
        if not site.pairing.may_try(address):
            words = "Too many tries. Wait a minute, then type the code again."
            return page("pair.html", 429, code="", wrong=words)
        if not site.pairing.takes(code):
            words = "This is not the code that is shown, or it is used up."
            return page("pair.html", 403, code="", wrong=words)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(
            COOKIE,
            site.sessions.new(time.time()),
            max_age=int(SESSION_S),
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )
        return answer


def _is_own(request: Request) -> bool:
    return request.client is not None and is_loopback(request.client.host)
