"""The binder: every part of a job that has papers of its own, and how they are made.

The packet and the web app go through it: a part that stands here shows up in both.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Mapping
from concurrent.futures import Executor, Future
from dataclasses import dataclass, field
from typing import Any, Protocol, cast

from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.model import Job
from weatherlap.papers.leaf import Box, Leaf, Part
from weatherlap.takeoff.newpieces import buys


def _silent(_: str) -> None:
    """Says nothing to anybody."""


@dataclass(frozen=True, slots=True)
class Bound:
    """The papers of one part of a job.

    ``table`` is the answer as JSON can hold it; ``files`` are the other files by name (DXF,
    XLSX, CSV, iCalendar, loose drawings).
    """

    leaves: tuple[Leaf, ...]
    table: Mapping[str, Any]
    files: Mapping[str, bytes] = field(default_factory=dict)


class _Binding(Protocol):
    def __call__(
        self, job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]
    ) -> Bound: ...


@dataclass(frozen=True, slots=True)
class Binder:
    """A part of a job: its short name, its title, whether a job holds it, who makes its papers.

    ``module`` is loaded only when the papers are asked for; it has a function ``bind``.
    ``for_firm`` keeps all of it, figures too, out of every folder that the client gets.
    ``lets_others_run`` says that most of it is compiled loops: it goes on beside the other parts.
    """

    key: str
    title: str
    holds: Callable[[Job], bool]
    module: str
    for_firm: bool = False
    lets_others_run: bool = False


def _holds_framing(job: Job) -> bool:
    return bool(job.member)


def _holds_climate(job: Job) -> bool:
    return job.climate is not None


def _promises(job: Job) -> bool:
    """Whether a job says what is agreed, and has work to agree on."""
    return job.terms is not None and bool(job.change)


def _closes(job: Job) -> bool:
    """Whether a job says from when on it is warranted."""
    return _promises(job) and job.warranty is not None


def _holds_work(job: Job) -> bool:
    return job.work is not None and bool(job.change)


BINDERS: tuple[Binder, ...] = (
    Binder("shoring", "Shoring", _holds_framing, "weatherlap.papers.shoringpapers"),
    Binder("shop", "Shop", buys, "weatherlap.papers.shoppapers"),
    Binder(
        "drying", "Drying", _holds_climate, "weatherlap.papers.dryingpapers", lets_others_run=True
    ),
    Binder("scope", "Scope and contract", _promises, "weatherlap.papers.scopepapers"),
    Binder("price", "Price", _promises, "weatherlap.papers.pricepapers", for_firm=True),
    Binder("close-out", "Close-out", _closes, "weatherlap.papers.closepapers"),
    Binder("plan", "Plan", _holds_work, "weatherlap.papers.plansheets"),
)


def bound(
    binder: Binder,
    job: Job,
    *,
    own: Mapping[str, str],
    on_the_way: Callable[[str], None] = _silent,
) -> Bound:
    """The papers of one part; one that says why where it cannot be worked out.

    Parameters
    ----------
    own : mapping
        The firm's own tables, each the text of a TOML file, by name.
    on_the_way : callable
        Told what is being done.
    """
    on_the_way(binder.title)
    bind = _loaded(binder)
    try:
        return bind(job, own=own, on_the_way=on_the_way)
    except (InputError, JobError, NoSolution) as error:
        return _why_not(binder, job, error)


def begun(
    pool: Executor,
    binder: Binder,
    job: Job,
    *,
    own: Mapping[str, str],
    on_the_way: Callable[[str], None],
) -> Future[Bound]:
    """The papers of one part, made in a thread of a pool while others are made here."""
    _loaded(binder)  # here: two threads must not load the same packages
    return pool.submit(bound, binder, job, own=own, on_the_way=on_the_way)


def _loaded(binder: Binder) -> _Binding:
    return cast(_Binding, importlib.import_module(binder.module).bind)


def _why_not(binder: Binder, job: Job, error: InputError | JobError | NoSolution) -> Bound:
    said = tuple(str(error).splitlines())
    box = Box("This part is not worked out", said)
    leaf = Leaf(
        name=binder.key,
        kind=binder.title,
        job_title=job.job.title,
        about=job.job,
        lead=("This part could not be worked out from the job as it stands.",),
        parts=(Part("Why not", (box,)),),
    )
    return Bound((leaf,), {"ok": False, "problems": list(said)})
