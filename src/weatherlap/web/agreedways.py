"""Contract and change orders: the page that shows them, and the way an answer is written down."""

from __future__ import annotations

import datetime
from typing import Annotated, Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse
from pydantic import Field

from weatherlap.job.editing import AddItem, edit
from weatherlap.job.writing import plain_row
from weatherlap.money.amounts import in_cents, usd_text
from weatherlap.money.changeorders import Answer
from weatherlap.papers.changeorderpapers import days_words, signed_usd
from weatherlap.web.agreed import AGREED, Answered, agreed_order, agreed_table, kept_record
from weatherlap.web.api import ERRORS, Body, JobId, Key, Number
from weatherlap.web.noting import OneDay
from weatherlap.web.partways import PATIENCE_S, progress, why_not_page, working_page
from weatherlap.web.photorecords import with_photos
from weatherlap.web.sheets import page
from weatherlap.web.site import Site

TITLE = "Contract and change orders"
MOST_SHOWN_BY = 200
FileWord = Annotated[str, Field(min_length=1, max_length=300)]


class StateEntry(Body):
    """What the client said to the job as revision ``base`` has it."""

    base: Number
    key: Key
    by: str = Field(min_length=1, max_length=200)
    day: OneDay
    answer: Answer
    why: str = Field(default="", max_length=2000)
    consequence: str = Field(default="", max_length=2000)
    photos: tuple[FileWord, ...] = Field(default=(), max_length=MOST_SHOWN_BY)


def agreed_ways(ways: APIRouter, site: Site) -> None:
    """The page of contract and change orders."""

    @ways.get("/job/{job_id}/agreed")
    def agreed_page(job_id: JobId) -> HTMLResponse:
        head = site.shelf.head(job_id)
        order = agreed_order(site, head)
        if not order.done.wait(PATIENCE_S):
            return working_page(f"/api/jobs/{job_id}/{AGREED}", "", order, TITLE, job_id)
        if order.fault is not None:
            return why_not_page(order, TITLE, job_id)
        table = agreed_table(order.result())
        job, _ = with_photos(site, head)
        return page(
            "agreed.html",
            job_id=job_id,
            revision=head.number,
            title=job.job.title,
            client=job.job.client,
            table=table,
            allowances=order.result().allowances,
            photos=[{"file": p.file, "words": p.text or p.file} for p in job.photo],
            today=datetime.date.today().isoformat(),
            usd=usd_text,
            dollars=lambda usd: usd_text(in_cents(usd)),
            signed_usd=signed_usd,
            days_words=days_words,
        )


def agreed_router(site: Site) -> APIRouter:
    """Contract and change orders over the API."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/jobs/{job_id}/agreed")
    def agreed(job_id: JobId) -> dict[str, Any]:
        """The kept states and how the job stands now; ``ready`` is false while it is worked out."""
        head = site.shelf.head(job_id)
        order = agreed_order(site, head)
        told = progress(head, order)
        return {**told, **agreed_table(order.result())} if told["ready"] else told

    @api.post("/jobs/{job_id}/states", status_code=201)
    def keep_state(job_id: JobId, body: StateEntry) -> dict[str, Any]:
        """Keep the job as it stands with what the client said; it is not changed later."""
        start = site.shelf.revision(job_id, body.base)
        order = agreed_order(site, start)
        order.done.wait()
        said = Answered(
            body.by.strip(), body.day, body.answer, body.why.strip(), body.consequence.strip(),
            body.photos,
        )  # fmt: skip
        job = site.desk.job(start.text)
        record = kept_record(job, order.result(), said, today=datetime.date.today())
        text = edit(start.text, [AddItem("state", plain_row(record))])
        name = "Contract" if record.number == 0 else f"Change order {record.number}"
        words = f"{name} {record.answer.value} by {record.by}"
        saved = site.shelf.save(job_id, text, base=body.base, words=words, key=body.key, alone=True)
        return {"revision": saved.revision.number, "words": words, "again": saved.again,
                "number": record.number, "seal": record.seal}  # fmt: skip

    return api
