"""Photos are kept as taken, shown clean, and refused when they are no pictures."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image

from weatherlap.errors import InputError
from weatherlap.store.photos import Photos, look_at
from weatherlap.store.shelf import NoSuchJob


def picture(size=(80, 40), kind="JPEG", exif=None):
    """A picture as a file's bytes."""
    out = io.BytesIO()
    extra = {"exif": exif} if exif else {}
    Image.new("RGB", size, "#884422").save(out, kind, **extra)
    return out.getvalue()


@pytest.fixture
def photos(shelf):
    """The photos of a shelf."""
    return Photos(shelf)


def test_a_photo_is_kept_as_it_was_taken(shelf, photos, text):
    """The bytes come back, with place and words; the same picture twice is one file."""
    job = shelf.begin(text).id
    data = picture()
    one = photos.add(job, data, face="wall", at=(3.0, 4.0), words="rot")
    photos.add(job, data)
    assert photos.data(one) == data
    assert (one.width, one.height, one.at, one.words) == (80, 40, (3.0, 4.0), "rot")
    assert len(photos.of(job)) == 2
    assert len([p for p in photos.folder.rglob("*") if p.is_file()]) == 1


def test_a_photo_sent_twice_is_kept_once(shelf, photos, text):
    """The key of an entry that waited on the phone makes it one photo."""
    job = shelf.begin(text).id
    for _ in range(2):
        photos.add(job, picture(), photo_id="a" * 32)
    assert [p.id for p in photos.of(job)] == ["a" * 32]


def test_what_is_shown_is_upright_and_says_nothing_of_the_place(shelf, photos, text):
    """The shown copy is turned as the camera was held, and carries no camera data."""
    exif = Image.Exif()
    exif[0x0112] = 6
    exif[0x010F] = "Camera"
    one = photos.add(shelf.begin(text).id, picture(exif=exif.tobytes()))
    with Image.open(io.BytesIO(photos.small(one))) as shown:
        assert shown.size == (40, 80)
        assert not shown.getexif()


def test_marks_are_kept_apart(shelf, photos, text):
    """Marks come back, the picture is unchanged, and a photo can be taken off."""
    one = photos.add(shelf.begin(text).id, picture())
    marks = [{"kind": "ring", "spots": [[0.1, 0.1], [0.4, 0.4]], "words": ""}]
    marked = photos.mark(one.id, marks, "the soft spot")
    assert (list(marked.marks), marked.words) == (marks, "the soft spot")
    assert photos.data(marked) == picture()
    photos.take_off(one.id)
    with pytest.raises(NoSuchJob):
        photos.one(one.id)


def bomb():
    """A small PNG file that claims to be 30000 x 30000 pixels."""

    def chunk(name, data):
        check = struct.pack(">I", zlib.crc32(name + data))
        return struct.pack(">I", len(data)) + name + data + check

    head = struct.pack(">IIBBBBB", 30000, 30000, 8, 2, 0, 0, 0)
    rows = chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + rows


@pytest.mark.parametrize(
    "data",
    [
        pytest.param(b"", id="nothing"),
        pytest.param(b"<svg onload='alert(1)'/>", id="svg"),
        pytest.param(picture(kind="GIF"), id="other-kind"),
        pytest.param(picture()[:200], id="cut-short"),
        pytest.param(bomb(), id="bomb"),
        pytest.param(b"%PDF-1.7" + b"\0" * 500, id="pdf"),
    ],
)
def test_what_is_no_picture_is_refused(data):
    """Other files, half files and pictures that would unpack to gigabytes are refused."""
    with pytest.raises(InputError):
        look_at(data)


def test_a_photos_file_goes_with_its_last_photo(shelf, photos, text):
    """Two photos of one picture share a file; it stays for the second, and goes with it."""
    job = shelf.begin(text).id
    data = picture()
    one, two = photos.add(job, data), photos.add(job, data)
    place = photos.place(one.sha256)
    photos.take_off(one.id)
    assert place.exists()
    photos.take_off(two.id)
    assert not place.exists()
    again = photos.add(job, data)
    assert photos.data(again) == data
