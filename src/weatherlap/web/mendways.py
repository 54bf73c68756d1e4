"""The cheapest mend: searched beside the pages, shown, and laid as changes by one tap."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter
from fastapi.responses import HTMLResponse

from weatherlap.run.places import capital
from weatherlap.store.shelf import Revision
from weatherlap.web.api import ERRORS, JobId
from weatherlap.web.clerk import Order, print_of
from weatherlap.web.making import MendMaking
from weatherlap.web.partways import PATIENCE_S, progress, why_not_page, working_page
from weatherlap.web.sheets import page
from weatherlap.web.site import Site

Table = dict[str, Any]
MEND = "mend"
TITLE = "The cheapest mend"


def mend_order(site: Site, head: Revision) -> Order[Table]:
    """The cheapest mend of a job as it stands, being searched or ready."""
    job, own = site.desk.job(head.text), site.own.all()
    costs = {name: text for name, text in own.items() if name == "costs"}

    return site.clerk.ask((print_of(head.text, costs), MEND), MendMaking(job, costs.get("costs")))


def mend_ways(ways: APIRouter, site: Site) -> None:
    """The page of the cheapest mend."""

    @ways.get("/job/{job_id}/mend")
    def mend_page(job_id: JobId) -> HTMLResponse:
        head = site.shelf.head(job_id)
        order = mend_order(site, head)
        if not order.done.wait(PATIENCE_S):
            return working_page(f"/api/jobs/{job_id}/{MEND}", "", order, TITLE, job_id)
        if order.fault is not None:
            return why_not_page(order, TITLE, job_id)
        job = site.desk.job(head.text)
        return page(
            "mend.html",
            job_id=job_id,
            revision=head.number,
            title=job.job.title,
            held=len(job.change),
            own_costs="costs" in site.own.all(),
            table=order.result(),
            capital=capital,
        )


def mend_router(site: Site) -> APIRouter:
    """The cheapest mend over the API."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/jobs/{job_id}/mend")
    def cheapest_mend(job_id: JobId) -> dict[str, Any]:
        """The cheapest mend, its runners-up and why; ``ready`` is false while it is searched."""
        head = site.shelf.head(job_id)
        order = mend_order(site, head)
        told = progress(head, order)
        if not told["ready"]:
            return told
        return {**told, "mend": order.result()}

    return api
