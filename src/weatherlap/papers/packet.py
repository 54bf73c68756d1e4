"""The packet: every paper, drawing and figure of a job, as files by name."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from concurrent.futures import Executor, Future, ThreadPoolExecutor

from weatherlap.job.model import Job
from weatherlap.papers.binder import BINDERS, Binder, Bound, begun, bound
from weatherlap.papers.findings import findings_sheet
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.orderfiles import order_files
from weatherlap.papers.paper import Paper
from weatherlap.papers.pictures import Picture, picture_dxf, pictures
from weatherlap.run.opennext import open_next
from weatherlap.run.opentables import open_next_table
from weatherlap.run.states import State
from weatherlap.run.tables import trace_table
from weatherlap.run.worked import Worked

SHEET = "findings.pdf"
LISTING = "findings.json"
THREADS = 1
"""Beside the one that works out: it dries, then typesets; one more brings little, at 10 MB."""
Saying = Callable[[str], None]
_FOR_ALL = tuple(b for b in BINDERS if not b.for_firm)


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
    with ThreadPoolExecutor(THREADS) as pool:
        shelf = _Shelf(pool, job, own, paper, on_the_way)
        shelf.begin(_FOR_ALL)
        on_the_way("Ordering the work")
        more = order_files(job, own=own, paper=paper)
        shelf.add(_FOR_ALL)
        drawings = pictures(worked, state=state, on_the_way=on_the_way)
        on_the_way("Typesetting")
        plots = _plots(job, own)
        sheet = findings_sheet(worked, [*drawings, *plots], state=state, paper=paper)
        more |= shelf.files()
    files = {SHEET: sheet, **{f"{d.name}.svg": d.svg.encode("utf-8") for d in drawings}, **more}
    files |= {f"{d.name}.dxf": picture_dxf(worked, d) for d in drawings if d.face is not None}
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
    return _files_of(_FOR_ALL, job, own, paper, on_the_way)


def firm_files(
    job: Job, *, own: Mapping[str, str], paper: Paper, on_the_way: Saying
) -> dict[str, bytes]:
    """What is for the firm's eyes only, the build-up of the price: kept apart from the packet."""
    return _files_of([b for b in BINDERS if b.for_firm], job, own, paper, on_the_way)


def _files_of(
    binders: Sequence[Binder], job: Job, own: Mapping[str, str], paper: Paper, on_the_way: Saying
) -> dict[str, bytes]:
    with ThreadPoolExecutor(THREADS) as pool:
        shelf = _Shelf(pool, job, own, paper, on_the_way)
        shelf.begin(binders)
        shelf.add(binders)
        return shelf.files()


class _Shelf:
    """Files of a packet in the making: what can be made beside the rest is.

    Typesetting and compiled loops let other threads run. Which file comes from which thread
    changes nothing of it, and files stand in the order in which they were added.
    """

    def __init__(
        self, pool: Executor, job: Job, own: Mapping[str, str], paper: Paper, on_the_way: Saying
    ) -> None:
        self._pool, self._job, self._own, self._paper = pool, job, own, paper
        self._on_the_way = on_the_way
        self._begun: dict[str, Future[Bound]] = {}
        self._files: dict[str, Future[bytes] | bytes] = {}

    def begin(self, binders: Sequence[Binder]) -> None:
        """Begin with the parts that go on beside the others."""
        for binder in (b for b in binders if b.lets_others_run and b.holds(self._job)):
            self._begun[binder.key] = begun(
                self._pool, binder, self._job, own=self._own, on_the_way=self._on_the_way
            )

    def add(self, binders: Sequence[Binder]) -> None:
        """Add the files of all parts that the job holds."""
        for binder in (b for b in binders if b.holds(self._job)):
            made = self._made(binder)
            for leaf in made.leaves:
                done = self._pool.submit(leaf_pdf, leaf, paper=self._paper)
                self._files[f"{leaf.name}.pdf"] = done
            self._files |= made.files
            self._files[f"{binder.key}.json"] = _json(dict(made.table))

    def _made(self, binder: Binder) -> Bound:
        if binder.key in self._begun:
            return self._begun[binder.key].result()
        return bound(binder, self._job, own=self._own, on_the_way=self._on_the_way)

    def files(self) -> dict[str, bytes]:
        """All files by name, once the last is made."""
        return {n: f.result() if isinstance(f, Future) else f for n, f in self._files.items()}


def _json(table: Mapping[str, object]) -> bytes:
    return (json.dumps(table, ensure_ascii=False, indent=1) + "\n").encode("utf-8")
