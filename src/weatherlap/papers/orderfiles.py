"""The sheets of putting right as files of the packet."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job
from weatherlap.order.hours import CrewHours, invented_hours, read_hours
from weatherlap.papers.leaf import Box, Leaf, Part
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.ordersheets import order_sheets, step_drawings
from weatherlap.papers.paper import Paper
from weatherlap.run.layouts import LaidOut, layouts, layouts_table
from weatherlap.run.ordering import Nights, Ordered, nights_of, order_job
from weatherlap.run.ordertables import nights_table, order_table

SHEETS = "putting-right.pdf"
FIGURES = "putting-right.json"
HOURS = "rates"
"""Name of the firm's own table of hours, as the plan has it."""
OWN_HOURS = "hours from your own table"
INVENTED_HOURS = "hours from an invented table: put in your own"
T = TypeVar("T")


def order_files(
    job: Job, *, own: Mapping[str, str] | None = None, paper: Paper
) -> dict[str, bytes]:
    """The sheets, their small sections and the figures; nothing for a job that holds no change.

    What cannot be worked out is said on the sheet, with its reason and the way out; the rest
    stands.

    Parameters
    ----------
    own : mapping or None
        The firm's own tables, each the text of a TOML file, by name.
    """
    if not job.change:
        return {}
    missing: list[str] = []
    ordered = _try(lambda: order_job(job), "The order of the work", missing)
    if ordered is None:
        return _nothing(job, missing, paper)
    table, whose = _hours(own or {}, missing)
    nights = _nights(job, ordered, table, missing)
    runs = _runs(job, missing)
    figures = {
        **order_table(ordered),
        "nights": nights_table(nights) if nights else None,
        "whose_hours": whose,
        "runs": layouts_table(runs),
        "not_worked_out": missing,
    }
    files = {name: svg.encode("utf-8") for name, svg in step_drawings(ordered)}
    files[SHEETS] = order_sheets(
        ordered, nights, runs, paper=paper, whose_hours=whose, missing=missing
    )
    files[FIGURES] = _json(figures)
    return files


def _try(work: Callable[[], T], what: str, missing: list[str]) -> T | None:
    """The result of some work; None, with the reason noted, where the job does not allow it."""
    try:
        return work()
    except (InputError, JobError, NoSolution) as error:
        missing.append(f"{what}: {' '.join(str(error).split())}")
        return None


def _hours(own: Mapping[str, str], missing: list[str]) -> tuple[CrewHours, str]:
    """The table of hours, and whose it is."""
    text = own.get(HOURS)
    if text is None:
        return invented_hours(), INVENTED_HOURS
    table = _try(lambda: read_hours(text), "Your own table of hours", missing)
    return (table, OWN_HOURS) if table is not None else (invented_hours(), INVENTED_HOURS)


def _nights(job: Job, ordered: Ordered, table: CrewHours, missing: list[str]) -> Nights | None:
    if not (ordered.down.off or ordered.back.layings):
        return None
    return _try(lambda: nights_of(job, table, ordered=ordered), "The nights", missing)


def _runs(job: Job, missing: list[str]) -> tuple[LaidOut, ...]:
    """The runs that can be laid out; why not is noted for the others."""
    rows: list[LaidOut] = []
    for run in job.run:
        alone = job.model_copy(update={"run": (run,)})
        rows += _try(lambda one=alone: layouts(one), f"The {run.title or run.id}", missing) or ()  # type: ignore[misc]
    return tuple(rows)


def _nothing(job: Job, missing: list[str], paper: Paper) -> dict[str, bytes]:
    """The sheet that says why there is no order."""
    leaf = Leaf(
        name="putting-right",
        kind="Putting right",
        job_title=job.job.title,
        about=job.job,
        lead=("Take-down, put-back and nights could not be worked out from the job as it stands.",),
        parts=(Part("Why not", (Box("This part is not worked out", tuple(missing)),)),),
    )
    figures: dict[str, Any] = {"ok": False, "problems": missing}
    return {SHEETS: leaf_pdf(leaf, paper=paper), FIGURES: _json(figures)}


def _json(table: Mapping[str, Any]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
