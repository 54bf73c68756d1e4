"""The record of a picture that lies as a file."""

from __future__ import annotations

import hashlib
from pathlib import Path

from weatherlap.errors import InputError
from weatherlap.job.moneyrecords import PhotoRecord
from weatherlap.store.photofacts import photo_facts

LARGEST_BYTES = 24_000_000


def photo_record(place: Path, *, face: str, step: str, text: str) -> PhotoRecord:
    """The record of a picture, with time and direction as the camera wrote them.

    Raises
    ------
    InputError
        If the file cannot be read, is too large, or is no picture.
    """
    try:
        with place.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        why = (error.strerror or "it cannot be opened").lower()
        raise InputError(place.name, why, "a picture that can be read") from None
    if len(data) > LARGEST_BYTES:
        raise InputError(place.name, "it is larger than 24 MB", "a picture of 24 MB at most")
    taken, toward = photo_facts(data, name=place.name)
    return PhotoRecord(
        file=place.name,
        sha256=hashlib.sha256(data).hexdigest(),
        face=face or None,
        step=step,
        taken=taken,
        toward=toward,
        text=text,
    )
