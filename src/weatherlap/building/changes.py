"""As repaired: the job with its changes made, never typed again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from weatherlap.building.changeplaces import behind_key, taken_by, written
from weatherlap.errors import JobError, Problem
from weatherlap.job.lines import Path
from weatherlap.job.model import Change, Do, Edge, Job, PanelRecord, PieceRecord, Point, Side
from weatherlap.job.placing import placed
from weatherlap.job.problems import near
from weatherlap.job.reading import faults_in


@dataclass(slots=True)
class _Pieces:
    """Pieces in stack order while changes are made; ``fates`` says what became of each.

    ``by`` is the last change about each, by its number from 0.
    """

    rows: list[PieceRecord]
    fates: dict[str, str] = field(default_factory=dict)
    by: dict[str, int] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    def at(self, piece: str) -> int | None:
        return next((i for i, p in enumerate(self.rows) if p.id == piece), None)

    def put(self, i: int, **new: object) -> None:
        self.rows[i] = self.rows[i].model_copy(update=new)


class _ImpossibleError(Exception):
    """A change that cannot be made: what was found, what would be right, what to do, which key."""

    def __init__(self, found: str, want: str, do: str = "", *, key: Path = ("piece",)) -> None:
        self.found, self.want, self.do, self.key = found, want, do, key
        super().__init__(found)


def as_repaired(job: Job, changes: Sequence[Change] | None = None) -> Job:
    """The job after its changes (or after others), checked like a job that is read.

    Raises
    ------
    JobError
        If changes name pieces that are not there, contradict each other, leave a piece behind
        one that was taken away, or make a piece that does not fit. All problems at once, each with
        the line and the key that it comes from.
    """
    made = job.change if changes is None else changes
    repaired = changed(job, made)
    problems = [
        Problem("as repaired", f.found, f.want, f.do, key=written(f.path, repaired, made))
        for f in faults_in(repaired)
    ]
    if problems:
        raise JobError(_placed(job, made, problems))
    return repaired


def changed(job: Job, changes: Sequence[Change]) -> Job:
    """The job after changes, without looking whether each piece still fits.

    Raises
    ------
    JobError
        If changes name pieces that are not there, contradict each other, or leave a piece
        behind one that was taken away.
    """
    state = _Pieces(list(job.piece))
    for number, change in enumerate(changes):
        try:
            _make(state, change)
        except _ImpossibleError as error:
            where = f"change {number + 1} ({change.do.value} {change.subject!r})"
            key = ("change", number, *error.key)
            state.problems.append(Problem(where, error.found, error.want, error.do, key=key))
        else:
            state.by[change.subject] = number
    state.problems += _left_behind(state, changes)
    if state.problems:
        raise JobError(_placed(job, changes, state.problems))
    return job.model_copy(update={"piece": tuple(state.rows), "change": ()})


def _placed(job: Job, changes: Sequence[Change], problems: list[Problem]) -> Sequence[Problem]:
    """The problems with their lines, where the changes are those that the job's file holds."""
    return placed(job, problems) if tuple(changes) == job.change else problems


def _left_behind(state: _Pieces, changes: Sequence[Change]) -> list[Problem]:
    here = {p.id for p in state.rows}
    return [
        Problem(
            where=f"piece {p.id!r} as repaired",
            found=f"it still lies behind {b!r}, which {taken_by(state.by, changes, b)}",
            want="a piece that is there",
            do=f"Replace {p.id!r}, or take {b!r} out of its `behind`.",
            key=behind_key(changes, p, b),
        )
        for p in state.rows
        for b in p.behind
        if b not in here
    ]


def _make(state: _Pieces, change: Change) -> None:
    if change.do is Do.ADD:
        _add(state, change)
        return
    i = None if change.piece is None else state.at(change.piece)
    if i is None:
        if change.piece in state.fates:
            raise _ImpossibleError(
                f"{change.piece!r} was taken away before",
                "a piece that is still there",
                "Take one of the two changes out.",
            )
        names = [p.id for p in state.rows]
        raise _ImpossibleError(
            f"there is no piece {change.piece!r}",
            "the id of a piece that is there",
            near(change.piece, names),
        )
    _MAKE[change.do](change, state, i)


