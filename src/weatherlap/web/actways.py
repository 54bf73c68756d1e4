"""Acting on a job: one act at a time, back and forward, and what is foreseen."""

from __future__ import annotations

import json
import time
from typing import Any

from fastapi import APIRouter, Response
from fastapi.responses import JSONResponse
from pydantic import Field

from weatherlap.run.states import State
from weatherlap.store.merging import Side
from weatherlap.store.shelf import Revision
from weatherlap.web.acts import Act
from weatherlap.web.api import ERRORS, JSON, Body, JobId, Key, Number
from weatherlap.web.foresight import MOST_ACTS, done, seen_state
from weatherlap.web.site import Site
from weatherlap.web.summary import of_worked, summary


class Entry(Body):
    """One act, made on revision ``base``; ``key`` marks it, so that it is kept once.

    ``bare`` wants the number of the new revision back, without the job and the drawing.
    """

    base: Number
    act: Act
    key: Key
    state: State = State.FOUND
    face: str = Field(default="", max_length=100)
    by: str = Field(default="", max_length=100)
    choices: dict[str, Side] = Field(default={}, max_length=500)
    bare: bool = False


class Step(Body):
    """What to show after a step back or forward."""

    state: State = State.FOUND
    face: str = Field(default="", max_length=100)
    by: str = Field(default="", max_length=100)
    bare: bool = False


class Likely(Body):
    """Acts that may come next on revision ``base``, the likeliest first."""

    base: Number
    acts: list[Act] = Field(max_length=MOST_ACTS)
    state: State = State.FOUND
    face: str = Field(default="", max_length=100)


def act_router(site: Site) -> APIRouter:
    """Everything that changes a job by one step."""
    api = APIRouter(prefix="/api", responses=ERRORS)
    _act_way(api, site)
    _step_ways(api, site)
    return api


def _act_way(api: APIRouter, site: Site) -> None:
    @api.post("/jobs/{job_id}/acts", response_class=Response)
    def act(job_id: JobId, body: Entry) -> Response:
        """Do one thing to a job, follow the water again and give the job and the face back."""
        began = time.perf_counter()
        site.foresight.stop()
        start = site.shelf.revision(job_id, body.base)
        text, words = done(site.desk, start.text, body.act, body.state)
        saved = site.shelf.save(
            job_id,
            text,
            base=body.base,
            words=words,
            by=body.by,
            key=body.key,
            choices=body.choices,
        )
        more = {"words": words, "with_others": saved.with_others, "again": saved.again}
        if body.bare:
            return JSONResponse({"revision": saved.revision.number, **more})
        answer = _after(site, saved.revision, body.state, body.face, more)
        took_ms = 1000.0 * (time.perf_counter() - began)
        answer.headers["server-timing"] = f"all;dur={took_ms:.1f}"
        return answer


def _step_ways(api: APIRouter, site: Site) -> None:
    @api.post("/jobs/{job_id}/undo", response_class=Response)
    def undo(job_id: JobId, body: Step) -> Response:
        """Go one step back."""
        return _stepped(site, site.shelf.undo(job_id, by=body.by), body)

    @api.post("/jobs/{job_id}/redo", response_class=Response)
    def redo(job_id: JobId, body: Step) -> Response:
        """Go forward to what was undone."""
        return _stepped(site, site.shelf.redo(job_id, by=body.by), body)

    @api.post("/jobs/{job_id}/likely", status_code=202)
    def likely(job_id: JobId, body: Likely) -> dict[str, Any]:
        """Work out what may come next, so that it is there when it is asked for."""
        head = site.shelf.revision(job_id, body.base)

        def ready(text: str, state: State, face: str) -> None:
            _seen(site, text, state, face)
            shown = seen_state(site.desk.job(text), state)
            site.desk.told(text, shown, of_worked)

        site.foresight.foresee(head, body.acts, body.state, body.face, ready=ready)
        return {"ok": True}


def _stepped(site: Site, revision: Revision, body: Step) -> Response:
    if body.bare:
        return JSONResponse({"revision": revision.number})
    return _after(site, revision, body.state, body.face, {})


def _after(
    site: Site, revision: Revision, state: State, face: str, more: dict[str, Any]
) -> Response:
    """The job and the face that is looked at, after a step; as found if there is no change left."""
    board = _seen(site, revision.text, state, face)
    shown = seen_state(site.desk.job(revision.text), state)
    said = {"job": summary(site.desk, revision, shown), **more}
    head = json.dumps(said, ensure_ascii=False, separators=(",", ":")).encode("utf-8")
    return Response(head[:-1] + b',"board":' + board + b"}", media_type=JSON)


def _seen(site: Site, text: str, state: State, face: str) -> bytes:
    """The face that is looked at, or the first one if it is gone, as JSON."""
    job = site.desk.job(text)
    faces = [f.id for f in job.face]
    return site.desk.board(text, seen_state(job, state), face if face in faces else faces[0])
