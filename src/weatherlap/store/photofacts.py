"""What a camera wrote into a picture: when it was taken, and which way it looked."""

from __future__ import annotations

import io
import math
import warnings

from PIL import ExifTags, Image, UnidentifiedImageError

from weatherlap.errors import InputError

KINDS = ("JPEG", "PNG", "WEBP", "MPO")


def photo_facts(data: bytes, *, name: str) -> tuple[str, float | None]:
    """When a picture was taken ("" if it does not say), and the bearing that it looked along.

    Parameters
    ----------
    name : str
        What the picture is called where it cannot be read.

    Raises
    ------
    InputError
        If it is no picture.
    """
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data)) as picture:
                if picture.format not in KINDS:
                    raise InputError(name, f"it is {picture.format}", "a JPEG, PNG or WebP")
                exif = picture.getexif()
    except (UnidentifiedImageError, OSError, Image.DecompressionBombWarning, ValueError):
        raise InputError(name, "it is no picture", "a JPEG, PNG or WebP picture") from None
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
