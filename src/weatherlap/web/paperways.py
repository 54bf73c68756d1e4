"""Papers and drawings of a job, to look at, to print and to take away."""

from __future__ import annotations

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse

from weatherlap.papers.findings import findings_sheet, stamp_of
from weatherlap.papers.labels import label_sheets
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import Picture, picture_dxf, pictures
from weatherlap.run.labelwords import labels
from weatherlap.run.ordering import order_job
from weatherlap.run.states import State
from weatherlap.run.worked import Worked
from weatherlap.store.shelf import NoSuchJob
from weatherlap.web.api import JobId
from weatherlap.web.handout import handout
from weatherlap.web.sheets import download, page
from weatherlap.web.site import Site
from weatherlap.web.summary import summary


def paper_ways(ways: APIRouter, site: Site) -> None:
    """Papers and drawings of one job."""

    @ways.get("/job/{job_id}/findings.pdf")
    def sheet(job_id: JobId, state: State = State.FOUND, paper: Paper = Paper.LETTER) -> Response:
        worked = site.desk.worked(site.shelf.head(job_id).text, state)
        drawn = pictures(worked, state=state)
        data = findings_sheet(worked, drawn, state=state, paper=paper)
        return download(data, "findings.pdf")

    @ways.get("/job/{job_id}/labels.pdf")
    def label_pages(job_id: JobId, paper: Paper = Paper.LETTER) -> Response:
        job = site.desk.job(site.shelf.head(job_id).text)
        link = f"{site.links[0]}/job/{job_id}" if site.links else ""
        rows = labels(order_job(job), link=link)
        stamp = stamp_of(job.job.date)
        return download(label_sheets(rows, paper=paper, stamp=stamp), "labels.pdf")

    @ways.get("/job/{job_id}/handout.html")
    def one_file(job_id: JobId, state: State = State.FOUND) -> Response:
        head = site.shelf.head(job_id)
        drawn = pictures(site.desk.worked(head.text, state), state=state)
        text = handout(summary(site.desk, head, state), drawn, site.photos)
        return download(text.encode(), "handout.html")

    @ways.get("/job/{job_id}/drawings")
    def drawings_page(job_id: JobId, state: State = State.FOUND) -> HTMLResponse:
        worked = site.desk.worked(site.shelf.head(job_id).text, state)
        drawn = pictures(worked, state=state)
        title = worked.job.job.title
        return page("drawings.html", title=title, job_id=job_id, drawn=drawn, state=state)

    @ways.get("/job/{job_id}/drawings/{name}.svg")
    def drawing(job_id: JobId, name: str, state: State = State.FOUND) -> Response:
        _, drawn = _picture(site, job_id, name, state)
        return download(drawn.svg.encode(), f"{drawn.name}.svg")

    @ways.get("/job/{job_id}/drawings/{name}.dxf")
    def drawing_dxf(job_id: JobId, name: str, state: State = State.FOUND) -> Response:
        worked, drawn = _picture(site, job_id, name, state)
        return download(picture_dxf(worked, drawn), f"{drawn.name}.dxf")


def _picture(site: Site, job_id: str, name: str, state: State) -> tuple[Worked, Picture]:
    worked = site.desk.worked(site.shelf.head(job_id).text, state)
    for drawn in pictures(worked, state=state):
        if drawn.name == name:
            return worked, drawn
    raise NoSuchJob("drawing", "there is no such drawing", "one of the job's")
