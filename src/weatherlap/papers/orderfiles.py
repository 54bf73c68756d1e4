"""The sheets of putting right as files of the packet."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job
from weatherlap.order.hours import CrewHours, invented_hours, read_hours
from weatherlap.papers.findings import stamp_of
from weatherlap.papers.labels import label_sheets
from weatherlap.papers.leaf import Box, Leaf, Part
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.ordersheets import order_sheets, step_drawings
from weatherlap.papers.paper import Paper
from weatherlap.papers.pole import tiled_pole
from weatherlap.run.labelwords import goes_back, labels
from weatherlap.run.layouts import LaidOut, layouts, layouts_table
from weatherlap.run.ordering import Nights, Ordered, nights_of, order_job
from weatherlap.run.ordertables import nights_table, order_table
from weatherlap.run.polemarks import Along, Pole, story_pole
from weatherlap.run.states import State

SHEETS = "putting-right.pdf"
FIGURES = "putting-right.json"
LABELS = "labels.pdf"
POLE = "story-pole.pdf"
HOURS = "rates"
"""Name of the firm's own table of hours, as the plan has it."""
OWN_HOURS = "hours from your own table"
INVENTED_HOURS = "hours from an invented table: put in your own"
T = TypeVar("T")


def order_files(
    job: Job, *, own: Mapping[str, str] | None = None, paper: Paper
) -> dict[str, bytes]:
    """The sheets, small sections, figures, labels and pole; nothing for a job without changes.

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
    made = righting(job, own or {}, missing)
    if made is None:
        return {SHEETS: leaf_pdf(no_order(job, missing), paper=paper),
                FIGURES: _json({"ok": False, "problems": missing})}  # fmt: skip
    files = {name: svg.encode("utf-8") for name, svg in step_drawings(made.ordered)}
    files |= _full_scale(made.ordered, paper, missing)
    files[SHEETS] = order_sheets(
        made.ordered, made.nights, made.runs, paper=paper, whose_hours=made.whose, missing=missing
    )
    files[FIGURES] = _json(made.table(missing))
    return files


def _full_scale(ordered: Ordered, paper: Paper, missing: list[str]) -> dict[str, bytes]:
    """Labels, where something goes back, and the story pole of the face with the most pieces."""
    stamp = stamp_of(ordered.job.job.date)
    files: dict[str, bytes] = {}
    pole = _try(lambda: _pole(ordered.job), "The story pole", missing)
    if pole is not None:
        files[POLE] = tiled_pole(pole, paper=paper, stamp=stamp)
    if goes_back(ordered):
        files[LABELS] = label_sheets(labels(ordered), paper=paper, stamp=stamp)
    return files


def _pole(job: Job) -> Pole:
    return story_pole(job, face=None, along=Along.UP, at_in=None, state=State.FOUND)


@dataclass(frozen=True, slots=True)
class Righting:
    """The order of the work, its nights and runs, and whose hours they go by."""

    ordered: Ordered
    nights: Nights | None
    runs: tuple[LaidOut, ...]
    whose: str

    def table(self, missing: Sequence[str]) -> dict[str, Any]:
        """All of it as figures."""
        return {
            **order_table(self.ordered),
            "nights": nights_table(self.nights) if self.nights else None,
            "whose_hours": self.whose,
            "runs": layouts_table(self.runs),
            "not_worked_out": list(missing),
        }


def righting(job: Job, own: Mapping[str, str], missing: list[str]) -> Righting | None:
    """The order of the work of a job; what cannot be worked out is added to ``missing``."""
    ordered = _try(lambda: order_job(job), "The order of the work", missing)
    if ordered is None:
        return None
    table, whose = _hours(own, missing)
    nights = _nights(job, ordered, table, missing)
    return Righting(ordered, nights, _runs(job, missing), whose)


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


def no_order(job: Job, missing: Sequence[str]) -> Leaf:
    """The sheet that says why there is no order."""
    return Leaf(
        name="putting-right",
        kind="Putting right",
        job_title=job.job.title,
        about=job.job,
        lead=("Take-down, put-back and nights could not be worked out from the job as it stands.",),
        parts=(Part("Why not", (Box("This part is not worked out", tuple(missing)),)),),
    )


def _json(table: Mapping[str, Any]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
