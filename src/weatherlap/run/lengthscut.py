"""Lengths to cut of a job, from its surveyed levels."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.job.loadrecords import FitRecord, LevelRecord
from weatherlap.job.model import Job
from weatherlap.run.framingmembers import NEW, Surveyed
from weatherlap.structure.lengths import (
    Level,
    PostStack,
    beam_cut_in,
    highest_line,
    jack_stud_in,
    post_cut,
    seat_cut,
    shims,
)
from weatherlap.structure.model import Member
from weatherlap.structure.results import Figured, Value
from weatherlap.structure.shrinkage import set_high, shrinkage
from weatherlap.units import tape


@dataclass(frozen=True, slots=True)
class Cut:
    """One thing to cut or set: its name, its lengths in words, how they came about, a note."""

    id: str
    what: str
    words: str
    length_in: float | None
    figured: tuple[Figured, ...]
    note: str = ""


def cuts_of(job: Job, surveyed: Surveyed) -> tuple[Cut, ...]:
    """Every length to cut that the job asks for.

    Raises
    ------
    InputError
        A stack that does not fit, or a level or member that is not there.
    """
    levels = {record.id: _level(record) for record in job.level}
    members = {m.id: m for m in surveyed.members}
    make = {
        "post": _post, "shims": _shims, "beam": _beam, "jack stud": _jack_stud, "seat": _seat,
        "shrinkage": _shrinkage,
    }  # fmt: skip
    return tuple(make[fit.what](fit, levels, members) for fit in job.fit)


def _level(record: LevelRecord) -> Level:
    return Level(record.id, record.height, record.read_by, record.at)


def _known_level(fit: FitRecord, name: str | None, levels: dict[str, Level]) -> Level:
    """A surveyed level by its id."""
    if name is None or name not in levels:
        raise InputError(
            f"fit {fit.id!r}", f"level {name!r}", f"one of {', '.join(levels) or 'the [[level]]s'}"
        )
    return levels[name]


def _known_member(name: str | None, members: dict[str, Member]) -> Member:
    """The member of a fit: the new one where it is replaced."""
    assert name is not None
    return members.get(name + NEW) or members[name]


def _reach(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> float:
    """Height that it reaches up to: the bottom of a member, or a level. [in]"""
    if fit.under in members:
        member = _known_member(fit.under, members)
        middle = min(member.start_in[2], member.end_in[2])
        return middle - member.stock.depth_in / 2
    return _known_level(fit, fit.under, levels).height_in


def _post(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """A post between its footing and what it holds."""
    stack = PostStack(fit.base, fit.cap, fit.shim, fit.keep)
    foot = _known_level(fit, fit.foot, levels)
    made = post_cut(
        fit.member or fit.id, beam_bottom_in=_reach(fit, levels, members), footing=foot, stack=stack
    )
    words = f"{tape(made.length_in)}"
    if made.shim_in > 0:
        words += f", shim {tape(made.shim_in)} over it"
    return Cut(fit.id, "post", words, made.length_in, (made.figured,), made.note)


def _shims(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """Shims that bring bearings to a line with its fall."""
    del members
    read = tuple(_known_level(fit, name, levels) for name in fit.levels)
    line = highest_line(read, fall_per_ft=fit.fall)
    raised = tuple(v + fit.shim for v in line)
    made = shims(read, target_in=raised, least_in=fit.shim)
    words = "; ".join(f"{one.name} {tape(one.shim_in)}" for one in made)
    note = f"line falls {tape(fit.fall)} a foot to the east" if fit.fall else "level line"
    return Cut(fit.id, "shims", words, None, tuple(one.figured for one in made), note)


def _beam(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """A beam from pocket to pocket or post to post."""
    del levels, members
    assert fit.clear is not None
    length = beam_cut_in(fit.clear, bearings_in=fit.bearings, end_gap_in=fit.end_gap)
    values = (
        Value("clear", fit.clear, "in", "S-066"),
        Value("bearings", sum(fit.bearings), "in", "S-066"),
        Value("air at the ends", 2 * fit.end_gap, "in", "S-066"),
    )
    figured = Figured(
        fit.member or fit.id, "beam length", "clear + bearings - air at both ends", values, "S-062",
        length, "in",
    )  # fmt: skip
    return Cut(fit.id, "beam", tape(length), length, (figured,))


def _jack_stud(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """A jack stud from plate to header."""
    top, foot = _reach(fit, levels, members), _known_level(fit, fit.foot, levels).height_in
    length = jack_stud_in(header_bottom_in=top, plate_top_in=foot)
    values = (Value("header bottom", top, "in", "S-066"), Value("plate", foot, "in", "S-066"))
    figured = Figured(fit.id, "jack stud length", "header bottom - plate", values, "S-062", length,
                      "in")  # fmt: skip
    return Cut(fit.id, "jack stud", tape(length), length, (figured,))


def _seat(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """The seat cut of a rafter; a row by its first member."""
    del levels
    assert fit.seat is not None and fit.member is not None
    member = members.get(fit.member) or members[f"{fit.member}-1"]
    rise = abs(member.end_in[2] - member.start_in[2]) / member.plan_length_in * 12.0
    cut = seat_cut(depth_in=member.stock.depth_in, rise_per_12=rise, seat_in=fit.seat)
    values = (
        Value("depth", member.stock.depth_in, "in", "S-066"),
        Value("rise in 12", rise, "in", "S-066"), Value("seat", fit.seat, "in", "S-066"),
    )  # fmt: skip
    figured = Figured(fit.member, "heel of the seat cut", "seat x tan(slope)", values, "S-062",
                      cut.heel_in, "in")  # fmt: skip
    kept = "within" if cut.keeps_rule else "more than"
    note = f"{100 * cut.share:.0f} % of the depth is cut, {kept} a quarter"
    words = f"seat {tape(cut.seat_in)}, heel {tape(cut.heel_in)}, {tape(cut.left_in)} plumb left"
    return Cut(fit.id, "seat", words, None, (figured,), note)


def _shrinkage(fit: FitRecord, levels: dict[str, Level], members: dict[str, Member]) -> Cut:
    """How high a wet new member is set beside a dry one, and where it ends."""
    del levels
    assert fit.percent is not None
    member = _known_member(fit.member, members)
    new = shrinkage(
        member.stock.depth_in, species=member.stock.species, from_percent=fit.percent,
        to_percent=fit.dry_percent, about=member.id,
    )  # fmt: skip
    neighbour = None
    if fit.beside is not None:
        old = members[fit.beside]
        neighbour = shrinkage(
            old.stock.depth_in, species=old.stock.species,
            from_percent=max(fit.beside_percent, fit.dry_percent), to_percent=fit.dry_percent,
            about=old.id,
        )  # fmt: skip
    final = set_high(new, neighbour=neighbour, step_now_in=fit.set_high)
    shown = (new.figured,) if neighbour is None else (new.figured, neighbour.figured)
    return Cut(fit.id, "shrinkage", final.words, None, shown)
