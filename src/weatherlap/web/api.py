"""The API: jobs, what is done to them, and what follows, as JSON."""

from __future__ import annotations

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
from weatherlap.sources.catalogue import catalogue
from weatherlap.store.merging import Side
from weatherlap.store.shelf import Revision
from weatherlap.web.acts import acted
from weatherlap.web.cornerpicture import corner_picture
from weatherlap.web.noting import SayAbout, grained
from weatherlap.web.site import Site
from weatherlap.web.summary import summary, told

JobId = Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")]
Name = Annotated[str, Query(min_length=1, max_length=100)]
Key = Annotated[str, Field(default="", pattern=r"^[0-9A-Za-z-]{0,64}$")]
Number = Annotated[int, Field(ge=1, le=2_000_000_000)]
JSON = "application/json"
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
        (507, "The disk is full: nothing was changed"),
    )
}


class Body(BaseModel):
    """What is sent along; a key that is not known is refused."""

    model_config = ConfigDict(extra="forbid")


class FromDetail(Body):
    """A new job from a ready detail, with sizes as a tape reads."""

    detail: str = Field(min_length=1, max_length=60)
    variant: str = Field(default="right", min_length=1, max_length=60)
    sizes: dict[str, str] = Field(default={}, max_length=60)
    title: str = Field(default="", max_length=200)


class FromText(Body):
    """A new job from the text of a job file."""

    text: str = Field(max_length=20_000_000)


class NewText(Body):
    """A whole new text, made from revision ``base``."""

    base: Number
    text: str = Field(max_length=20_000_000)
    by: str = Field(default="", max_length=100)
    choices: dict[str, Side] = Field(default={}, max_length=500)


def api_router(site: Site) -> APIRouter:
    """All of the API on one site."""
    api = APIRouter(prefix="/api", responses=ERRORS)
    _detail_ways(api)
    _job_ways(api, site)
    _file_ways(api, site)
    _view_ways(api, site)
    _told_ways(api, site)
    return api


def _detail_ways(api: APIRouter) -> None:
    @api.get("/catalogue")
    def stuff() -> list[dict[str, str]]:
        """The trade's stuff that a piece can be: entry, name, role, what it does with water."""
        return [
            {"id": e.id, "name": e.name, "role": e.role.value, "sheet": e.sheet}
            for e in catalogue().values()
        ]

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


def _view_ways(api: APIRouter, site: Site) -> None:
    @api.get("/jobs/{job_id}/board")
    def face_board(
        job_id: JobId,
        face: Name,
        state: State = State.FOUND,
        without: Annotated[list[str] | None, Query(max_length=200)] = None,
    ) -> Response:
        """One face to look at and to touch; ``without`` names pieces that are lifted off."""
        lifted, text = tuple(without or ()), site.shelf.head(job_id).text
        return Response(site.desk.board(text, state, face, without=lifted), media_type=JSON)

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
