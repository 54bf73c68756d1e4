"""Putting right as a leaf: take-down, put-back step by step, runs, nights.

The packet carries the same as sheets of their own; this is how a screen shows it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from weatherlap.job.model import Job
from weatherlap.papers.binder import Binder, Bound
from weatherlap.papers.cautions import OPENING_UP
from weatherlap.papers.leaf import Block, Box, Column, Drawn, Grid, Items, Leaf, Part, Words
from weatherlap.papers.orderfiles import no_order, order_files, righting
from weatherlap.papers.ordersheets import KEYS, sheet_words, step_drawings
from weatherlap.papers.paper import Paper

Table = dict[str, Any]
STEP_IN = 3.4
_DOWN = (
    Column("No.", numeric=True, share=0.4),
    Column("Piece", share=2.0),
    Column("How"),
    Column("What becomes of it", share=1.3),
    Column("Why", share=2.2),
)
_RUN = (
    Column("Piece", share=2.0),
    *(Column(head, numeric=True) for head in ("Begins", "Ends")),
    Column("Lap"),
    *(Column(head, numeric=True) for head in ("Length", "Bites", "Needs")),
)


def _is_changed(job: Job) -> bool:
    return bool(job.change)


BINDER = Binder("putting-right", "Putting right", _is_changed, "weatherlap.papers.orderleaf")


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """Putting right: the leaf, the figures, the sheets and the small sections."""
    missing: list[str] = []
    on_the_way("Ordering the work")
    made = righting(job, own, missing)
    if made is None:
        return Bound((no_order(job, missing),), {"ok": False, "problems": missing})
    drawings = dict(step_drawings(made.ordered))
    words = sheet_words(made.ordered, made.nights, made.runs, set(drawings), made.whose, missing)
    on_the_way("Typesetting the sheets")
    leaf = Leaf(
        name="putting-right-list",
        kind="Putting right",
        job_title=job.job.title,
        about=job.job,
        lead=(_lead(words),),
        parts=tuple(_parts(words, drawings)),
        cautions=OPENING_UP,
        sources=KEYS,
    )
    return Bound((leaf,), made.table(missing), order_files(job, own=own, paper=Paper.LETTER))


def _lead(words: Table) -> str:
    down, back, nights = (len(words[k]) for k in ("down", "back", "nights"))
    evenings = f", over {nights} evenings" if nights > 1 else ""
    return f"{down} pieces are in the way of the work, {back} go on again or new{evenings}."


def _parts(words: Table, drawings: Mapping[str, str]) -> Iterator[Part]:
    if words["missing"]:
        yield Part("Not worked out", (Box("Not worked out", tuple(words["missing"])),))
    yield _down(words)
    if words["left_in"]:
        yield Part("Found bad, and no change names it", (Items(tuple(words["left_in"])),))
    yield _back(words, drawings)
    for run in words["runs"]:
        note = "Lay each piece to its own mark from the run's start, not from the piece before."
        grid = Grid(_RUN[: len(run["heads"])], tuple(tuple(row) for row in run["rows"]))
        warnings = tuple(Words(text, strong=True) for text in run["warnings"])
        yield Part(f"Run: {run['title']}", (*warnings, grid), note=note)
    if words["nights"]:
        blocks = tuple(b for night in words["nights"] for b in _night(night))
        yield Part("The nights", blocks, note=words["night_note"])


def _down(words: Table) -> Part:
    keys = ("number", "title", "how", "fate", "why")
    rows = tuple(tuple(row[k] for k in keys) for row in words["down"])
    first: Block = Grid(_DOWN, rows) if rows else Words("Nothing has to come off.")
    note = "From the outside in. The number goes on the back of the piece."
    return Part("Take-down", (first, Items(tuple(words["practice"]))), note=note)


def _back(words: Table, drawings: Mapping[str, str]) -> Part:
    blocks: list[Block] = []
    if words["traps"]:
        blocks.append(Box("Easily done in the wrong order", tuple(words["traps"])))
    for step in words["back"]:
        blocks.append(Words(f"{step['number']}. {step['title']}", strong=True))
        blocks.append(Words(f"{step['trade']}, {step['fate']}. {step['over']}".strip()))
        if step["then"]:
            blocks.append(Words(step["then"], strong=True))
        if step["file"]:
            name = step["file"].removesuffix(".svg")
            title = f"section at step {step['number']}"
            blocks.append(Drawn(name, title, drawings[step["file"]], width_in=STEP_IN))
    note = "In each section the piece is black, the inside on the left; numbers are steps."
    return Part("Put-back", tuple(blocks), note=note)


def _night(night: Table) -> Iterator[Block]:
    yield Words(f"Evening of day {night['day']}, {night['hours']}", strong=True)
    for head, key in (("Comes off", "off"), ("Is laid", "on")):
        if night[key]:
            yield Words(f"{head}: {night[key]}")
    yield Words(night["wet"])
    if night["covers"]:
        yield Items(tuple(night["covers"]))
    if night["left"]:
        yield Words(night["left"])
