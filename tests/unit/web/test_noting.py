"""What a thumb writes into the records of a job: ticks, awl, allowances, changes, photos."""

from __future__ import annotations

import io
from pathlib import Path

import pytest
from PIL import Image

from weatherlap.job.reading import read_job

SILL = Path(__file__).parents[3] / "demo" / "window-sill.toml"
FACE = "wall"


@pytest.fixture
def sill(own):
    """The id of the window sill on the shelf."""
    return own.post("/api/jobs", json={"text": SILL.read_text("utf-8")}).json()["id"]


def put(own, job, act, *, base=1, key=""):
    """An act without a drawing."""
    body = {"base": base, "act": act, "key": key, "bare": True}
    return own.post(f"/api/jobs/{job}/acts", json=body)


def job_of(own, job):
    """The job as its file reads."""
    return read_job(own.get(f"/api/jobs/{job}/file").text)


def tick(task, hours, **more):
    """A tick on a day of the work."""
    return {"do": "tick", "task": task, "day": "2026-05-04", "hours": hours, **more}


def test_a_tick_is_written_as_the_job_file_has_it_and_can_be_undone(own, sill):
    """Task, day, hours, who and a note stand under [[done]]; undo takes them out again."""
    answer = put(own, sill, tick("protect", 1.5, person="tobin", note="Windy.", finished=False))
    assert answer.json()["revision"] == 2
    (done,) = job_of(own, sill).done
    assert (done.task, done.spent_h, done.finished, done.note) == ("protect", 1.5, False, "Windy.")
    assert own.post(f"/api/jobs/{sill}/undo", json={"bare": True}).json() == {"revision": 3}
    assert job_of(own, sill).done == ()


def test_two_people_tick_at_once_and_nothing_is_lost(own, sill):
    """Ticks made on one revision are both kept, and the second is told; sent twice, kept once."""
    put(own, sill, tick("protect", 1))
    answer = put(own, sill, tick("clean-up", 2), key="abc").json()
    again = put(own, sill, tick("clean-up", 2), key="abc").json()
    assert (answer["with_others"], again["again"]) == (True, True)
    assert [d.task for d in job_of(own, sill).done] == ["protect", "clean-up"]


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (tick("protect", 1, person="nobody"), "there is no 'nobody' in the crew"),
        ({"do": "pick", "face": FACE, "at": [9, 9], "piece": "x", "says": "soft"}, "there is no"),
        ({"do": "came-to", "allowance": "x", "actual": 2}, "there is no 'x'"),
        ({"do": "strike", "kind": "done", "number": 0}, "there is no number 0"),
        ({"do": "add-changes", "changes": [{"do": "turn", "piece": "sill"}]}, "has no `over`"),
        (
            {"do": "add-changes", "changes": [{"do": "drip", "piece": "sill", "by": 1}]},
            "`by` means nothing here",
        ),
    ],
    ids=["crew", "piece", "allowance", "strike", "key", "idle key"],
)
def test_what_does_not_fit_is_refused_in_words(own, sill, act, words):
    """Somebody who is not in the crew, a piece that is not there and so on: said, nothing kept."""
    answer = put(own, sill, act)
    assert answer.status_code == 422
    assert words in answer.json()["problems"][0]["found"]
    assert own.get("/api/jobs").json()[0]["head"] == 1


def test_what_the_awl_says_is_written_and_struck_out(own, sill):
    """A push of the awl names piece, place to the sixteenth and day; it can be struck out."""
    piece = job_of(own, sill).piece[0]
    face = piece.on[0].face
    act = {"do": "pick", "face": face, "at": [10.03, 4], "piece": piece.id, "says": "rotten",
           "date": "2026-05-04"}  # fmt: skip
    assert put(own, sill, act).status_code == 200
    (pick,) = job_of(own, sill).pick
    assert (pick.piece, pick.at, pick.says.value) == (piece.id, (10.0, 4.0), "rotten")
    said = own.get(f"/api/jobs/{sill}").json()["picks"]
    assert said == [{"number": 0, "face": face, "at": [10, 4], "piece": piece.id,
                     "says": "rotten", "date": "2026-05-04"}]  # fmt: skip
    put(own, sill, {"do": "strike", "kind": "pick", "number": 0}, base=2)
    assert job_of(own, sill).pick == ()


