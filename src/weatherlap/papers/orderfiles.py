"""The sheets of putting right as files of the packet."""

from __future__ import annotations

import json

from weatherlap.job.model import Job
from weatherlap.order.hours import invented_hours
from weatherlap.papers.ordersheets import order_sheets, step_drawings
from weatherlap.papers.paper import Paper
from weatherlap.run.layouts import layouts, layouts_table
from weatherlap.run.ordering import nights_of, order_job
from weatherlap.run.ordertables import nights_table, order_table

SHEETS = "putting-right.pdf"
FIGURES = "putting-right.json"


def order_files(job: Job, *, paper: Paper) -> dict[str, bytes]:
    """The sheets, their small sections and the figures; nothing for a job that holds no change.

    Raises
    ------
    InputError
        If the marks of a run cannot hold its pieces.
    NoSolution
        If nothing can be the first to come off, or to go back.
    """
    if not job.change:
        return {}
    ordered = order_job(job)
    works = ordered.down.off or ordered.back.layings
    nights = nights_of(job, invented_hours()) if works else None
    runs = layouts(job) if job.run else ()
    table = {
        **order_table(ordered),
        "nights": nights_table(nights) if nights else None,
        "runs": layouts_table(runs),
    }
    text = json.dumps(table, ensure_ascii=False, indent=1) + "\n"
    files = {name: svg.encode("utf-8") for name, svg in step_drawings(ordered)}
    files[SHEETS] = order_sheets(ordered, nights, runs, paper=paper)
    files[FIGURES] = text.encode("utf-8")
    return files
