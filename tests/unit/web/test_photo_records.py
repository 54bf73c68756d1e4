"""Photos of the store stand among a job's own when its papers are made."""

from __future__ import annotations

import io

from PIL import Image

from weatherlap.papers.ownpictures import picture_of
from weatherlap.web.photorecords import with_photos

FACE = "wall"


def jpeg(taken):
    """A picture with the time that the camera wrote."""
    picture, out = Image.new("RGB", (900, 600), (90, 120, 60)), io.BytesIO()
    exif = Image.Exif()
    exif[306] = taken
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


def test_a_photo_of_the_store_is_a_record_with_a_picture(site, job):
    """Face, words, time and hash are kept, and a small picture goes along."""
    kept = site.photos.add(job, jpeg("2025:11:03 09:12:00"), face=FACE, words="patch off")
    found, own = with_photos(site, site.shelf.head(job))
    (record,) = [p for p in found.photo if p.sha256 == kept.sha256]
    assert (record.face, record.text) == (FACE, "patch off")
    assert record.taken == "2025-11-03 09:12:00"
    small = picture_of(own, kept.sha256)
    assert small is not None and len(small) < 40_000
    assert max(Image.open(io.BytesIO(small)).size) <= 560


def test_a_face_that_the_job_does_not_have_is_left_out(site, job):
    """A photo of a face that is gone is kept without it."""
    site.photos.add(job, jpeg("2025:11:04 08:00:00"), face="no-such-face")
    found, _ = with_photos(site, site.shelf.head(job))
    assert found.photo[-1].face is None


def test_without_photos_the_job_is_as_it_was(site, job):
    """Nothing is added where the store holds no photo."""
    head = site.shelf.head(job)
    found, own = with_photos(site, head)
    assert found == site.desk.job(head.text) and own == site.own.all()
