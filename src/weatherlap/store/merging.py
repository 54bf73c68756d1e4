"""Two people's changes to one job file brought together, record by record."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any, get_args, get_origin

from weatherlap.errors import JobError, WeatherlapError
from weatherlap.job.editing import AddItem, Change, Remove, SetValue, edit
from weatherlap.job.model import Job, Record
from weatherlap.job.reading import read_job, tables_of
from weatherlap.job.writing import value_text

Row = Mapping[str, Any]
_NONE = object()


def _has_id(record: type[Record]) -> bool:
    own = record.model_fields.get("id")
    return own is not None and own.is_required()


_ROWS = {
    name: get_args(info.annotation)[0]
    for name, info in Job.model_fields.items()
    if get_origin(info.annotation) is tuple
}
WITH_ID = tuple(name for name, record in _ROWS.items() if _has_id(record))
WITHOUT_ID = tuple(name for name in _ROWS if name not in WITH_ID)
ALONE = tuple(name for name in Job.model_fields if name not in _ROWS)


class Side(StrEnum):
    """Whose of two values is kept."""

    MINE = "mine"
    THEIRS = "theirs"


@dataclass(frozen=True, slots=True)
class Conflict:
    """One thing that two people changed in different ways; values as the file writes them.

    ``key`` names it in ``choices``; an empty value means that it is not there.
    """

    key: str
    where: str
    before: str
    theirs: str
    mine: str


class Clash(WeatherlapError):
    """Two people changed the same thing; nothing was kept, and each conflict is named."""

    def __init__(self, conflicts: Sequence[Conflict]) -> None:
        self.conflicts = tuple(conflicts)
        places = ", ".join(c.where for c in conflicts[:5])
        super().__init__(f"Changed by two people at once: {places}. Choose one of each.")


@dataclass(frozen=True, slots=True)
class _Three:
    """The same thing in the three texts; ``_NONE`` where it is missing."""

    base: Any
    theirs: Any
    mine: Any

    @property
    def is_mine(self) -> bool:
        """Whether mine differs from the base and from theirs."""
        return bool(self.mine != self.base and self.mine != self.theirs)

    @property
    def are_tables(self) -> bool:
        return all(isinstance(value, Mapping) for value in (self.base, self.theirs, self.mine))

    @property
    def clashes(self) -> bool:
        return self.is_mine and bool(self.theirs != self.base)


def merged(base: str, theirs: str, mine: str, choices: Mapping[str, Side] | None = None) -> str:
    """Their text with my changes since the base, letter by letter where neither changed it.

    Parameters
    ----------
    base, theirs, mine : str
        The job file that both began from, as it stands now, and as I want it.
    choices : mapping, optional
        Whose value is kept, for each conflict's key.

    Raises
    ------
    Clash
        If both changed one thing in different ways and no choice is made, or the two together
        are no whole job.
    """
    if theirs == base:
        return mine
    rows = tables_of(base), tables_of(theirs), tables_of(mine)
    steps = [*_steps(*rows), *_order_steps(*rows)]
    chosen = choices or {}
    open_ones = [c for _, c in steps if c is not None and c.key not in chosen]
    if open_ones:
        raise Clash(open_ones)
    kept = [s for s, c in steps if c is None or chosen[c.key] is Side.MINE]
    text = edit(theirs, [change for step in kept if isinstance(step, list) for change in step])
    for step in kept:
        if isinstance(step, _Order):
            text = edit(text, step.moves(tables_of(text)))
    try:
        read_job(text)
    except JobError as error:
        found = "; ".join(f"{p.where}: {p.found}" for p in error.problems[:3])
        raise Clash([Conflict("whole", "the job as a whole", "", theirs="", mine=found)]) from None
    return text


@dataclass(frozen=True, slots=True)
class _Order:
    """Records of a table in the order in which I put them."""

    table: str
    ids: list[str]

    def moves(self, data: Row) -> list[Change]:
        rows = _by_id(data[self.table])
        moves: list[Change] = []
        for own in self.ids:
            moves += [Remove((self.table, own)), AddItem(self.table, rows[own])]
        return moves


_Step = tuple[list[Change], Conflict | None]


def _steps(base: Row, theirs: Row, mine: Row) -> Iterator[_Step]:
    for name in ALONE:
        rows = (base.get(name, {}), theirs.get(name, {}), mine.get(name, {}))
        yield from _key_steps((name,), *rows)
    for name in WITH_ID:
        yield from _record_steps(name, *(_by_id(t.get(name, [])) for t in (base, theirs, mine)))
    for name in WITHOUT_ID:
        yield from _list_steps(name, *(list(t.get(name, [])) for t in (base, theirs, mine)))


def _by_id(rows: Sequence[Row]) -> dict[str, Row]:
    return {row["id"]: row for row in rows}


def _key_steps(path: tuple[str, ...], base: Row, theirs: Row, mine: Row) -> Iterator[_Step]:
    """What I changed inside one table, key by key."""
    for key in dict.fromkeys([*base, *theirs, *mine]):
        three = _Three(*(row.get(key, _NONE) for row in (base, theirs, mine)))
        if not three.is_mine:
            continue
        at = (*path, key)
        if path[0] in ALONE and three.are_tables:
            yield from _key_steps(at, three.base, three.theirs, three.mine)
            continue
        change: Change = Remove(at) if three.mine is _NONE else SetValue(at, three.mine)
        yield [change], _conflict(at, three) if three.clashes else None


def _record_steps(
    table: str, base: Mapping[str, Row], theirs: Mapping[str, Row], mine: Mapping[str, Row]
) -> Iterator[_Step]:
    """What I did to records that have an id: changed, taken out, put in, moved."""
    for own in dict.fromkeys([*base, *mine]):
        three = _Three(*(rows.get(own, _NONE) for rows in (base, theirs, mine)))
        if three.base is not _NONE and three.theirs is not _NONE and three.mine is not _NONE:
            yield from _key_steps((table, own), three.base, three.theirs, three.mine)
        elif three.is_mine:
            clash = _conflict((table, own), three) if three.clashes else None
            yield _whole(table, own, three, _next(list(mine), own, theirs)), clash


def _whole(table: str, own: str, three: _Three, before: str | None) -> list[Change]:
    """The steps that make a whole record as I have it."""
    gone: list[Change] = [] if three.theirs is _NONE else [Remove((table, own))]
    return gone if three.mine is _NONE else [*gone, AddItem(table, three.mine, before)]


def _next(order: list[str], own: str, theirs: Mapping[str, Row]) -> str | None:
    """The record before which mine stands, of those that are there."""
    return next((o for o in order[order.index(own) + 1 :] if o in theirs), None) if (
        own in order
    ) else None  # fmt: skip


def _order_steps(base: Row, theirs: Row, mine: Row) -> Iterator[tuple[_Order, Conflict | None]]:
    """New orders of the records that all three have."""
    for table in WITH_ID:
        ids = [[row["id"] for row in rows.get(table, [])] for rows in (base, theirs, mine)]
        common = set.intersection(*(set(own) for own in ids))
        three = _Three(*([o for o in own if o in common] for own in ids))
        if three.is_mine:
            clash = _conflict((table, "order"), three) if three.clashes else None
            yield _Order(table, three.mine), clash


def _list_steps(table: str, base: list[Row], theirs: list[Row], mine: list[Row]) -> Iterator[_Step]:
    """Rows without an id that I took out or put in; no two of them can clash."""
    gone, new = _less(base, mine), _less(mine, base)
    numbers: list[int] = []
    for row in gone:
        found = [n for n, other in enumerate(theirs) if other == row and n not in numbers]
        numbers += found[:1]
    yield [Remove((table, n)) for n in sorted(numbers, reverse=True)], None
    yield [AddItem(table, row) for row in new], None


def _less(rows: list[Row], others: list[Row]) -> list[Row]:
    """Rows less those that stand among the others, each once."""
    left = list(others)
    kept = []
    for row in rows:
        if row in left:
            left.remove(row)
        else:
            kept.append(row)
    return kept


def _conflict(path: tuple[str, ...], three: _Three) -> Conflict:
    table, rest = path[0], path[1:]
    where = f"{table} {rest[0]!r}" if rest and table in WITH_ID else table
    if len(path) > 2 or table in ALONE:
        where = f"{where}, {path[-1]}"
    values = (three.base, three.theirs, three.mine)
    return Conflict("/".join(path), where, *(_shown(v) for v in values))


def _shown(value: Any) -> str:
    return "" if value is _NONE else value_text(value)
