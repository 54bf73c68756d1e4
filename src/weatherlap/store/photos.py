"""Photos as files named by what they hold; marks on them are kept apart from the picture."""

from __future__ import annotations

import io
import json
import os
import secrets
import tempfile
import time
import warnings
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from threading import Lock
from typing import Any

from PIL import Image, ImageOps, UnidentifiedImageError
from sqlalchemy import delete, insert, select, update

from weatherlap.errors import InputError
from weatherlap.store.database import READING, writing
from weatherlap.store.database import photos as table
from weatherlap.store.shelf import NoSuchJob, Shelf

KINDS = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
MOST_PIXELS = 60_000_000
LARGEST_BYTES = 24_000_000
SHOWN_PX = 1600
MOST_MARKS = 200
WANT = "a JPEG, PNG or WebP picture"


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo of a job, where it was taken on a face, and what is marked on it."""

    id: str
    job: str
    sha256: str
    kind: str
    width: int
    height: int
    face: str
    at: tuple[float, float] | None
    words: str
    marks: tuple[dict[str, Any], ...]
    at_s: float


class Photos:
    """The photos of a shelf's jobs."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self.folder = shelf.folder / "photos"
        self._lock = Lock()

    def add(
        self,
        job: str,
        data: bytes,
        *,
        face: str = "",
        at: tuple[float, float] | None = None,
        words: str = "",
        photo_id: str = "",
    ) -> Photo:
        """Keep a photo; the file is safe before its row is written.

        Raises
        ------
        InputError
            If it is no picture, or too large.
        NoSuchJob
            If there is no such job.
        """
        self._shelf.job(job)
        kind, width, height = look_at(data)
        name = sha256(data).hexdigest()
        u, v = at if at is not None else (None, None)
        own = photo_id or secrets.token_hex(8)
        row: dict[str, Any] = {
            "id": own,
            "job": job,
            "sha256": name,
            "kind": kind,
            "width": width,
            "height": height,
            "face": face[:100],
            "u": u,
            "v": v,
            "words": words[:500],
            "marks": "[]",
            "at": time.time(),
        }
        with self._lock, writing(self._shelf.engine) as connection:
            self.put_file(name, data)
            known = connection.execute(select(table).where(table.c.id == own)).mappings()
            if known.first() is None:
                connection.execute(insert(table).values(row))
        return self.one(own)

    def put_file(self, name: str, data: bytes) -> None:
        """Write a picture's file whole or not at all."""
        place = self.place(name)
        if place.exists():
            return
        place.parent.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=place.parent, prefix=".new-")
        try:
            with os.fdopen(handle, "wb") as out:
                out.write(data)
                out.flush()
                os.fsync(out.fileno())
            Path(beside).replace(place)
        except BaseException:
            Path(beside).unlink(missing_ok=True)
            raise

    def of(self, job: str) -> tuple[Photo, ...]:
        """All photos of a job, the first one first."""
        query = select(table).where(table.c.job == job).order_by(table.c.at, table.c.id)
        with self._shelf.engine.connect().execution_options(**READING) as connection:
            return tuple(_photo(row) for row in connection.execute(query).mappings())

    def one(self, photo_id: str) -> Photo:
        """One photo.

        Raises
        ------
        NoSuchJob
            If there is none of that id.
        """
        query = select(table).where(table.c.id == photo_id)
        with self._shelf.engine.connect().execution_options(**READING) as connection:
            row = connection.execute(query).mappings().first()
        if row is None:
            raise NoSuchJob("photo", "there is no such photo", "one of the job's")
        return _photo(row)

    def mark(self, photo_id: str, marks: list[dict[str, Any]], words: str) -> Photo:
        """Keep what was drawn over a photo, and its words; the picture stays as it was taken.

        Raises
        ------
        InputError
            If there are too many marks.
        """
        if len(marks) > MOST_MARKS:
            raise InputError("marks", f"found {len(marks)}", f"{MOST_MARKS} at most")
        values = {"marks": json.dumps(marks), "words": words[:500]}
        self.one(photo_id)
        with writing(self._shelf.engine) as connection:
            connection.execute(update(table).where(table.c.id == photo_id).values(values))
        return self.one(photo_id)

    def take_off(self, photo_id: str) -> None:
        """Take a photo off its job; its file goes with it unless another photo has the same."""
        photo = self.one(photo_id)
        with self._lock:
            with writing(self._shelf.engine) as connection:
                connection.execute(delete(table).where(table.c.id == photo_id))
                query = select(table.c.id).where(table.c.sha256 == photo.sha256).limit(1)
                is_used = connection.execute(query).first() is not None
            if not is_used:
                self.place(photo.sha256).unlink(missing_ok=True)

    def data(self, photo: Photo) -> bytes:
        """The picture as it was taken."""
        return self.place(photo.sha256).read_bytes()

    def small(self, photo: Photo, most_px: int = SHOWN_PX) -> bytes:
        """The picture upright, without place and camera data, at most so many pixels wide."""
        return small_jpeg(self.data(photo), most_px)

    def place(self, name: str) -> Path:
        """Where the file of a picture lies."""
        return self.folder / name[:2] / name


def small_jpeg(data: bytes, most_px: int) -> bytes:
    """A picture upright, without place and camera data, at most so many pixels wide or high."""
    with Image.open(io.BytesIO(data)) as picture:
        upright = ImageOps.exif_transpose(picture).convert("RGB")
    upright.thumbnail((most_px, most_px))
    out = io.BytesIO()
    upright.save(out, "JPEG", quality=82)
    return out.getvalue()


def look_at(data: bytes) -> tuple[str, int, int]:
    """Kind, width and height of a picture. [px]

    Raises
    ------
    InputError
        If it is no picture that a page can show, or too large.
    """
    if len(data) > LARGEST_BYTES:
        raise InputError("photo", f"found {len(data) / 1e6:.0f} MB", "24 MB at most")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=list(KINDS)) as picture:
                width, height = picture.size
                kind = KINDS[picture.format or ""]
                if width * height > MOST_PIXELS:
                    raise InputError("photo", f"found {width} x {height}", "60 megapixels at most")
                picture.load()
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, KeyError):
        raise InputError("photo", "this is no picture that can be shown", WANT) from None
    except Image.DecompressionBombError:
        raise InputError("photo", "it unpacks to far too many pixels", WANT) from None
    return kind, width, height


def _photo(row: Any) -> Photo:
    at = None if row["u"] is None or row["v"] is None else (row["u"], row["v"])
    return Photo(
        id=row["id"],
        job=row["job"],
        sha256=row["sha256"],
        kind=row["kind"],
        width=row["width"],
        height=row["height"],
        face=row["face"],
        at=at,
        words=row["words"],
        marks=tuple(json.loads(row["marks"])),
        at_s=row["at"],
    )