def _add(state: _Pieces, change: Change) -> None:
    if change.new is None:
        raise _ImpossibleError("no new piece is given", "the piece in `new`", key=("new",))
    if state.at(change.new.id) is not None:
        raise _ImpossibleError(
            f"there is a piece {change.new.id!r} already",
            "an id that no piece has",
            "Give the new piece another id, or use `replace`.",
            key=("new", "id"),
        )
    if change.after is None:
        state.rows.append(change.new)
        return
    i = state.at(change.after)
    if i is None:
        raise _ImpossibleError(
            f"`after` names {change.after!r}, which is not there",
            "the id of a piece that is there",
            near(change.after, [p.id for p in state.rows]),
            key=("after",),
        )
    state.rows.insert(i + 1, change.new)


def _take_away(change: Change, state: _Pieces, i: int) -> None:
    _not_kept(state, change.subject, "taken away")
    state.fates[change.subject] = "taken away"
    del state.rows[i]


def _not_kept(state: _Pieces, piece: str, now: str) -> None:
    if state.fates.get(piece) == "reused":
        raise _ImpossibleError(
            f"{piece!r} is to be reused and is {now} as well",
            "one or the other",
            "Take the `reuse` out, or this change.",
        )


def _replace(change: Change, state: _Pieces, i: int) -> None:
    _not_kept(state, change.subject, "replaced")
    if state.fates.get(change.subject) == "replaced":
        raise _ImpossibleError(
            f"{change.subject!r} is replaced twice",
            "one replacement",
            "Take one of the two changes out.",
        )
    state.fates[change.subject] = "replaced"
    old = state.rows[i]
    new: dict[str, object] = {}
    if change.what is not None:
        new |= {"what": change.what, "sheet": change.sheet, "passes": None}
    elif change.sheet is not None:
        new["sheet"] = change.sheet
    if change.passes is not None:
        new["passes"] = change.passes
    if change.title:
        new["title"] = change.title
    if change.on:
        new["on"] = change.on
    state.rows[i] = old.model_copy(update=new)


def lies_outside(rows: Sequence[PieceRecord], a: int, b: int) -> bool:
    """Whether piece number ``a`` lies outside number ``b`` where they lap."""
    if rows[b].id in rows[a].behind:
        return False
    return rows[a].id in rows[b].behind or a > b


def _turn(change: Change, state: _Pieces, i: int) -> None:
    j = None if change.over is None else state.at(change.over)
    if j is None or j == i:
        names = [p.id for p in state.rows if p.id != change.piece]
        gone = "which was taken away before" if change.over in state.fates else "which is not there"
        raise _ImpossibleError(
            f"`over` names {change.over!r}, {gone if j is None else 'the same piece'}",
            "another piece that is there",
            near(change.over, names) if j is None else "",
            key=("over",),
        )
    if lies_outside(state.rows, i, j):
        raise _ImpossibleError(
            f"{change.piece!r} lies over {change.over!r} already",
            "a lap that is the other way round",
            "Take the change out, or swap `piece` and `over`.",
            key=("over",),
        )
    mine, other = state.rows[i], state.rows[j]
    if other.id in mine.behind:
        state.put(i, behind=tuple(b for b in mine.behind if b != other.id))
    if not lies_outside(state.rows, i, j):
        state.put(j, behind=(*other.behind, mine.id))


def _moved(panel: PanelRecord, side: Side, by: float) -> PanelRecord:
    if panel.rect is not None:
        left, bottom, right, top = panel.rect
        rect = {
            Side.TOP: (left, bottom, right, top + by),
            Side.BOTTOM: (left, bottom - by, right, top),
            Side.LEFT: (left - by, bottom, right, top),
            Side.RIGHT: (left, bottom, right + by, top),
        }[side]
        if rect[0] >= rect[2] or rect[1] >= rect[3]:
            raise _ImpossibleError(
                "nothing would be left of the panel", "a shorter `by`", key=("by",)
            )
        return panel.model_copy(update={"rect": rect})
    assert panel.outline is not None
    return panel.model_copy(update={"outline": _moved_outline(panel.outline, side, by)})


