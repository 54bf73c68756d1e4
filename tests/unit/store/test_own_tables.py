"""The firm's own tables in the store."""

import io

import pytest

from weatherlap.errors import InputError
from weatherlap.store.owntables import MOST_TABLES, OwnTables
from weatherlap.store.packing import pack, unpack
from weatherlap.store.shelf import Shelf


@pytest.fixture
def kept(tmp_path):
    """Tables of an empty store."""
    shelf = Shelf(tmp_path / "store")
    yield OwnTables(shelf)
    shelf.close()


def test_a_table_is_kept_replaced_and_taken_out(kept):
    """The last text of a name counts; after taking out there is none."""
    kept.put("costs", "a = 1")
    kept.put("costs", "a = 2")
    assert kept.all() == {"costs": "a = 2"}
    kept.take_out("costs")
    assert kept.all() == {}


def test_there_are_only_so_many(kept):
    """One more than the most is refused."""
    for n in range(MOST_TABLES):
        kept.put(f"t{n}", "")
    with pytest.raises(InputError, match="too many"):
        kept.put("one-more", "")
    kept.put("t0", "a = 1")


def test_tables_are_in_the_backup(kept, tmp_path):
    """A store restored from a backup has the same tables."""
    kept.put("costs", "a = 1")
    packed = io.BytesIO()
    pack(kept._shelf, packed)
    place = tmp_path / "all.zip"
    place.write_bytes(packed.getvalue())
    other = Shelf(tmp_path / "other")
    unpack(other, place)
    assert OwnTables(other).all() == {"costs": "a = 1"}
    other.close()
