"""The packet: the findings sheet, its drawings and the figures behind them, into a folder."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import LISTING, print_json, write_packet
from weatherlap.cli.orderfiles import SHEETS, order_files
from weatherlap.cli.progress import OnTheWay
from weatherlap.job.model import Job
from weatherlap.papers.binder import BINDERS, bound
from weatherlap.papers.findings import findings_sheet
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import pictures
from weatherlap.run.opennext import open_next
from weatherlap.run.opentables import open_next_table
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked, in_state, work_out

SHEET = "findings.pdf"


def write_findings(
    job: Job,
    folder: Path,
    *,
    state: State,
    paper: Paper,
    own: Mapping[str, str],
    as_json: bool,
) -> None:
    """Work a job out and write its packet; then say what was written."""
    on_the_way = OnTheWay()
    try:
        on_the_way("Following the water")
        worked = work_out(in_state(job, state))
        on_the_way("Ordering the work")
        more = order_files(job, paper=paper)
        more |= bound_files(job, own=own, paper=paper, on_the_way=on_the_way)
        files = packet_files(worked, more, state=state, paper=paper, on_the_way=on_the_way)
        on_the_way("Writing")
        write_packet(folder, files)
    finally:
        on_the_way.done()
    if as_json:
        print_json(
            {
                "ok": True,
                "folder": str(folder),
                "files": list(files),
                "clean": worked.trace.clean,
                "findings": len(worked.trace.findings),
            }
        )
        return
    say(verdict(worked.trace))
    drawings = sum(name.endswith(".svg") for name in files)
    sheets = " and ".join(str(folder / n) for n in (SHEET, SHEETS) if n in files)
    say(f"Wrote {sheets}, {drawings} drawings and {LISTING}.")


def bound_files(
    job: Job, *, own: Mapping[str, str], paper: Paper, on_the_way: OnTheWay
) -> dict[str, bytes]:
    """The papers of every part that the job holds: PDFs, figures and other files by name."""
    files: dict[str, bytes] = {}
    for binder in (b for b in BINDERS if b.holds(job)):
        made = bound(binder, job, own=own, on_the_way=on_the_way)
        files |= {f"{leaf.name}.pdf": leaf_pdf(leaf, paper=paper) for leaf in made.leaves}
        files |= made.files
        text = json.dumps(made.table, ensure_ascii=False, indent=1) + "\n"
        files[f"{binder.key}.json"] = text.encode("utf-8")
    return files


def packet_files(
    worked: Worked,
    more: Mapping[str, bytes],
    *,
    state: State,
    paper: Paper,
    on_the_way: OnTheWay,
) -> dict[str, bytes]:
    """Every file of a packet by its name: the sheet, the drawings, the figures, and more."""
    drawings = pictures(worked, state=state, on_the_way=on_the_way)
    on_the_way("Typesetting")
    files = {SHEET: findings_sheet(worked, drawings, state=state, paper=paper)}
    files |= {f"{d.name}.svg": d.svg.encode("utf-8") for d in drawings} | dict(more)
    table = {
        "state": state.value,
        **trace_table(worked),
        "open_next": open_next_table(worked, open_next(worked)),
        "files": [*files, LISTING],
    }
    text = json.dumps(table, ensure_ascii=False, indent=1) + "\n"
    files[LISTING] = text.encode("utf-8")
    return files
