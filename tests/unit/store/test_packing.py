"""A store as one file comes back whole, or not at all."""

from __future__ import annotations

import io
import zipfile

import pytest
from PIL import Image

from weatherlap.errors import InputError
from weatherlap.store.packing import pack, unpack
from weatherlap.store.photos import Photos
from weatherlap.store.shelf import Shelf


@pytest.fixture
def packed(shelf, text, tmp_path):
    """A packed store with a job of two revisions and a photo."""
    row = shelf.begin(text)
    shelf.save(row.id, text + "# more\n", base=1, key="k")
    out = io.BytesIO()
    Image.new("RGB", (8, 8)).save(out, "PNG")
    Photos(shelf).add(row.id, out.getvalue(), words="a photo")
    place = tmp_path / "backup.zip"
    with place.open("wb") as file:
        pack(shelf, file)
    return place


def test_a_store_comes_back_whole(shelf, packed, tmp_path):
    """Jobs, all revisions, entries and photos are the same in the new store."""
    new = Shelf(tmp_path / "new")
    assert unpack(new, packed) == 1
    (row,) = shelf.jobs()
    assert new.jobs() == (row,)
    assert new.history(row.id) == shelf.history(row.id)
    assert new.head(row.id) == shelf.head(row.id)
    (one,) = Photos(new).of(row.id)
    assert Photos(new).data(one) == Photos(shelf).data(one)
    new.close()


def test_a_full_store_is_not_written_over(shelf, packed):
    """A store that holds jobs takes no backup in."""
    with pytest.raises(InputError, match="holds jobs already"):
        unpack(shelf, packed)


@pytest.mark.parametrize("harm", ["cut", "photo", "row", "other"])
def test_a_damaged_backup_leaves_the_store_empty(packed, tmp_path, harm):
    """A file cut short, a changed photo, a strange row, another file: nothing is taken in."""
    bad = tmp_path / "bad.zip"
    if harm == "cut":
        bad.write_bytes(packed.read_bytes()[:-300])
    elif harm == "other":
        bad.write_text("not a zip")
    else:
        with zipfile.ZipFile(packed) as old, zipfile.ZipFile(bad, "w") as new:
            for info in old.infolist():
                data = old.read(info)
                if harm == "photo" and info.filename.startswith("photos/"):
                    data += b"x"
                if harm == "row" and info.filename == "revision.jsonl":
                    data += b'{"job": 1}\n'
                new.writestr(info.filename, data)
    shelf = Shelf(tmp_path / "new")
    with pytest.raises(InputError, match="not whole"):
        unpack(shelf, bad)
    assert shelf.jobs() == ()
    shelf.close()
