"""The API: jobs, what is done to them, and what follows, as JSON."""

from __future__ import annotations

import time
from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, Path, Query, Response
from pydantic import BaseModel, ConfigDict, Field

from weatherlap.building.details.shelf import detail, details
from weatherlap.drawings.section import section
from weatherlap.drawings.solid import geometry
from weatherlap.job.model import CutLine
from weatherlap.job.schema import job_schema
from weatherlap.run.opennext import open_next
from weatherlap.run.opentables import open_next_table
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.worked import corner_of
from weatherlap.store.merging import Side
from weatherlap.store.shelf import Revision
from weatherlap.web.acts import Act, SayAbout, acted, grained
from weatherlap.web.cornerpicture import corner_picture
from weatherlap.web.site import Site
from weatherlap.web.summary import board_table, summary, told

JobId = Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")]
Name = Annotated[str, Query(min_length=1, max_length=100)]
Key = Annotated[str, Field(default="", pattern=r"^[0-9A-Za-z-]{0,64}$")]
Number = Annotated[int, Field(ge=1, le=2_000_000_000)]
ERRORS: dict[int | str, dict[str, Any]] = {
    status: {"description": words}
    for status, words in (
        (400, "The job file needs mending"),
        (401, "The device is not paired"),
        (403, "The request came from another site"),
        (404, "There is no such job"),
        (409, "Two people changed the same thing"),
        (413, "Too large"),
        (422, "A value cannot be used"),
    )
}


class _Body(BaseModel):
    model_config = ConfigDict(extra="forbid")


class FromDetail(_Body):
    """A new job from a ready detail, with sizes as a tape reads."""

    detail: str = Field(min_length=1, max_length=60)
    variant: str = Field(default="right", min_length=1, max_length=60)
    sizes: dict[str, str] = Field(default={}, max_length=60)
    title: str = Field(default="", max_length=200)


class FromText(_Body):
    """A new job from the text of a job file."""

    text: str = Field(max_length=20_000_000)


class Entry(_Body):
    """One act, made on revision ``base``; ``key`` marks it, so that it is kept once."""

    base: Number
    act: Act
    key: Key
    state: State = State.FOUND
    face: str = Field(default="", max_length=100)
    by: str = Field(default="", max_length=100)
    choices: dict[str, Side] = Field(default={}, max_length=500)


class NewText(_Body):
    """A whole new text, made from revision ``base``."""

    base: Number
    text: str = Field(max_length=20_000_000)
    by: str = Field(default="", max_length=100)
    choices: dict[str, Side] = Field(default={}, max_length=500)


class Step(_Body):
    """What to show after a step back or forward."""

    state: State = State.FOUND
    face: str = Field(default="", max_length=100)
    by: str = Field(default="", max_length=100)


def api_router(site: Site) -> APIRouter:
    """All of the API on one site."""
    api = APIRouter(prefix="/api", responses=ERRORS)
    _detail_ways(api)
    _job_ways(api, site)
    _file_ways(api, site)
    _acting_ways(api, site)
    _view_ways(api, site)
    _told_ways(api, site)
    return api


def _detail_ways(api: APIRouter) -> None:
    @api.get("/details")
    def list_details() -> list[dict[str, Any]]:
        """Ready corners with their sizes and the ways in which they are found."""
        return [detail_table(d.id) for d in details()]

    @api.post("/details/picture", response_class=Response)
    def picture(body: FromDetail) -> Response:
        """A ready corner with these sizes as a small drawing."""
        known = detail(body.detail)
        job = known.job(body.sizes, body.variant)
        drawn = corner_picture(corner_of(job), title=known.title, name="picture")
        return Response(drawn, media_type="image/svg+xml")

    @api.get("/schema")
    def schema() -> dict[str, Any]:
        """The JSON Schema of the job file."""
        return job_schema()


def detail_table(detail_id: str) -> dict[str, Any]:
    """A ready detail with its sizes and the ways in which it is built. [in]"""
    known = detail(detail_id)
    return {
        "id": known.id,
        "title": known.title,
        "use": known.use,
        "sizes": [{k: getattr(d, k) for k in _SIZE_KEYS} for d in known.dimensions],
        "variants": [{"id": v.id, "title": v.title, "sees": v.sees} for v in known.variants],
    }


_SIZE_KEYS = ("name", "default_in", "least_in", "most_in", "words")


def _job_ways(api: APIRouter, site: Site) -> None:
    @api.get("/jobs")
    def list_jobs() -> list[dict[str, Any]]:
        """All jobs, the last changed first."""
        return [asdict(row) for row in site.shelf.jobs()]

    @api.post("/jobs", status_code=201)
    def begin(body: FromDetail | FromText) -> dict[str, Any]:
        """Begin a job from a ready detail or from the text of a job file."""
        if isinstance(body, FromText):
            return asdict(site.shelf.begin(body.text, words="Brought in from a file"))
        known = detail(body.detail)
        text = known.toml(body.sizes, body.variant)
        if body.title.strip():
            act = SayAbout(do="about", key="title", text=body.title.strip())
            text, _ = acted(site.desk.job(text), text, act, State.FOUND)
        return asdict(site.shelf.begin(text, words=f"Begun from {known.title.lower()}"))

    @api.get("/jobs/{job_id}")
    def one_job(job_id: JobId, state: State = State.FOUND) -> dict[str, Any]:
        """A job with its pieces, findings and changes in one state."""
        return summary(site.desk, site.shelf.head(job_id), state)


