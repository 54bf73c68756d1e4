"""Tasks at the corner itself: what comes off and what is laid, each piece in its own group."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import reduce

from weatherlap.building.corner import Corner, Piece
from weatherlap.job.model import Job, Sheet
from weatherlap.order.days import parts_of
from weatherlap.order.hours import CrewHours, area_ft2, hours_off, hours_on
from weatherlap.order.putback import trade_of
from weatherlap.order.takedown import covers_of, height_of, main_face
from weatherlap.order.tasks import NO_HOURS, After, Hours, Kind, Per, Task
from weatherlap.run.ordering import Ordered
from weatherlap.sources.catalogue import entry

LONG_IN = 96.0
"""A piece this long wants two pairs of hands. Common practice, no source. [in]"""
FALL_IN = 72.0
"""Height above which work may not go on without a guard against falling. [in]"""
DUSTY = frozenset({"concrete", "brick", "stucco", "fibre-cement", "paving"})
MOST_NAMED = 2
LADDERS, FALLS, LEAD, SILICA, POWER, LOAD = "P-001", "P-002", "P-003", "P-004", "P-005", "P-008"
WEATHER = (Sheet.SHEDS, Sheet.RESISTS)


@dataclass(frozen=True, slots=True)
class _Group:
    """Pieces that are handled one after another without a change of trade or place."""

    corner: Corner
    pieces: tuple[int, ...]
    trade: str
    face: int
    part: str

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(self.corner.pieces[p].id for p in self.pieces)


def corner_tasks(ordered: Ordered, table: CrewHours) -> tuple[Task, ...]:
    """Take-down and put-back as tasks, in the order of the work."""
    found, repaired = ordered.found, ordered.repaired
    off = [r.piece for r in ordered.down.removals]
    on = [s.piece for s in ordered.back.layings]
    names = {found.pieces[p].id for p in off} | {repaired.pieces[p].id for p in on}
    part = _part_names(found, repaired, parts_of(found, repaired, names))
    bent = ordered.down.bent
    downs = _grouped(found, off, part, joins=bent)
    backs = _grouped(repaired, on, part, joins=frozenset())
    numbers = _change_numbers(ordered.job)
    first = [_down_task(g, ordered, table, numbers) for g in downs]
    then = [_back_task(g, ordered, table, numbers) for g in backs]
    first = _named(first)
    then = _named(then)
    return tuple(_linked(ordered, (downs, first), (backs, then)))


def _part_names(found: Corner, repaired: Corner, part: Mapping[str, str]) -> dict[str, str]:
    """Parts by a name that people can use: the face on which most of it lies."""
    faces: dict[str, list[str]] = {}
    for name, head in part.items():
        corner = found if name in found.piece_named else repaired
        face = main_face(corner, corner.piece_named[name].index)
        faces.setdefault(head, []).append(corner.faces[face].title if face >= 0 else "gutter")
    titles: dict[str, str] = {}
    for head, rows in sorted(faces.items()):
        usual = max(sorted(set(rows)), key=rows.count)
        again = sum(t == usual or t.startswith(f"{usual} (") for t in titles.values())
        titles[head] = f"{usual} ({again + 1})" if again else usual
    return {name: titles[head] for name, head in part.items()}


def _grouped(
    corner: Corner, order: Sequence[int], part: Mapping[str, str], *, joins: frozenset[int]
) -> list[_Group]:
    """Runs of pieces of one trade on one face of one part; what joins goes with the one before."""
    groups: list[_Group] = []
    for p in order:
        own = (trade_of(corner, p), main_face(corner, p), part[corner.pieces[p].id])
        last = groups[-1] if groups else None
        if last is not None and (p in joins or own == (last.trade, last.face, last.part)):
            groups[-1] = replace(last, pieces=(*last.pieces, p))
        else:
            groups.append(_Group(corner, (p,), *own))
    return groups


def _change_numbers(job: Job) -> dict[str, tuple[int, ...]]:
    numbers: dict[str, tuple[int, ...]] = {}
    for number, change in enumerate(job.change, start=1):
        for name in {change.subject, change.over or ""} - {""}:
            numbers[name] = (*numbers.get(name, ()), number)
    return numbers


def titles_in_short(titles: Sequence[str]) -> str:
    """Names of pieces, the first few of them, then how many more."""
    named = [f"the {t}" for t in titles[:MOST_NAMED]]
    more = len(titles) - MOST_NAMED
    if more == 1:
        named.append(f"the {titles[-1]}")
    elif more > 1:
        named.append(f"{more} more")
    return named[0] if len(named) == 1 else f"{', '.join(named[:-1])} and {named[-1]}"


def _titles(group: _Group) -> str:
    return titles_in_short([group.corner.pieces[p].title for p in group.pieces])


def _down_task(
    group: _Group, ordered: Ordered, table: CrewHours, numbers: Mapping[str, tuple[int, ...]]
) -> Task:
    bent = ordered.down.bent
    real = [p for p in group.pieces if p not in bent]
    framing = group.trade == "framing"
    verb = "Take out" if framing else "Take off" if real else "Bend up and hold"
    return Task(
        id=_id("out" if framing else "off", group),
        text=f"{verb} {_titles(group)}{_on_face(group)}",
        kind=Kind.STRUCTURE if framing else Kind.TAKE_DOWN,
        trade=group.trade,
        hours=_hours(real, lambda p: hours_off(group.corner, p, table), table),
        skills=(group.trade,),
        crew=_crew(group),
        quantity=float(len(group.pieces)),
        per=Per.PIECE,
        rate=f"{group.trade}.off",
        needs_dry=True,
        opens=group.part if _holds_weather(group) else "",
        pieces=group.ids,
        members=group.ids if framing else (),
        changes=_numbers_of(group, numbers),
        cautions=cautions_of(group.corner, group.pieces, group.trade),
    )


def _back_task(
    group: _Group, ordered: Ordered, table: CrewHours, numbers: Mapping[str, tuple[int, ...]]
) -> Task:
    framing = group.trade == "framing"
    old = {s.piece for s in ordered.back.layings if s.fate is not None}
    verb = "Put in" if framing else "Put back" if set(group.pieces) <= old else "Lay"
    kind = Kind.STRUCTURE if framing else Kind.PUT_BACK
    return Task(
        id=_id("in" if framing else "on", group),
        text=f"{verb} {_titles(group)}{_on_face(group)}",
        kind=Kind.PATCHING if group.trade == "lining" else kind,
        trade=group.trade,
        hours=_hours(group.pieces, lambda p: hours_on(group.corner, p, table), table),
        skills=(group.trade,),
        crew=_crew(group),
        quantity=round(sum(area_ft2(group.corner, p) for p in group.pieces), 2),
        per=Per.FT2,
        rate=f"{group.trade}.on",
        needs_dry=group.trade != "lining",
        closes=group.part if _holds_weather(group) else "",
        pieces=group.ids,
        members=group.ids if framing else (),
        changes=_numbers_of(group, numbers),
        cautions=cautions_of(group.corner, group.pieces, group.trade),
    )


def _hours(pieces: Iterable[int], of: Callable[[int], float], table: CrewHours) -> Hours:
    rows = (table.spread.around(of(p)) for p in pieces)
    return reduce(Hours.plus, rows, NO_HOURS)


def _id(word: str, group: _Group) -> str:
    face = group.corner.faces[group.face].id if group.face >= 0 else "space"
    trade = group.trade.replace(" ", "-")
    return f"{word}-{face}" if trade == "framing" else f"{word}-{face}-{trade}"


def _on_face(group: _Group) -> str:
    if group.face < 0 or group.trade == "framing":
        return ""
    return f" ({group.corner.faces[group.face].title})"


def _named(tasks: list[Task]) -> list[Task]:
    """Ids that stand twice get a number."""
    seen: dict[str, int] = {}
    rows = []
    for task in tasks:
        seen[task.id] = seen.get(task.id, 0) + 1
        number = seen[task.id]
        rows.append(replace(task, id=f"{task.id}-{number}") if number > 1 else task)
    return rows


def _holds_weather(group: _Group) -> bool:
    return any(group.corner.pieces[p].sheet in WEATHER for p in group.pieces)


def _numbers_of(group: _Group, numbers: Mapping[str, tuple[int, ...]]) -> tuple[int, ...]:
    return tuple(sorted({n for name in group.ids for n in numbers.get(name, ())}))


def _crew(group: _Group) -> int:
    """Two for what is long or carries load, else one."""
    long = any(_is_long(group.corner, p) for p in group.pieces)
    return 2 if long or group.trade == "framing" else 1


def _is_long(corner: Corner, piece: int) -> bool:
    return extent_in(corner, piece) >= LONG_IN


def extent_in(corner: Corner, piece: int) -> float:
    """The longer side of the longest panel of a piece. [in]"""
    sizes = [0.0]
    for p in corner.pieces[piece].panels:
        u0, v0, u1, v1 = corner.panels[p].polygon.bounds
        sizes.append(max(u1 - u0, v1 - v0))
    return max(sizes)


def material_of(piece: Piece) -> str:
    """What a piece is made of by the catalogue; "" where that is not known."""
    return entry(piece.record.what).material if piece.record.what else ""


def cautions_of(corner: Corner, pieces: Sequence[int], trade: str) -> tuple[str, ...]:
    """Keys of the cautions that work at some pieces calls for."""
    keys = []
    if max(height_of(corner, p) for p in pieces) >= FALL_IN:
        keys += [LADDERS, FALLS]
    if any(material_of(corner.pieces[p]) in DUSTY for p in pieces):
        keys.append(SILICA)
    if trade in ("siding", "sheathing", "lining"):
        keys.append(POWER)
    if trade == "framing":
        keys.append(LOAD)
    return tuple(keys)


def _linked(
    ordered: Ordered,
    downs: tuple[list[_Group], list[Task]],
    backs: tuple[list[_Group], list[Task]],
) -> Iterator[Task]:
    """The tasks with what each waits for: covers off first, the inside laid first."""
    covers = covers_of(ordered.found)
    place = {r.piece: r.number for r in ordered.down.removals}
    group_of = {p: k for k, g in enumerate(downs[0]) for p in g.pieces}
    for k, (group, task) in enumerate(zip(*downs, strict=True)):
        before = {
            group_of[c]
            for p in group.pieces
            for c in covers[p]
            if c in place and place[c] < place[p] and group_of[c] != k
        }
        yield replace(task, after=tuple(After(downs[1][b].id) for b in sorted(before)))
    laid = {s.piece: s for s in ordered.back.layings}
    back_of = {p: k for k, g in enumerate(backs[0]) for p in g.pieces}
    for k, (group, task) in enumerate(zip(*backs, strict=True)):
        inner = {
            back_of[b]
            for p in group.pieces
            for b in laid[p].after
            if laid[b].number < laid[p].number and back_of[b] != k
        }
        opened = [t.id for g, t in zip(*downs, strict=True) if g.part == group.part]
        off = opened or [t.id for t in downs[1]]
        names = [*off, *(backs[1][b].id for b in sorted(inner))]
        yield replace(task, after=tuple(After(name) for name in names))
