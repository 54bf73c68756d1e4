"""Work done: the tasks of the plan to tick, with hours, who, and photos of each step."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from weatherlap.job.model import Job
from weatherlap.papers.planwords import day_words
from weatherlap.store.shelf import NoSuchJob, Revision
from weatherlap.web.api import ERRORS, JobId
from weatherlap.web.clerk import Order, print_of
from weatherlap.web.making import TasksMaking
from weatherlap.web.partways import PATIENCE_S, progress, why_not_page, working_page
from weatherlap.web.photorecords import with_photos
from weatherlap.web.sheets import page
from weatherlap.web.site import Site

Table = dict[str, Any]
DONE = "done"
TITLE = "Work done"
WRITTEN_LATER: Mapping[str, tuple[()]] = {"done": (), "photo": (), "state": ()}
"""Records that are written while the work runs; no task follows from them."""


def can_be_ticked(job: Job) -> bool:
    """Whether a job says when it is worked, and has work to do."""
    return job.work is not None and bool(job.change)


def tasks_order(site: Site, head: Revision) -> Order[Table]:
    """The plan's table of a job, being worked out or ready; the same whatever is ticked.

    Raises
    ------
    NoSuchJob
        If the job has no days of work, or no change.
    """
    job, own = site.desk.job(head.text), site.own.all()
    if not can_be_ticked(job):
        raise NoSuchJob(DONE, "this job has no days of work, or no change", "a job that has both")
    bare = job.model_copy(update=dict(WRITTEN_LATER))
    return site.clerk.ask((print_of(bare.model_dump_json(), own), DONE), TasksMaking(bare, own))


def done_ways(ways: APIRouter, site: Site) -> None:
    """The page on which work is ticked."""

    @ways.get("/job/{job_id}/done")
    def done_page(job_id: JobId) -> HTMLResponse:
        head = site.shelf.head(job_id)
        order = tasks_order(site, head)
        if not order.done.wait(PATIENCE_S):
            return working_page(f"/api/jobs/{job_id}/{DONE}", "", order, TITLE, job_id)
        if order.fault is not None:
            return why_not_page(order, TITLE, job_id)
        told = _told(site, head, order.result())
        return page("done.html", job_id=job_id, title=told["title"], told=told)


def done_router(site: Site) -> APIRouter:
    """Work done over the API."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/jobs/{job_id}/done")
    def work_done(job_id: JobId) -> Table:
        """The tasks in the order of the plan, each with its ticks; ``ready`` is false meanwhile."""
        head = site.shelf.head(job_id)
        order = tasks_order(site, head)
        told = progress(head, order)
        return {**told, **_told(site, head, order.result())} if told["ready"] else told

    return api


def _told(site: Site, head: Revision, plan: Table) -> Table:
    job, _ = with_photos(site, head)
    return {
        "job": head.job,
        "revision": head.number,
        "can_undo": bool(head.below),
        "title": job.job.title,
        "tasks": list(task_rows(job, plan)),
        "crew": [{"id": p.id, "name": p.name or p.id} for p in job.person],
        "faces": [{"id": f.id, "title": f.title or f.id} for f in job.face],
        "lost": [
            {"number": n, "task": d.task, "day": d.day}
            for n, d in enumerate(job.done)
            if all(d.task != t["id"] for t in plan["tasks"])
        ],
    }


def task_rows(job: Job, plan: Table) -> Iterator[Table]:
    """The tasks of a plan in their order, each with its ticks and its photos. [h]"""
    names = {h["id"]: h["name"] for h in plan["crew"]}
    for number, task in enumerate(plan["tasks"], start=1):
        ticks = [
            {"number": n, "day": d.day, "hours": d.spent_h, "who": names.get(d.person or "", ""),
             "finished": d.finished, "note": d.note}
            for n, d in enumerate(job.done) if d.task == task["id"]
        ]  # fmt: skip
        yield {
            "number": number,
            "id": task["id"],
            "text": task["text"],
            "planned": day_words(datetime.datetime.fromisoformat(task["begins"]).date()),
            "hands": [{"id": h, "name": names.get(h, h)} for h in task["hands"]],
            "hours": task["hours"][1],
            "spent": sum(t["hours"] for t in ticks),
            "ticks": ticks,
            "finished": any(t["finished"] for t in ticks),
            "photos": [p.text or p.file for p in job.photo if p.step == task["id"]],
        }
