"""The packet: every paper, drawing and figure of a job, as files by name."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence

from weatherlap.job.model import Job
from weatherlap.papers.binder import BINDERS, Binder, bound
from weatherlap.papers.findings import findings_sheet
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.orderfiles import order_files
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import Picture, pictures
from weatherlap.run.opennext import open_next
from weatherlap.run.opentables import open_next_table
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.worked import Worked

SHEET = "findings.pdf"
LISTING = "findings.json"
Saying = Callable[[str], None]


def packet_files(
    job: Job,
    worked: Worked,
    *,
    state: State,
    paper: Paper,
    own: Mapping[str, str],
    on_the_way: Saying,
) -> dict[str, bytes]:
    """Every file of a job's packet: the findings sheet, its drawings, the other parts, figures.

    Parameters
    ----------
    worked : Worked
        The job worked out in the state that the findings sheet shows.
    own : mapping
        The firm's own tables, each the text of a TOML file, by name.
    on_the_way : callable
        Told what is being done.
    """
    on_the_way("Ordering the work")
    more = order_files(job, own=own, paper=paper)
    more |= bound_files(job, own=own, paper=paper, on_the_way=on_the_way)
    drawings = pictures(worked, state=state, on_the_way=on_the_way)
    on_the_way("Typesetting")
    plots = _plots(job, own)
    files = {SHEET: findings_sheet(worked, [*drawings, *plots], state=state, paper=paper)}
    files |= {f"{d.name}.svg": d.svg.encode("utf-8") for d in drawings} | more
    table = {
        "state": state.value,
        **trace_table(worked),
        "open_next": open_next_table(worked, open_next(worked)),
        "files": [*files, LISTING],
    }
    return files | {LISTING: _json(table)}


def _plots(job: Job, own: Mapping[str, str]) -> tuple[Picture, ...]:
    """How wet the wood is through the year, where the job asks; loaded only then."""
    if job.climate is None or not job.dry:
        return ()
    from weatherlap.papers.dryingpapers import moisture_pictures

    return moisture_pictures(job, own)


def bound_files(
    job: Job, *, own: Mapping[str, str], paper: Paper, on_the_way: Saying
) -> dict[str, bytes]:
    """The papers of every part that the job holds: PDFs, figures and other files by name."""
    return _files_of([b for b in BINDERS if not b.for_firm], job, own, paper, on_the_way)


def firm_files(
    job: Job, *, own: Mapping[str, str], paper: Paper, on_the_way: Saying
) -> dict[str, bytes]:
    """What is for the firm's eyes only, the build-up of the price: kept apart from the packet."""
    return _files_of([b for b in BINDERS if b.for_firm], job, own, paper, on_the_way)


def _files_of(
    binders: Sequence[Binder], job: Job, own: Mapping[str, str], paper: Paper, on_the_way: Saying
) -> dict[str, bytes]:
    files: dict[str, bytes] = {}
    for binder in (b for b in binders if b.holds(job)):
        made = bound(binder, job, own=own, on_the_way=on_the_way)
        files |= {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in made.leaves}
        files |= made.files
        files[f"{binder.key}.json"] = _json(dict(made.table))
    return files


def _json(table: Mapping[str, object]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
