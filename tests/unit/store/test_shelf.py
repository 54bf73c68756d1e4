"""The shelf keeps every revision, and steps back and forth among them."""

from __future__ import annotations

import subprocess
import sys
import threading
import time

import pytest

from weatherlap.errors import InputError, JobError
from weatherlap.store.merging import Clash
from weatherlap.store.shelf import NoSuchJob, Shelf


def titled(text, title):
    """The job with another title."""
    return text.replace('"One wall"', f'"{title}"')


def test_a_job_comes_back_as_it_was_put(shelf, text):
    """A job's text is kept letter by letter and listed with its title and pieces."""
    row = shelf.begin(text)
    assert shelf.head(row.id).text == text
    assert [(j.title, j.pieces, j.head) for j in shelf.jobs()] == [("One wall", 3, 1)]


def test_a_broken_job_is_not_kept(shelf, text):
    """A text that is no whole job is refused and leaves no trace."""
    with pytest.raises(JobError):
        shelf.begin(text.replace('face = "wall"', 'face = "roof"'))
    row = shelf.begin(text)
    with pytest.raises(JobError):
        shelf.save(row.id, "[job]", base=1)
    assert shelf.job(row.id).head == 1


def test_undo_and_redo_walk_the_steps(shelf, text):
    """Undo twice and redo twice passes through the same texts; a new step ends what was ahead."""
    row = shelf.begin(text)
    shelf.save(row.id, titled(text, "A"), base=1)
    shelf.save(row.id, titled(text, "B"), base=2)
    titles = []
    for step in (shelf.undo, shelf.undo, shelf.redo, shelf.redo):
        step(row.id)
        titles.append(shelf.job(row.id).title)
    assert titles == ["A", "One wall", "A", "B"]
    shelf.undo(row.id)
    shelf.save(row.id, titled(text, "C"), base=shelf.job(row.id).head)
    with pytest.raises(InputError, match="nothing was undone"):
        shelf.redo(row.id)
    shelf.undo(row.id)
    assert shelf.job(row.id).title == "A"
    assert len(shelf.history(row.id)) == 10


def test_the_first_step_cannot_be_undone(shelf, text):
    """Where the job began there is nothing to undo."""
    row = shelf.begin(text)
    with pytest.raises(InputError, match="where the job began"):
        shelf.undo(row.id)


def test_an_entry_sent_twice_is_kept_once(shelf, text):
    """The same key gives the revision that it made the first time."""
    row = shelf.begin(text)
    first = shelf.save(row.id, titled(text, "A"), base=1, key="k1")
    again = shelf.save(row.id, titled(text, "A"), base=1, key="k1")
    assert (first.again, again.again) == (False, True)
    assert again.revision.number == first.revision.number == shelf.job(row.id).head


def test_what_others_did_in_between_is_kept(shelf, text):
    """Two saves from one base keep both, unless they change the same key."""
    row = shelf.begin(text)
    shelf.save(row.id, titled(text, "Hers"), base=1)
    mine = text.replace('id = "upper"', 'id = "upper"\ndrip = true')
    saved = shelf.save(row.id, mine, base=1)
    assert saved.with_others
    assert "drip = true" in saved.revision.text
    assert '"Hers"' in saved.revision.text
    with pytest.raises(Clash) as clash:
        shelf.save(row.id, titled(text, "Mine"), base=1)
    assert [c.key for c in clash.value.conflicts] == ["job/title"]


def test_many_writers_lose_nothing(shelf, text):
    """Eight writers at once, each with its own reading, end with eight readings."""
    row = shelf.begin(text)

    def write(number):
        reading = f'\n[[reading]]\nface = "wall"\nat = [{number + 1}, 5]\npercent = 20\n'
        shelf.save(row.id, text + reading, base=1, key=f"w{number}")

    threads = [threading.Thread(target=write, args=(n,)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert shelf.head(row.id).text.count("[[reading]]") == 8
    assert shelf.job(row.id).head == 9


def test_a_missing_job_or_revision_is_said(shelf, text):
    """An unknown job and an unknown revision are named as such."""
    with pytest.raises(NoSuchJob):
        shelf.head("0" * 16)
    with pytest.raises(NoSuchJob):
        shelf.revision(shelf.begin(text).id, 7)


def test_a_store_of_another_shape_is_not_opened(tmp_path):
    """A database that a later version wrote is refused, not changed."""
    shelf = Shelf(tmp_path)
    with shelf.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE about_store SET value = '99'")
    shelf.close()
    with pytest.raises(InputError, match="shape 99"):
        Shelf(tmp_path)


KILLED = """
import sys
from pathlib import Path
from weatherlap.store.shelf import Shelf
shelf = Shelf(Path(sys.argv[1]))
text = shelf.head(sys.argv[2]).text
for n in range(1, 10000):
    shelf.save(sys.argv[2], text + f"# step {n}\\n", base=n)
    print(n + 1, flush=True)
"""


def test_a_kill_loses_nothing_that_was_acknowledged(tmp_path, text):
    """Killed in the middle of saves, the store opens with every revision that was reported."""
    shelf = Shelf(tmp_path)
    row = shelf.begin(text)
    shelf.close()
    command = [sys.executable, "-c", KILLED, str(tmp_path), row.id]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    for _ in range(12):
        child.stdout.readline()
    time.sleep(0.02)
    child.kill()
    reported = [int(line) for line in child.stdout.read().split()]
    child.wait()
    opened = Shelf(tmp_path)
    head = opened.head(row.id)
    assert head.number >= max([13, *reported])
    assert f"# step {head.number - 1}\n" in head.text
    assert len(opened.history(row.id)) == head.number
    opened.close()


def test_five_hundred_jobs_are_listed_fast(shelf):
    """A list of 500 jobs is read in under 200 ms."""
    from sqlalchemy import insert

    from weatherlap.store.database import jobs

    rows = [
        {"id": f"{n:016x}", "title": f"Job {n}", "place": "", "pieces": 3, "head": 1,
         "changed_at": float(n)} for n in range(500)
    ]  # fmt: skip
    with shelf.engine.begin() as connection:
        connection.execute(insert(jobs), rows)
    took = []
    for _ in range(3):
        began = time.perf_counter()
        assert len(shelf.jobs()) == 500
        took.append(time.perf_counter() - began)
    assert min(took) < 0.2
