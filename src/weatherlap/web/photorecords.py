"""Photos of the store as the records and pictures that a job's papers take."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import PhotoRecord
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
    records = [_record(site, p, faces) for p in kept if p.sha256 not in known]
    for photo in kept[:MOST_PICTURES]:
        own[picture_name(photo.sha256)] = _small(site.photos.place(photo.sha256))
    if not records:
        return job, own
    return job.model_copy(update={"photo": (*job.photo, *records)}), own


def _record(site: Site, photo: Photo, faces: set[str]) -> PhotoRecord:
    taken, toward = _facts(site.photos.place(photo.sha256))
    return PhotoRecord(
        file=f"{photo.sha256[:SHORT]}.{ENDINGS[photo.kind]}",
        sha256=photo.sha256,
        face=photo.face if photo.face in faces else None,
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