def _file_ways(api: APIRouter, site: Site) -> None:
    @api.get("/jobs/{job_id}/history")
    def history(job_id: JobId) -> list[dict[str, Any]]:
        """Every revision, the newest first."""
        return [
            {k: v for k, v in asdict(r).items() if k != "text"} for r in site.shelf.history(job_id)
        ]

    @api.get("/jobs/{job_id}/file", response_class=Response)
    def job_file(job_id: JobId, revision: Annotated[int | None, Query(ge=1)] = None) -> Response:
        """The job file of the newest or of one revision."""
        found = _revision(site, job_id, revision)
        name = f"job-{job_id}.toml"
        headers = {"content-disposition": f'attachment; filename="{name}"'}
        return Response(found.text, media_type="application/toml", headers=headers)

    @api.put("/jobs/{job_id}/file")
    def put_file(job_id: JobId, body: NewText) -> dict[str, Any]:
        """Keep a whole new text; what others did since ``base`` is kept too."""
        words, choices = "The job file changed by hand", body.choices
        saved = site.shelf.save(
            job_id, body.text, base=body.base, words=words, by=body.by, choices=choices
        )
        return {"revision": saved.revision.number, "with_others": saved.with_others}


def _revision(site: Site, job_id: str, number: int | None) -> Revision:
    return site.shelf.head(job_id) if number is None else site.shelf.revision(job_id, number)


def _acting_ways(api: APIRouter, site: Site) -> None:
    @api.post("/jobs/{job_id}/acts")
    def act(job_id: JobId, body: Entry, response: Response) -> dict[str, Any]:
        """Do one thing to a job, follow the water again and give the job and the face back."""
        began = time.perf_counter()
        start = site.shelf.revision(job_id, body.base)
        job = site.desk.job(start.text)
        seen = body.state if job.change else State.FOUND
        corner = site.desk.worked(start.text, seen).corner
        text, words = acted(job, start.text, body.act, body.state, corner=corner)
        saved = site.shelf.save(
            job_id,
            text,
            base=body.base,
            words=words,
            by=body.by,
            key=body.key,
            choices=body.choices,
        )
        answer = _after(site, saved.revision, body.state, body.face)
        took_ms = 1000.0 * (time.perf_counter() - began)
        response.headers["server-timing"] = f"all;dur={took_ms:.1f}"
        return {**answer, "words": words, "with_others": saved.with_others, "again": saved.again}

    @api.post("/jobs/{job_id}/undo")
    def undo(job_id: JobId, body: Step) -> dict[str, Any]:
        """Go one step back."""
        return _after(site, site.shelf.undo(job_id, by=body.by), body.state, body.face)

    @api.post("/jobs/{job_id}/redo")
    def redo(job_id: JobId, body: Step) -> dict[str, Any]:
        """Go forward to what was undone."""
        return _after(site, site.shelf.redo(job_id, by=body.by), body.state, body.face)


def _after(site: Site, revision: Revision, state: State, face: str) -> dict[str, Any]:
    """The job and the face that is looked at, after a step; as found if there is no change left."""
    job = site.desk.job(revision.text)
    shown = state if job.change else State.FOUND
    faces = [f.id for f in job.face]
    seen = face if face in faces else faces[0]
    return {
        "job": summary(site.desk, revision, shown),
        "board": board_table(site.desk, revision, shown, seen),
    }


def _view_ways(api: APIRouter, site: Site) -> None:
    @api.get("/jobs/{job_id}/board")
    def face_board(
        job_id: JobId,
        face: Name,
        state: State = State.FOUND,
        without: Annotated[list[str] | None, Query(max_length=200)] = None,
    ) -> dict[str, Any]:
        """One face to look at and to touch; ``without`` names pieces that are lifted off."""
        lifted = tuple(without or ())
        return board_table(site.desk, site.shelf.head(job_id), state, face, without=lifted)

    @api.get("/jobs/{job_id}/section", response_class=Response)
    def cut_section(
        job_id: JobId,
        face: Name,
        at: Annotated[float, Query(ge=-12000, le=12000, allow_inf_nan=False)],
        state: State = State.FOUND,
    ) -> Response:
        """The section at a cut line, as SVG. [in]"""
        head = site.shelf.head(job_id)
        shown = site.desk.shown(head.text, state)
        cut = CutLine(id="X", face=face, at=grained(at))
        return Response(section(shown, cut), media_type="image/svg+xml")

    @api.get("/jobs/{job_id}/solid")
    def solid(job_id: JobId, state: State = State.FOUND) -> dict[str, Any]:
        """Everything in space, for a view that can be turned. [in]"""
        return geometry(site.desk.shown(site.shelf.head(job_id).text, state))


def _told_ways(api: APIRouter, site: Site) -> None:
    @api.get("/jobs/{job_id}/findings/{letter}")
    def finding(
        job_id: JobId,
        letter: Annotated[str, Path(pattern=r"^[A-Z]{1,4}$")],
        state: State = State.FOUND,
    ) -> dict[str, Any]:
        """One finding: what it is, how far the wet reaches, what to look at."""
        return told(site.desk.worked(site.shelf.head(job_id).text, state), letter)

    @api.get("/jobs/{job_id}/trace")
    def whole_trace(job_id: JobId, state: State = State.FOUND) -> dict[str, Any]:
        """Everything the trace found: ends, findings, lap rules, balance."""
        return trace_table(site.desk.worked(site.shelf.head(job_id).text, state))

    @api.get("/jobs/{job_id}/open-next")
    def where_to_open(job_id: JobId) -> dict[str, Any]:
        """Where to open or meter next, and what wet or dry would mean there."""
        worked = site.desk.worked(site.shelf.head(job_id).text, State.FOUND)
        return open_next_table(worked, open_next(worked))
