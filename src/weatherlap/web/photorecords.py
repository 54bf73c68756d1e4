"""Photos of the store as the records and pictures that a job's papers take."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from weatherlap.errors import InputError
from weatherlap.job.editing import AddItem, Remove, edit
from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import PhotoRecord
from weatherlap.job.writing import plain_row
from weatherlap.papers.ownpictures import MOST_PICTURES, PICTURE_PX, picture_name, picture_text
from weatherlap.store.photofacts import photo_facts
from weatherlap.store.photos import Photo, small_jpeg
from weatherlap.store.shelf import Revision
from weatherlap.web.site import Site

ENDINGS = {"image/jpeg": "jpg", "image/png": "png", "image/webp": "webp"}
SHORT = 8
MOST_KEPT = 500


def with_photos(site: Site, head: Revision) -> tuple[Job, dict[str, str]]:
    """A job with the store's photos among its own, and the firm's tables with their pictures."""
    job, own = site.desk.job(head.text), site.own.all()
    known = {p.sha256 for p in job.photo}
    kept = site.photos.of(head.job)
    faces = {f.id for f in job.face}
    records = [photo_record(site, p, faces) for p in kept if p.sha256 not in known]
    for photo in kept[:MOST_PICTURES]:
        own[picture_name(photo.sha256)] = _small(site.photos.place(photo.sha256))
    if not records:
        return job, own
    return job.model_copy(update={"photo": (*job.photo, *records)}), own


def photo_record(site: Site, photo: Photo, faces: set[str], *, step: str = "") -> PhotoRecord:
    """The record that a photo of the store is in a job file; ``step`` is the task it shows."""
    taken, toward = _facts(site.photos.place(photo.sha256))
    return PhotoRecord(
        file=f"{photo.sha256[:SHORT]}.{ENDINGS[photo.kind]}",
        sha256=photo.sha256,
        face=photo.face if photo.face in faces else None,
        step=step,
        taken=taken,
        toward=toward,
        text=photo.words,
    )


@lru_cache(maxsize=MOST_KEPT)
def _small(place: Path) -> str:
    """The small picture of a file; files are named by what they hold, so they never change."""
    return picture_text(small_jpeg(place.read_bytes(), PICTURE_PX))


@lru_cache(maxsize=MOST_KEPT)
def _facts(place: Path) -> tuple[str, float | None]:
    return photo_facts(place.read_bytes(), name="photo")


def write_photo(site: Site, photo: Photo, *, step: str, key: str = "") -> None:
    """Write a photo of the store into its job's file, as a revision; once, however often asked."""
    head = site.shelf.head(photo.job)
    job = site.desk.job(head.text)
    if any(p.sha256 == photo.sha256 and p.step == step for p in job.photo):
        return
    record = photo_record(site, photo, {f.id for f in job.face}, step=step)
    text = edit(head.text, [AddItem("photo", plain_row(record))])
    words = f"Photo of {step}"
    site.shelf.save(photo.job, text, base=head.number, words=words, key=key)


def strike_photo(site: Site, photo: Photo) -> None:
    """Take a photo out of its job's file, if it stands there.

    Raises
    ------
    InputError
        If a state that was put before the client shows it.
    """
    head = site.shelf.head(photo.job)
    job = site.desk.job(head.text)
    name = photo_record(site, photo, set()).file
    for state in job.state:
        if name in state.photos:
            number = f"change order {state.number}" if state.number else "the contract"
            found = f"{number}, {state.answer.value} on {state.day}, shows it"
            raise InputError("photo", found, "a photo that no kept state shows")
    rows = [n for n, p in enumerate(job.photo) if p.sha256 == photo.sha256]
    if rows:
        text = edit(head.text, [Remove(("photo", n)) for n in reversed(rows)])
        site.shelf.save(photo.job, text, base=head.number, words="Photo taken off")
