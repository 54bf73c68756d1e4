"""A job file's text into records, or all that is wrong with it at once."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from functools import lru_cache
from typing import Any, TypeVar, get_args

from pydantic import ValidationError

from weatherlap.errors import JobError, Problem
from weatherlap.job.blocks import Blocks, blocks_of
from weatherlap.job.drychecks import dry_faults
from weatherlap.job.dryrecords import DryRecord
from weatherlap.job.framingrecords import MemberRecord
from weatherlap.job.loadrecords import FitRecord
from weatherlap.job.model import (
    Change,
    CutLine,
    Damage,
    FaceRecord,
    Job,
    PieceRecord,
    Reading,
    Record,
    Site,
    Suspect,
)
from weatherlap.job.places import place_faults
from weatherlap.job.problems import Fault, fault_of, is_echo, problems_of
from weatherlap.job.source import Source
from weatherlap.job.whole import Draft, name_faults, record_faults
from weatherlap.job.workwhole import work_faults

LARGEST_BYTES = 20_000_000

_Kind = TypeVar("_Kind", bound=Record)
_TOML_PLACE = re.compile(
    r"^(?P<what>.*) \(at (?:line (?P<line>\d+), column \d+|end of document)\)$"
)


def read_job(text: str | bytes, *, file: str = "") -> Job:
    """The job that a file's text describes.

    Parameters
    ----------
    text : str or bytes
        The whole file; bytes must be UTF-8.
    file : str
        Its name, for messages.

    Raises
    ------
    JobError
        If anything needs mending; carries every problem with its line.
    """
    plain = _plain_text(text, file)
    blocks = blocks_of(plain)
    data = tables_of(plain, file) if blocks is None else blocks.data()
    try:
        job = Job.model_validate(data if blocks is None else _with_known_records(plain, blocks))
    except ValidationError as error:
        faults = [fault_of(item) for item in error.errors(include_url=False) if not is_echo(item)]
        draft = _draft_of_readable(data)
    else:
        faults = []
        draft = _draft_of(job)
    faults += [
        *name_faults(data),
        *work_faults(data),
        *record_faults(draft),
        *place_faults(draft),
        *dry_faults(data),
    ]
    if faults:
        raise JobError(problems_of(faults, text=plain, data=data, file=file))
    return job.read_from(Source(plain, file))


def _with_known_records(text: str, blocks: Blocks) -> dict[str, Any]:
    """The data with items as records where their part of the text was read before."""
    found: dict[str, Any] = dict(blocks.before)
    for block in blocks.rows:
        if block.is_item:
            known = _record(block.table, text[block.start : block.end])
            found.setdefault(block.table, []).append(known or block.row)
        else:
            found[block.table] = block.row
    return found


@lru_cache(maxsize=4000)
def _record(table: str, text: str) -> Record | None:
    """The item of a block, or None where it needs mending."""
    kind = _kinds().get(table)
    if kind is None:
        return None
    try:
        return kind.model_validate(tables_of(text)[table][0])
    except ValidationError:
        return None


@lru_cache(maxsize=1)
def _kinds() -> dict[str, type[Record]]:
    """The record of each table that repeats."""
    rows = {name: get_args(field.annotation) for name, field in Job.model_fields.items()}
    return {name: row[0] for name, row in rows.items() if row[1:] == (Ellipsis,)}


def faults_in(job: Job) -> tuple[Fault, ...]:
    """What does not hold together in a job that was made, not read."""
    draft = _draft_of(job)
    return (*record_faults(draft), *place_faults(draft))


def _plain_text(text: str | bytes, file: str) -> str:
    """The text without a byte mark; an error where it is no text, too long or empty."""
    if len(text) > LARGEST_BYTES:
        found = f"found {len(text) / 1e6:.0f} million letters"
        raise JobError([Problem("job file", found, "20 million at most", file=file)])
    if isinstance(text, bytes):
        text = _decoded(text, file)
    text = text.removeprefix("\ufeff")
    if "\x00" in text:
        line = text.count("\n", 0, text.index("\x00")) + 1
        raise JobError([Problem("job file", "found bytes that are no text", _WANT, "", file, line)])
    if not text.strip():
        do = "Begin with [job] and a title, then a [[face]]."
        raise JobError([Problem("job file", "it is empty", _WANT, do, file)])
    return text


_WANT = "a job file: TOML text in UTF-8"


def _decoded(raw: bytes, file: str) -> str:
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        found = f"byte {error.start + 1} is not UTF-8"
        if raw.startswith((b"\xff\xfe", b"\xfe\xff")):
            found = "it is UTF-16"
        do = "Save it from the editor as UTF-8 text."
        raise JobError([Problem("job file", found, _WANT, do, file, line)]) from None


def tables_of(text: str, file: str = "") -> dict[str, Any]:
    """The plain data of a TOML text.

    Raises
    ------
    JobError
        If the text is not TOML.
    """
    blocks = blocks_of(text)
    if blocks is not None:
        return blocks.data()
    try:
        return tomllib.loads(text)
    except RecursionError:
        found = "brackets are nested too deep"
    except ValueError as error:
        found = str(error)
    raise JobError([_toml_problem(found, text, file)]) from None


def _toml_problem(message: str, text: str, file: str) -> Problem:
    """What a TOML error means, with the line as it stands."""
    match = _TOML_PLACE.match(message)
    what = match["what"] if match else message
    rows = text.split("\n")
    line = int(match["line"]) if match and match["line"] else len(rows)
    while match and not match["line"] and line > 1 and not rows[line - 1].strip():
        line -= 1
    row = rows[line - 1].strip()[:80] if line <= len(rows) else ""
    do = next((text for part, text in _TOML_HELP if part.lower() in what.lower()), "")
    if match and not match["line"]:
        do = f"{do} The file may be cut short here.".strip()
    found = f"{what[:1].lower()}{what[1:]} in `{row}`" if row else what
    return Problem("job file", found, "TOML that can be read", do, file, line)


_TOML_HELP = (
    (
        "Expected newline or end of document",
        'Put text in quotes; an inch mark inside quotes is written \\", or use words: '
        '"12 ft 4 1/2 in".',
    ),
    ("Invalid value", 'Put text and lengths with units in quotes: "8 ft", "3.2 m".'),
    ("Expected '='", "A line reads key = value; a table's head stands in brackets."),
    (
        "Cannot overwrite a value",
        "It stands twice: take one out; tables that repeat have double brackets: [[piece]].",
    ),
    ("Cannot declare", "The table stands twice; repeated tables have double brackets: [[piece]]."),
    (
        "Invalid initial character",
        "A key is made of letters, figures and dashes; a table in braces stands on one line and "
        "has no comma at its end.",
    ),
    ("Exceeds the limit", "The number has too many figures."),
    ("Unclosed array", "Close the list with ]."),
    ("Unclosed inline", "Close the table with }, on the same line."),
    ("Expected", "A quote or a bracket may not be closed."),
    ("Illegal character", "A quote may not be closed before the end of the line."),
    ("Unterminated", "Close the quotes."),
)


def _draft_of(job: Job) -> Draft:
    """The draft of a job whose records are all right in themselves."""
    return Draft(
        site=job.site,
        faces=dict(enumerate(job.face)),
        pieces=dict(enumerate(job.piece)),
        cuts=dict(enumerate(job.cut)),
        readings=dict(enumerate(job.reading)),
        damages=dict(enumerate(job.damage)),
        suspects=dict(enumerate(job.suspect)),
        changes=dict(enumerate(job.change)),
        members=dict(enumerate(job.member)),
        fits=dict(enumerate(job.fit)),
        dries=dict(enumerate(job.dry)),
    )


def _draft_of_readable(data: Mapping[str, Any]) -> Draft:
    """The draft of the records that are right in themselves, the others left out."""
    try:
        site = Site.model_validate(data.get("site", {}))
    except ValidationError:
        site = Site()
    return Draft(
        site=site,
        faces=dict(_readable(FaceRecord, data.get("face"))),
        pieces=dict(_readable(PieceRecord, data.get("piece"))),
        cuts=dict(_readable(CutLine, data.get("cut"))),
        readings=dict(_readable(Reading, data.get("reading"))),
        damages=dict(_readable(Damage, data.get("damage"))),
        suspects=dict(_readable(Suspect, data.get("suspect"))),
        changes=dict(_readable(Change, data.get("change"))),
        members=dict(_readable(MemberRecord, data.get("member"))),
        fits=dict(_readable(FitRecord, data.get("fit"))),
        dries=dict(_readable(DryRecord, data.get("dry"))),
    )


def _readable(kind: type[_Kind], rows: object) -> Iterator[tuple[int, _Kind]]:
    """The records of a table that can be read, unknown keys left out."""
    for number, row in enumerate(rows if isinstance(rows, list) else []):
        try:
            yield number, kind.model_validate(row)
        except ValidationError as error:
            try:
                yield number, kind.model_validate(_without_unknown(row, error))
            except ValidationError:
                continue


def _without_unknown(row: Any, error: ValidationError) -> Any:
    """A copy of plain data without the keys that no record has."""
    copy = deepcopy(row)
    for item in error.errors(include_url=False, include_input=False):
        if item["type"] != "extra_forbidden":
            continue
        at = copy
        for step in item["loc"][:-1]:
            at = at[step]
        at.pop(item["loc"][-1], None)
    return copy
