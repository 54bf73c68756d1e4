"""A disk that is full: what was acknowledged stays, what did not fit is said and left out."""

import io
import json
import os
import subprocess
import sys

from PIL import Image

from weatherlap.store.photos import Photos
from weatherlap.store.shelf import Shelf

ROOM = 400_000
FILLS = """
import json, resource, sys
from pathlib import Path
from weatherlap.store.database import CannotKeep
from weatherlap.store.photos import Photos
from weatherlap.store.shelf import Shelf

shelf, job = Shelf(Path(sys.argv[1])), sys.argv[2]
photos = Photos(shelf)
large = Path(sys.argv[3]).read_bytes()
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[4]), resource.RLIM_INFINITY))
text, kept, said = shelf.head(job).text, [], []
for n in range(1, 4000):
    try:
        saved = shelf.save(job, f"{text}# {'x' * 4000} {n}\\n", base=kept[-1] if kept else 1)
        kept.append(saved.revision.number)
    except CannotKeep as error:
        said.append(str(error))
        break
try:
    photos.add(job, large)
except CannotKeep as error:
    said.append(str(error))
print(json.dumps({"kept": kept, "said": said}))
"""


def test_a_full_disk_loses_nothing_that_was_acknowledged(tmp_path, text):
    """Saves and photos that do not fit are refused plainly; the rest is whole, and goes on."""
    shelf = Shelf(tmp_path / "store")
    job = shelf.begin(text).id
    shelf.close()
    photo = tmp_path / "large.png"
    out = io.BytesIO()
    Image.frombytes("RGB", (600, 400), os.urandom(720_000)).save(out, "PNG")
    photo.write_bytes(out.getvalue())
    command = [sys.executable, "-c", FILLS, str(tmp_path / "store"), job, str(photo), str(ROOM)]
    done = subprocess.run(command, capture_output=True, text=True, timeout=120)
    told = json.loads(done.stdout)
    assert len(told["kept"]) > 5
    assert len(told["said"]) == 2
    assert all("cannot be written" in words and "Make room" in words for words in told["said"])
    opened = Shelf(tmp_path / "store")
    assert opened.head(job).number == told["kept"][-1]
    assert len(opened.history(job)) == told["kept"][-1]
    with opened.engine.connect() as connection:
        assert connection.exec_driver_sql("PRAGMA integrity_check").scalar() == "ok"
    photos = Photos(opened)
    assert photos.of(job) == ()
    assert [p for p in photos.folder.rglob("*") if p.is_file()] == []
    photos.add(job, photo.read_bytes())
    opened.close()