def test_what_an_allowance_came_to_is_set_and_unset(own, sill):
    """The actual quantity goes into the allowance; None takes it out again."""
    name = job_of(own, sill).allowance[0].id
    put(own, sill, {"do": "came-to", "allowance": name, "actual": 3.5})
    assert job_of(own, sill).allowance[0].actual == 3.5
    put(own, sill, {"do": "came-to", "allowance": name, "actual": None}, base=2)
    assert job_of(own, sill).allowance[0].actual is None


def test_changes_are_added_after_those_there_and_not_twice(own, sill):
    """A change is added as the file has it; the same one again is refused, a clash is said."""
    before = job_of(own, sill)
    free = next(p.id for p in before.piece if all(c.piece != p.id for c in before.change))
    change = {"do": "reuse", "piece": free, "why": "It is sound."}
    assert put(own, sill, {"do": "add-changes", "changes": [change]}).status_code == 200
    after = job_of(own, sill)
    assert (len(after.change), after.change[-1].why) == (len(before.change) + 1, "It is sound.")
    told = own.get(f"/api/jobs/{sill}").json()["changes"][-1]
    assert told["text"].startswith("Take the ")
    again = put(own, sill, {"do": "add-changes", "changes": [change]}, base=2)
    assert "holds all of them" in again.json()["problems"][0]["found"]
    away = {"do": "add-changes", "changes": [{"do": "take-away", "piece": free}]}
    clash = put(own, sill, away, base=2)
    assert "reused and is taken away" in clash.json()["problems"][0]["found"]


@pytest.mark.parametrize("shape", ["rect", "outline"])
def test_a_piece_is_drawn_with_its_catalogue_entry(own, job, shape):
    """A rectangle or corners in turn make a piece of a catalogue entry, to the sixteenth."""
    drawn = {
        "rect": {"rect": [2.03, 2, 14, 12]},
        "outline": {"outline": [[2.03, 2], [14, 2], [2, 12]]},
    }[shape]
    entry = own.get("/api/catalogue").json()[0]
    face = own.get(f"/api/jobs/{job}").json()["faces"][0]["id"]
    act = {"do": "lay", "face": face, "what": entry["id"], **drawn}
    answer = put(own, job, act)
    assert answer.status_code == 200, answer.json()
    piece = job_of(own, job).piece[-1]
    assert (piece.what, piece.title, piece.sheet) == (entry["id"], entry["name"], None)
    found = piece.on[0].rect if shape == "rect" else piece.on[0].outline[0]
    assert found[:2] == (2.0, 2.0)
    both = put(own, job, {**act, "rect": [0, 0, 1, 1], "outline": [[0, 0], [1, 0], [0, 1]]})
    assert both.status_code == 422


def picture(shade):
    """A small photo."""
    out = io.BytesIO()
    Image.new("RGB", (40, 30), (shade, shade, shade)).save(out, "JPEG")
    return out.getvalue()


def send_photo(own, job, data, **fields):
    """A photo as the phone sends it."""
    return own.post(f"/api/jobs/{job}/photos", files={"photo": data}, data=fields)


def test_a_photo_of_a_step_stands_in_the_job_file_once(own, sill):
    """With a step, a photo is a record of the job too; taken off, both are gone."""
    face = job_of(own, sill).face[0].id
    for _ in range(2):
        answer = send_photo(own, sill, picture(90), face=face, step="protect", words="Sheets up",
                            key="ab" * 8)  # fmt: skip
        assert answer.status_code == 201
    (photo,) = job_of(own, sill).photo
    assert (photo.step, photo.face, photo.text) == ("protect", face, "Sheets up")
    assert own.get("/api/jobs").json()[0]["head"] == 2
    assert own.delete(f"/api/photos/{answer.json()['id']}").status_code == 204
    assert job_of(own, sill).photo == ()
