"""Photos over the network: taken in, shown small, marked."""

from __future__ import annotations

from dataclasses import asdict
from typing import Annotated, Any

from fastapi import APIRouter, File, Form, Path, Query, Response, UploadFile
from pydantic import BaseModel, ConfigDict, Field

from weatherlap.store.photos import LARGEST_BYTES, MOST_MARKS, Photo
from weatherlap.web.api import ERRORS, JobId
from weatherlap.web.photorecords import strike_photo, write_photo
from weatherlap.web.site import Site

PhotoId = Annotated[str, Path(pattern=r"^[0-9a-f]{16,32}$")]
Share = Annotated[float, Field(ge=0, le=1, allow_inf_nan=False)]
Spot = tuple[Share, Share]
Inch = Annotated[float | None, Form(ge=-12000, le=12000, allow_inf_nan=False)]


class Mark(BaseModel):
    """Something drawn over a photo; places are shares of its width and height."""

    model_config = ConfigDict(extra="forbid")
    kind: str = Field(pattern="^(arrow|ring|text|line)$")
    spots: list[Spot] = Field(min_length=1, max_length=400)
    words: str = Field(default="", max_length=200)


class Marks(BaseModel):
    """All that is drawn over a photo."""

    model_config = ConfigDict(extra="forbid")
    marks: list[Mark] = Field(max_length=MOST_MARKS)
    words: str = Field(default="", max_length=500)


def photo_table(photo: Photo) -> dict[str, Any]:
    """A photo as the page takes it."""
    return {k: v for k, v in asdict(photo).items() if k != "sha256"}


def photo_router(site: Site) -> APIRouter:
    """Everything about photos on one site."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/jobs/{job_id}/photos")
    def list_photos(job_id: JobId) -> list[dict[str, Any]]:
        """The photos of a job."""
        site.shelf.job(job_id)
        return [photo_table(p) for p in site.photos.of(job_id)]

    @api.post("/jobs/{job_id}/photos", status_code=201)
    def add_photo(
        job_id: JobId,
        photo: Annotated[UploadFile, File()],
        face: Annotated[str, Form(max_length=100)] = "",
        u: Inch = None,
        v: Inch = None,
        words: Annotated[str, Form(max_length=500)] = "",
        step: Annotated[str, Form(max_length=200)] = "",
        key: Annotated[str, Form(pattern=r"^([0-9a-f]{16,32})?$")] = "",
    ) -> dict[str, Any]:
        """Take a photo in; sent twice with one key it is kept once. [in]

        With a step, the task that it shows, it is written into the job file too.
        """
        data = photo.file.read(LARGEST_BYTES + 1)
        at = None if u is None or v is None else (u, v)
        kept = site.photos.add(job_id, data, face=face, at=at, words=words, photo_id=key)
        if step:
            write_photo(site, kept, step=step, key=key)
        return photo_table(kept)

    _one_photo_ways(api, site)
    return api


def _one_photo_ways(api: APIRouter, site: Site) -> None:
    @api.put("/photos/{photo_id}/marks")
    def mark_photo(photo_id: PhotoId, body: Marks) -> dict[str, Any]:
        """Keep what was drawn over a photo; the picture stays as it was taken."""
        marks = [m.model_dump() for m in body.marks]
        return photo_table(site.photos.mark(photo_id, marks, body.words))

    @api.delete("/photos/{photo_id}", status_code=204, response_class=Response)
    def take_photo_off(photo_id: PhotoId) -> Response:
        """Take a photo off its job, and out of the job file if it stands there."""
        strike_photo(site, site.photos.one(photo_id))
        site.photos.take_off(photo_id)
        return Response(status_code=204)

    @api.get("/photos/{photo_id}", response_class=Response)
    def show_photo(
        photo_id: PhotoId, wide: Annotated[int, Query(ge=64, le=4000)] = 1600
    ) -> Response:
        """A photo upright, without place and camera data, so many pixels wide at most."""
        photo = site.photos.one(photo_id)
        headers = {"cache-control": "private, max-age=86400"}
        return Response(site.photos.small(photo, wide), media_type="image/jpeg", headers=headers)
