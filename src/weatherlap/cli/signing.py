"""Keeping states and photos: what is added at the end of a job file, and the copy beside it."""

from __future__ import annotations

import datetime
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, read_job_file, shown_place, write_beside
from weatherlap.cli.photofacts import photo_record
from weatherlap.errors import InputError
from weatherlap.job.model import Record
from weatherlap.job.reading import LARGEST_BYTES, read_job
from weatherlap.job.writing import plain_row, table_text
from weatherlap.money.amounts import usd_text
from weatherlap.money.changeorders import Answer
from weatherlap.papers.promised import plan_of
from weatherlap.run.changeorder import signed_record, state_now
from weatherlap.run.pricing import price_job
from weatherlap.run.scope import scope_of

MOST_PHOTOS = 200


@dataclass(frozen=True, slots=True)
class Signing:
    """What is kept of a state besides the job itself."""

    by: str
    day: str
    answer: str
    why: str
    consequence: str
    photos: tuple[str, ...]


def keep_state(place: Path, own: Mapping[str, str], asked: Signing, *, as_json: bool) -> None:
    """Write the state of a job into its file, and a copy of the file beside it.

    Raises
    ------
    InputError
        If a state was changed after it was kept, nothing differs, or a copy is there already.
    """
    job = read_job_file(place)
    day = _day(asked.day)
    scope = scope_of(price_job(job, own=own, planned=plan_of(job, own)), own=own, today=day)
    promise = state_now(
        scope, day=day.isoformat(), answer=Answer(asked.answer), by=asked.by, why=asked.why,
        consequence=asked.consequence, photos=asked.photos,
    )  # fmt: skip
    record = signed_record(scope.job, promise, today=datetime.date.today())
    text = _with_records(place, [("state", record)])
    copy = _kept_copy(place, record.number, record.seal)
    if copy.exists():
        raise InputError(shown_place(copy), "there is such a copy", "a new one: states are kept")
    write_beside(copy, text.encode("utf-8"))
    write_beside(place, text.encode("utf-8"))
    _say_kept(record.number, asked.answer, record.price_cents, record.days, copy, as_json=as_json)


def _say_kept(
    number: int, answer: str, cents: int, days: int, copy: Path, *, as_json: bool
) -> None:
    name = "contract" if number == 0 else f"change order {number}"
    if as_json:
        table = {"ok": True, "number": number, "answer": answer, "price_cents": cents}
        print_json({**table, "days": days, "copy": str(copy)})
        return
    say(
        f"Kept: the {name} is {answer}, the whole price {usd_text(cents)}, {days} working "
        f"day{'s' if days != 1 else ''}. A copy of the job as it was is {copy}."
    )
    if answer == Answer.DECLINED.value:
        say("The job still holds what was declined: take it out before the work goes on.")


def _day(text: str) -> datetime.date:
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        raise InputError("--on", f"found {text[:40]!r}", "a day as YYYY-MM-DD") from None


def _kept_copy(place: Path, number: int, seal: str) -> Path:
    return place.with_name(f"{place.stem}.states") / f"{number:03d}-{seal[:12]}.toml"


def keep_photos(
    place: Path, pictures: Sequence[Path], *, face: str, step: str, text: str, as_json: bool
) -> None:
    """Write photos into a job file.

    Raises
    ------
    InputError
        If a picture cannot be read, is in the job already, or the face is none of the job's.
    """
    job = read_job_file(place)
    if len(pictures) > MOST_PHOTOS:
        raise InputError("pictures", f"found {len(pictures)}", f"at most {MOST_PHOTOS}")
    known = {p.sha256 for p in job.photo}
    records = [photo_record(p, face=face, step=step, text=text) for p in pictures]
    for record in records:
        if record.sha256 in known:
            raise InputError(record.file, "this picture is in the job already", "a new one")
        known.add(record.sha256)
    new_text = _with_records(place, [("photo", r) for r in records])
    write_beside(place, new_text.encode("utf-8"))
    if as_json:
        print_json({"ok": True, "photos": [plain_row(r) for r in records]})
        return
    for record in records:
        when = record.taken or "no time in it"
        toward = "" if record.toward is None else f", toward {record.toward:.0f} degrees"
        say(f"{record.file}: {when}{toward}, hash {record.sha256[:12]}.")


def _with_records(place: Path, rows: Sequence[tuple[str, Record]]) -> str:
    """The text of a job file with records at its end; it is read back before it is kept."""
    data = place.read_bytes()
    if len(data) > LARGEST_BYTES:
        raise InputError(shown_place(place), "it is larger than 20 MB", "a job file")
    text = data.decode("utf-8").rstrip("\n") + "\n"
    for table, record in rows:
        text += f"\n{table_text(f'[[{table}]]', plain_row(record))}"
    read_job(text, file=shown_place(place))
    return text