def _moved_outline(outline: tuple[Point, ...], side: Side, by: float) -> tuple[Point, ...]:
    axis = 1 if side in (Side.TOP, Side.BOTTOM) else 0
    sign = 1.0 if side in (Side.TOP, Side.RIGHT) else -1.0
    edge = max(sign * p[axis] for p in outline)
    middle = [p for p in outline if sign * p[axis] > edge - 1e-6]
    return tuple(
        (p[0] + sign * by * (axis == 0), p[1] + sign * by * (axis == 1)) if p in middle else p
        for p in outline
    )


def _extend(change: Change, state: _Pieces, i: int) -> None:
    if change.side is None or change.by is None:
        raise _ImpossibleError("`side` or `by` is missing", "both", key=("by",))
    panels = state.rows[i].on
    mine = [k for k, p in enumerate(panels) if p.face == change.face]
    if not mine:
        raise _ImpossibleError(
            f"{change.piece!r} has no panel on {change.face!r}",
            f"a face it lies on ({', '.join(dict.fromkeys(p.face for p in panels))})",
            key=("face",),
        )
    new = list(panels)
    for k in mine:
        new[k] = _moved(panels[k], change.side, change.by)
    state.put(i, on=tuple(new))


def _edge(change: Change) -> Edge:
    if change.edge is None:
        raise _ImpossibleError("`edge` is missing", "an edge", key=("edge",))
    return change.edge


def _unseal(change: Change, state: _Pieces, i: int) -> None:
    sealed, edge = state.rows[i].sealed, _edge(change)
    if edge not in sealed:
        raise _ImpossibleError(
            f"the {edge.value} of {change.piece!r} is not sealed",
            "an edge that is sealed",
            "Take the change out, or write `sealed` at the piece as found.",
            key=("edge",),
        )
    state.put(i, sealed=tuple(e for e in sealed if e is not edge))


def _seal(change: Change, state: _Pieces, i: int) -> None:
    sealed, edge = state.rows[i].sealed, _edge(change)
    if edge in sealed:
        raise _ImpossibleError(
            f"the {edge.value} of {change.piece!r} is sealed already",
            "an open edge",
            "Take the change out.",
            key=("edge",),
        )
    state.put(i, sealed=(*sealed, edge))


def _drip(change: Change, state: _Pieces, i: int) -> None:
    if state.rows[i].drip:
        raise _ImpossibleError(
            f"{change.piece!r} has a drip edge already",
            "a piece without one",
            "Take the change out.",
        )
    state.put(i, drip=True)


def _open_end(change: Change, state: _Pieces, i: int) -> None:
    panels = list(state.rows[i].on)
    for k, panel in enumerate(panels):
        trough = panel.trough
        if panel.face == change.face and trough is not None and change.end in trough.closed:
            closed = tuple(e for e in trough.closed if e is not change.end)
            opened = trough.model_copy(update={"closed": closed})
            panels[k] = panel.model_copy(update={"trough": opened})
            state.put(i, on=tuple(panels))
            return
    raise _ImpossibleError(
        f"no trough of {change.piece!r} on {change.face!r} is dammed at its {change.end}",
        "a dammed end",
        key=("end",),
    )


def _reuse(change: Change, state: _Pieces, i: int) -> None:
    del i
    if state.fates.get(change.subject) == "replaced":
        raise _ImpossibleError(
            f"{change.subject!r} is replaced as well",
            "one or the other",
            "Take one of the two changes out.",
        )
    state.fates[change.subject] = "reused"


_MAKE: dict[Do, Callable[[Change, _Pieces, int], None]] = {
    Do.TAKE_AWAY: _take_away,
    Do.REPLACE: _replace,
    Do.TURN: _turn,
    Do.EXTEND: _extend,
    Do.UNSEAL: _unseal,
    Do.SEAL: _seal,
    Do.DRIP: _drip,
    Do.OPEN_END: _open_end,
    Do.REUSE: _reuse,
}
