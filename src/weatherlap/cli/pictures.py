"""Photos of a job found beside its file, made small for its papers."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from pathlib import Path

from weatherlap.errors import InputError
from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import PhotoRecord
from weatherlap.papers.ownpictures import MOST_PICTURES, PICTURE_PX, picture_name, picture_text

FOLDER = "photos"
"""Photos lie beside the job file, or in a folder of this name beside it."""


def with_pictures(own: Mapping[str, str], job: Job, job_file: Path) -> dict[str, str]:
    """The firm's tables with the pictures of a job's photos that are still as they were taken."""
    found = dict(own)
    for photo in job.photo[:MOST_PICTURES]:
        jpeg = _small(photo, job_file)
        if jpeg is not None:
            found[picture_name(photo.sha256)] = picture_text(jpeg)
    return found


def _small(photo: PhotoRecord, job_file: Path) -> bytes | None:
    from weatherlap.store.photos import look_at, small_jpeg

    for data in _read(photo, job_file):
        if hashlib.sha256(data).hexdigest() != photo.sha256:
            continue
        try:
            look_at(data)
        except InputError:
            return None
        return small_jpeg(data, PICTURE_PX)
    return None


def _read(photo: PhotoRecord, job_file: Path) -> Iterator[bytes]:
    from weatherlap.store.photos import LARGEST_BYTES

    for folder in (job_file.parent, job_file.parent / FOLDER):
        try:
            with (folder / photo.file).open("rb") as file:
                yield file.read(LARGEST_BYTES + 1)
        except OSError:
            continue
