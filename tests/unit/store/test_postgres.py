"""The same store on PostgreSQL, on a server of its own (Debian's; scripts/test installs it)."""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
import threading
from pathlib import Path

import pytest

from weatherlap.store.merging import Clash
from weatherlap.store.packing import pack, unpack
from weatherlap.store.shelf import Shelf

TOOLS = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))


def as_its_user(*command):
    """A command as somebody who may run the server: it refuses to run as root."""
    return ["runuser", "-u", "postgres", "--", *command] if os.geteuid() == 0 else list(command)


@pytest.fixture(scope="module")
def url():
    """The URL of a server that lives for these tests only."""
    tools = TOOLS[-1].parent
    folder = Path(tempfile.mkdtemp(prefix="wl-pg-"))
    if os.geteuid() == 0:
        shutil.chown(folder, "postgres")
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    data = folder / "data"
    make = as_its_user(str(tools / "initdb"), "-D", str(data), "-A", "trust", "-U", "tester")
    subprocess.run(make, check=True, capture_output=True, cwd=folder)
    options = f"-p {port} -h 127.0.0.1 -k {folder}"
    run = as_its_user(str(tools / "pg_ctl"), "-D", str(data), "-o", options, "-w",
                      "-l", str(folder / "log"))  # fmt: skip
    subprocess.run([*run, "start"], check=True, capture_output=True, cwd=folder)
    yield f"postgresql://tester@127.0.0.1:{port}/postgres"
    subprocess.run([*run, "-m", "immediate", "stop"], check=True, capture_output=True, cwd=folder)
    shutil.rmtree(folder)


def test_revisions_merge_and_undo_alike(tmp_path, url, text):
    """Saves from one base are merged, clashes told, steps undone, as on SQLite."""
    shelf = Shelf(tmp_path, url)
    row = shelf.begin(text)
    shelf.save(row.id, text.replace("One wall", "Hers"), base=1)
    mine = text.replace('id = "upper"', 'id = "upper"\ndrip = true')
    assert shelf.save(row.id, mine, base=1, key="k").with_others
    assert shelf.save(row.id, mine, base=1, key="k").again
    with pytest.raises(Clash):
        shelf.save(row.id, text.replace("One wall", "Mine"), base=1)
    shelf.undo(row.id)
    assert shelf.job(row.id).title == "Hers"
    assert "drip" not in shelf.head(row.id).text
    assert "drip" in shelf.redo(row.id).text
    shelf.close()


def test_writers_at_once_and_a_backup_into_the_other_database(tmp_path, url, text):
    """Six writers lose nothing, and the backup of PostgreSQL fills an SQLite store."""
    shelf = Shelf(tmp_path / "pg", url)
    row = shelf.begin(text)

    def write(number):
        reading = f'\n[[reading]]\nface = "wall"\nat = [{number + 1}, 5]\npercent = 20\n'
        shelf.save(row.id, text + reading, base=1, key=f"w{number}")

    threads = [threading.Thread(target=write, args=(n,)) for n in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert shelf.head(row.id).text.count("[[reading]]") == 6
    place = tmp_path / "backup.zip"
    with place.open("wb") as file:
        pack(shelf, file)
    other = Shelf(tmp_path / "sqlite")
    unpack(other, place)
    assert other.head(row.id) == shelf.head(row.id)
    shelf.close()
    other.close()
