"""What a camera wrote into a picture: when it was taken, and which way it looked."""

from __future__ import annotations

import hashlib
import math
import warnings
from pathlib import Path

from PIL import ExifTags, Image, UnidentifiedImageError

from weatherlap.errors import InputError
from weatherlap.job.moneyrecords import PhotoRecord

LARGEST_BYTES = 24_000_000
KINDS = ("JPEG", "PNG", "WEBP", "MPO")


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
    taken, toward = _facts(place)
    return PhotoRecord(
        file=place.name,
        sha256=hashlib.sha256(data).hexdigest(),
        face=face or None,
        step=step,
        taken=taken,
        toward=toward,
        text=text,
    )


def _facts(place: Path) -> tuple[str, float | None]:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(place) as picture:
                if picture.format not in KINDS:
                    raise InputError(place.name, f"it is {picture.format}", "a JPEG, PNG or WebP")
                exif = picture.getexif()
    except (UnidentifiedImageError, OSError, Image.DecompressionBombWarning, ValueError):
        raise InputError(place.name, "it is no picture", "a JPEG, PNG or WebP picture") from None
    own = exif.get_ifd(ExifTags.IFD.Exif)
    taken = str(own.get(ExifTags.Base.DateTimeOriginal) or exif.get(ExifTags.Base.DateTime) or "")
    zone = str(own.get(ExifTags.Base.OffsetTimeOriginal) or "")
    return _plain(f"{taken} {zone}".strip()), _bearing(exif.get_ifd(ExifTags.IFD.GPSInfo))


def _plain(text: str) -> str:
    """A camera's time, as 2025-11-03 09:12:00."""
    kept = "".join(c for c in text if c.isprintable())[:40]
    day, _, clock = kept.partition(" ")
    return f"{day.replace(':', '-')} {clock}".strip()


def _bearing(gps: dict[int, object]) -> float | None:
    value = gps.get(ExifTags.GPS.GPSImgDirection)
    try:
        degrees = float(value) if value is not None else math.nan  # type: ignore[arg-type]
    except (TypeError, ValueError, ZeroDivisionError):
        return None
    return round(degrees, 1) if 0 <= degrees <= 360 else None
