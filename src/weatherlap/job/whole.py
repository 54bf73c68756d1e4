"""What makes a job whole: ids used once, names that exist, pieces that say what they are."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from weatherlap.job.bendwhole import bend_faults
from weatherlap.job.changes import idle_keys, missing_keys
from weatherlap.job.dryrecords import DryRecord
from weatherlap.job.framingrecords import MemberRecord
from weatherlap.job.framingwhole import framing_faults, member_names
from weatherlap.job.lines import Path
from weatherlap.job.loadrecords import FitRecord
from weatherlap.job.model import (
    Change,
    CutLine,
    Damage,
    FaceRecord,
    PieceRecord,
    Reading,
    Sheet,
    Site,
    Suspect,
    sheet_of,
)
from weatherlap.job.problems import Fault, near
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.catalogue import near as near_entry
from weatherlap.units import shown

ITEM = "*"
MOST_HINTS = 20
_WITH_ID = ("face", "piece", "cut", "suspect", "run", "dry")
_WITH_ID_AT_WORK = ("person", "task", "permit", "inspection", "delivery")
_WITH_ID_IN_TERMS = ("allowance",)
_WITH_ID_IN_FRAMING = ("member", "joint", "support", "level", "fit")
_NAMING = {
    "face": (
        ("piece", ITEM, "on", ITEM, "face"),
        ("cut", ITEM, "face"),
        ("reading", ITEM, "face"),
        ("damage", ITEM, "face"),
        ("suspect", ITEM, "leak", "face"),
        ("run", ITEM, "face"),
        ("pick", ITEM, "face"),
        ("photo", ITEM, "face"),
        ("carried", ITEM, "face"),
        ("dry", ITEM, "face"),
        ("change", ITEM, "face"),
        ("change", ITEM, "on", ITEM, "face"),
        ("change", ITEM, "new", "on", ITEM, "face"),
        ("no_joint", ITEM, "face"),
    ),
    "piece": (
        ("piece", ITEM, "behind", ITEM),
        ("reading", ITEM, "piece"),
        ("damage", ITEM, "piece"),
        ("suspect", ITEM, "leak", "on"),
        ("suspect", ITEM, "finding", ITEM),
        ("allowance", ITEM, "piece"),
        ("pick", ITEM, "piece"),
        ("member", ITEM, "piece"),
    ),
    "member": (
        ("joint", ITEM, "upper"),
        ("joint", ITEM, "lower"),
        ("support", ITEM, "member"),
        ("carried", ITEM, "by", ITEM),
        ("fit", ITEM, "member"),
        ("fit", ITEM, "beside"),
        ("shore", "carries", ITEM),
    ),
    "level": (
        ("fit", ITEM, "foot"),
        ("fit", ITEM, "levels", ITEM),
    ),
    "person": (("done", ITEM, "person"),),
}


@dataclass(frozen=True, slots=True)
class Draft:
    """The records of a job that could be read, each with its number in the file."""

    site: Site
    faces: Mapping[int, FaceRecord]
    pieces: Mapping[int, PieceRecord]
    cuts: Mapping[int, CutLine]
    readings: Mapping[int, Reading]
    damages: Mapping[int, Damage]
    suspects: Mapping[int, Suspect]
    changes: Mapping[int, Change]
    members: Mapping[int, MemberRecord] = field(default_factory=dict)
    fits: Mapping[int, FitRecord] = field(default_factory=dict)
    dries: Mapping[int, DryRecord] = field(default_factory=dict)


def name_faults(data: Mapping[str, Any]) -> Iterator[Fault]:
    """Ids that stand twice, and names of faces, pieces and entries that there are not.

    Works on the plain data, so that a record with another mistake is looked at too.
    """
    for table in (
        *_WITH_ID,
        *_WITH_ID_AT_WORK,
        *_WITH_ID_IN_FRAMING,
        *_WITH_ID_IN_TERMS,
        "profile",
    ):
        yield from _repeated(table, _values(data, (table, ITEM, "id")))
    for kind, patterns in _NAMING.items():
        known = _known_names(kind, data)
        named = (pair for pattern in patterns for pair in _values(data, pattern))
        unknown = [(path, name) for path, name in named if name not in known]
        yield from _unknown(kind, unknown, known)
    entries = (("piece", ITEM, "what"), ("change", ITEM, "what"), ("change", ITEM, "new", "what"))
    for path, what in (pair for pattern in entries for pair in _values(data, pattern)):
        if what not in catalogue():
            found = f"the catalogue has no {shown(what)}"
            yield Fault(path, found, "an entry of the catalogue", near_entry(what))
    yield from bend_faults(data)


def _known_names(kind: str, data: Mapping[str, Any]) -> frozenset[str]:
    """The ids of a kind of record; those of each member of a row too."""
    if kind != "member":
        return frozenset(name for _, name in _values(data, (kind, ITEM, "id")))
    rows = data.get("member")
    tables = [r for r in rows if isinstance(r, dict)] if isinstance(rows, list) else []
    return frozenset(
        name
        for row in tables
        if isinstance(row.get("id"), str)
        for name in member_names(row["id"], row.get("count"))
    )


def _values(at: Any, pattern: tuple[str, ...], path: Path = ()) -> Iterator[tuple[Path, str]]:
    """The texts that stand in the data where a pattern leads, each with its path."""
    if not pattern:
        if isinstance(at, str):
            yield path, at
        return
    step, rest = pattern[0], pattern[1:]
    if step == ITEM and isinstance(at, list):
        for number, item in enumerate(at):
            yield from _values(item, rest, (*path, number))
    elif step == ITEM and isinstance(at, dict):
        yield from _values(at, rest, path)
    elif step != ITEM and isinstance(at, dict) and step in at:
        yield from _values(at[step], rest, (*path, step))


def _repeated(table: str, ids: Iterable[tuple[Path, str]]) -> Iterator[Fault]:
    """Ids that an earlier record of the same kind has."""
    first: dict[str, Path] = {}
    for path, own in ids:
        if own in first:
            yield Fault(
                path,
                f"the id {shown(own)} is used again",
                f"an id that no other {table} has",
                "Give one of the two another id.",
                first[own],
            )
        first.setdefault(own, path)


def _unknown(
    kind: str, unknown: Iterable[tuple[Path, str]], known: frozenset[str]
) -> Iterator[Fault]:
    """Names that no record has; the nearest names are looked up for the first few only."""
    for number, (path, name) in enumerate(unknown):
        do = near(name, known) if number < MOST_HINTS else ""
        do = do or f"Add a [[{kind}]] with this id, or name one that is there."
        yield Fault(
            path, f"there is no {kind} {shown(name)}", f"the id of a {kind} of this job", do
        )


def record_faults(draft: Draft) -> Iterator[Fault]:
    """Records that are right key by key and yet do not hold together."""
    for number, piece in draft.pieces.items():
        yield from _piece_faults(("piece", number), piece)
    for number, suspect in draft.suspects.items():
        yield from _suspect_faults(("suspect", number), suspect)
    for number, change in draft.changes.items():
        yield from _change_faults(("change", number), change)
    yield from framing_faults(draft.members, draft.fits)
    yield from _site_faults(draft.site)


def _piece_faults(path: Path, piece: PieceRecord) -> Iterator[Fault]:
    """A piece must say what it is and where, and cannot lie behind itself."""
    only_gutter = piece.gutter is not None and not piece.on
    if piece.what is None and piece.sheet is None and not only_gutter:
        yield Fault(
            path,
            "neither `what` nor `sheet` is given",
            "`what`, an entry of the catalogue, or `sheet`, what it does with water",
            'For instance what = "housewrap" or sheet = "resists".',
        )
    elif piece.passes is not None and _known(piece) and sheet_of(piece) is not Sheet.SHEDS:
        yield Fault(
            (*path, "passes"),
            f"found `passes` on a piece that {sheet_of(piece).value}",
            'it only on a piece that sheds (sheet = "sheds")',
            "Take `passes` out, or mend `sheet`.",
        )
    if not piece.on and piece.gutter is None:
        yield Fault(
            path,
            "it has no panel",
            "at least one panel in `on`, or a gutter",
            'For instance on = [{ face = "wall", rect = [0, 0, 48, 96] }].',
        )
    for which, name in enumerate(piece.behind):
        if name == piece.id:
            yield Fault((*path, "behind", which), "it is behind itself", "the id of another piece")


def _known(piece: PieceRecord) -> bool:
    """Whether it can be told what the piece does with water."""
    return piece.sheet is not None or piece.what is None or piece.what in catalogue()


def _suspect_faults(path: Path, suspect: Suspect) -> Iterator[Fault]:
    """A suspect is either a leak at a place or a finding between two pieces."""
    if (suspect.leak is None) == (not suspect.finding):
        found = "both `leak` and `finding`" if suspect.finding else "neither `leak` nor `finding`"
        yield Fault(path, f"found {found}", "exactly one of the two")
    if suspect.finding and len(suspect.finding) != 2:
        found = f"found {len(suspect.finding)} ids"
        yield Fault((*path, "finding"), found, "the ids of two pieces")


def _change_faults(path: Path, change: Change) -> Iterator[Fault]:
    """A change has the keys of its kind, no others; a new piece is whole in itself."""
    for key in missing_keys(change):
        yield Fault(path, f"a change that does {change.do.value!r} has no `{key}`", f"`{key}`")
    for key in idle_keys(change):
        found = f"`{key}` means nothing in a change that does {change.do.value!r}"
        yield Fault((*path, key), found, "only keys of its kind", "Take it out.")
    if change.new is not None:
        yield from _piece_faults((*path, "new"), change.new)


def _site_faults(site: Site) -> Iterator[Fault]:
    """The driving-rain index is needed by one standard, and goes by bearings."""
    path: Path = ("site", "airfield_index")
    if site.driving_rain == "iso-15927-3" and not site.airfield_index:
        yield Fault(
            path,
            "missing",
            "the airfield index by bearing, as ISO 15927-3 needs it",
            'Give it, or set driving_rain = "ashrae-160".',
        )
    for bearing, index in (site.airfield_index or {}).items():
        if not _is_bearing(bearing):
            yield Fault((*path, bearing), f"found the bearing {bearing!r}", "0 to 360 degrees")
        if index < 0:
            yield Fault((*path, bearing), f"found {index:g}", "an index of 0 or more")


def _is_bearing(text: str) -> bool:
    return text.isascii() and text.isdigit() and len(text) <= 3 and int(text) <= 360
