"""What is changed where it is: a piece that stays on is cut open, sealed, bent or trimmed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from weatherlap.job.model import Change, Do
from weatherlap.order.hours import CrewHours
from weatherlap.order.putback import trade_of
from weatherlap.order.takedown import covers_of, main_face
from weatherlap.order.tasks import After, Kind, Per, Task
from weatherlap.run.changewords import change_words
from weatherlap.run.cornertasks import cautions_of, extent_in
from weatherlap.run.ordering import Ordered
from weatherlap.run.places import capital
from weatherlap.run.worktasks import waiting, work_task

IN_PER_FT = 12.0
_ROWS = {Do.UNSEAL: "cutting-open", Do.SEAL: "sealing", Do.DRIP: "drip"}
USUAL_ROW = "in-place"


def with_in_place(rows: Sequence[Task], ordered: Ordered, table: CrewHours) -> list[Task]:
    """The tasks with one more for each change that none of them makes, nor one of the user's own.

    It waits for what is taken off over the piece, and what is laid over it waits for it.
    """
    done = {number for task in rows for number in task.changes}
    by_hand = {name for record in ordered.job.task for name in record.pieces}
    tasks = list(rows)
    for number, change in enumerate(ordered.job.change, start=1):
        name = change.subject
        if number in done or name in by_hand or name not in ordered.found.piece_named:
            continue
        task = _task(number, change, ordered, table)
        over = _covering(ordered, name)
        first = [t.id for t in rows if t.kind is Kind.TAKE_DOWN and set(t.pieces) & over]
        then = [t.id for t in rows if t.kind is Kind.PUT_BACK and set(t.pieces) & over]
        tasks = waiting(tasks, then, [After(task.id)])
        tasks.append(replace(task, after=tuple(After(f) for f in first)))
    return tasks


def _task(number: int, change: Change, ordered: Ordered, table: CrewHours) -> Task:
    found = ordered.found
    piece = found.piece_named[change.subject]
    trade, face = trade_of(found, piece.index), main_face(found, piece.index)
    row = _ROWS.get(change.do, USUAL_ROW)
    by_foot = table.work[row].per is Per.FT if row in table.work else False
    feet = max(round(extent_in(found, piece.index) / IN_PER_FT, 1), 1.0)
    where = f" ({found.faces[face].title})" if face >= 0 else ""
    task = work_task(
        table, row, name=f"change-{number}", kind=Kind.PUT_BACK,
        text=f"{capital(change_words(found, ordered.repaired, change))}{where}",
        quantity=feet if by_foot else 1.0,
    )  # fmt: skip
    return replace(
        task,
        trade=trade,
        skills=(trade,),
        needs_dry=change.do is Do.SEAL,
        pieces=(change.subject,),
        changes=(number,),
        cautions=cautions_of(found, (piece.index,), trade),
    )


def _covering(ordered: Ordered, name: str) -> set[str]:
    """Pieces over a piece, as found or as repaired."""
    names: set[str] = set()
    for corner in (ordered.found, ordered.repaired):
        if name in corner.piece_named:
            over = covers_of(corner)[corner.piece_named[name].index]
            names |= {corner.pieces[c].id for c in over}
    return names
