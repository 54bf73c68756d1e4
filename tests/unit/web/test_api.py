"""The API: what is done to a job, what follows, and how it says what is wrong."""

from __future__ import annotations

import io
import time
import tomllib

import pytest
from PIL import Image

from weatherlap.job.reading import read_job


def act(own, job, base, act, **more):
    """The answer to an act on a job."""
    return own.post(f"/api/jobs/{job}/acts", json={"base": base, "act": act, **more})


def data_of(own, job):
    """The job file's data."""
    return tomllib.loads(own.get(f"/api/jobs/{job}/file").text)


def piece_of(own, job, piece):
    """One piece's record in the job file."""
    return next(p for p in data_of(own, job)["piece"] if p["id"] == piece)


def test_a_job_begins_from_a_detail_with_its_sizes(own):
    """Sizes as a tape reads are taken; the title is the given one; it reads back whole."""
    body = {"detail": "window", "variant": "right", "sizes": {}, "title": 'Mrs. "O\'Neil" <b>'}
    answer = own.post("/api/jobs", json=body)
    assert answer.status_code == 201
    file = own.get(f"/api/jobs/{answer.json()['id']}/file").text
    assert read_job(file).job.title == body["title"]
    page = own.get(f"/job/{answer.json()['id']}").text
    assert "<b>" not in page.split("</head>")[1].split("<figure")[0].replace("</b>", "")


def test_a_wrong_size_is_said(own):
    """A size out of its range, or none at all, is answered with what would be right."""
    body = {"detail": "window", "sizes": {"width": "900'"}}
    answer = own.post("/api/jobs", json=body)
    assert answer.status_code == 422
    assert all(answer.json()["problems"][0][key] for key in ("where", "found", "want"))


def test_turning_a_lap_and_back_gives_the_same_water(own, job):
    """A lap turned round changes the findings, undo brings the same findings again."""
    board = own.get(f"/api/jobs/{job}/board?face=wall").json()
    lap = next(x for x in board["touch"]["laps"] if x["kind"] == "head" and x["right_way"])
    first = own.get(f"/api/jobs/{job}").json()
    turn = {"do": "turn", "piece": lap["inner"], "over": lap["outer"]}
    answer = act(own, job, 1, turn, face="wall").json()
    assert answer["job"]["findings"] != first["findings"] or not answer["job"]["clean"]
    now = [x for x in answer["board"]["touch"]["laps"]
           if {x["outer"], x["inner"]} == {lap["outer"], lap["inner"]}]  # fmt: skip
    assert now and all(x["outer"] == lap["inner"] for x in now)
    undone = own.post(f"/api/jobs/{job}/undo", json={"face": "wall"}).json()
    assert undone["job"]["findings"] == first["findings"]
    assert undone["board"]["svg"] == board["svg"]


def test_each_act_writes_what_it_says(own, job):
    """Seal, unseal, drip, extend, lay, reading, damage and strike are in the job file."""
    piece = data_of(own, job)["piece"][0]["id"]
    face = data_of(own, job)["piece"][0]["on"][0]["face"]
    acts = [
        {"do": "seal", "piece": piece, "edge": "top"},
        {"do": "drip", "piece": piece},
        {"do": "reading", "face": face, "at": [3.03, 4], "percent": 31.5, "piece": piece},
        {"do": "damage", "face": face, "at": [3, 4], "text": "soft"},
        {"do": "lay", "face": face, "rect": [1, 1, 9.02, 9], "title": "Pan", "sheet": "sheds"},
    ]
    base = 1
    for one in acts:
        answer = act(own, job, base, one)
        assert answer.status_code == 200, answer.text
        base = answer.json()["job"]["revision"]
    data = data_of(own, job)
    assert (data["piece"][0]["sealed"], data["piece"][0]["drip"]) == (["top"], True)
    assert data["piece"][-1]["on"][0]["rect"] == [1, 1, 9, 9]
    assert data["reading"] == [{"face": face, "at": [3, 4], "percent": 31.5, "piece": piece}]
    assert data["damage"][0]["text"] == "soft"
    for one in ({"do": "unseal", "piece": piece, "edge": "top"}, {"do": "drip", "piece": piece},
                {"do": "strike", "kind": "reading", "number": 0}):  # fmt: skip
        base = act(own, job, base, one).json()["job"]["revision"]
    data = data_of(own, job)
    assert not {"sealed", "drip"} & data["piece"][0].keys()
    assert "reading" not in data


def test_an_edge_moves_by_sixteenths(own, job):
    """Only the panel's rect changes, by the nearest sixteenth."""
    piece = next(p for p in data_of(own, job)["piece"] if "rect" in p["on"][0])
    face, before = piece["on"][0]["face"], own.get(f"/api/jobs/{job}/file").text
    one = {"do": "extend", "piece": piece["id"], "face": face, "side": "bottom", "by": -1.03}
    assert act(own, job, 1, one).status_code == 200
    after = own.get(f"/api/jobs/{job}/file").text
    changed = [a for a, b in zip(after.splitlines(), before.splitlines(), strict=True) if a != b]
    assert len(changed) == 1
    old, new = (read_job(t) for t in (before, after))
    rect = next(p for p in new.piece if p.id == piece["id"]).on[0].rect
    was = next(p for p in old.piece if p.id == piece["id"]).on[0].rect
    assert rect == (was[0], was[1] + 1.0, was[2], was[3])


def test_a_piece_never_there_leaves_no_name_behind(own, job):
    """Taken away as found, its record and every mention of it are gone."""
    rows = data_of(own, job)["piece"]
    behind = next((b for p in rows for b in p.get("behind", [])), rows[0]["id"])
    assert act(own, job, 1, {"do": "take-away", "piece": behind}).status_code == 200
    assert f'"{behind}"' not in own.get(f"/api/jobs/{job}/file").text


def test_as_repaired_an_act_becomes_a_change(own, job):
    """What was found stays; the change stands in the file, and can be struck out."""
    piece = data_of(own, job)["piece"][0]["id"]
    one = {"do": "seal", "piece": piece, "edge": "bottom"}
    answer = act(own, job, 1, one, state="repaired").json()
    assert answer["job"]["state"] == "repaired"
    data = data_of(own, job)
    assert data["change"] == [{"do": "seal", "piece": piece, "edge": "bottom"}]
    assert "sealed" not in data["piece"][0]
    again = act(own, job, 2, one, state="repaired")
    assert again.status_code == 400
    assert "sealed already" in again.json()["problems"][0]["found"]
    struck = act(own, job, 2, {"do": "strike", "kind": "change", "number": 0}, state="repaired")
    assert struck.json()["job"]["state"] == "found"


def test_two_people_are_asked_piece_by_piece(own, job):
    """The same key in two ways is a conflict; other things are kept from both."""
    say = {"do": "about", "key": "client"}
    assert act(own, job, 1, {**say, "text": "hers"}).status_code == 200
    clash = act(own, job, 1, {**say, "text": "mine"})
    assert clash.status_code == 409
    (one,) = clash.json()["conflicts"]
    assert (one["key"], one["theirs"], one["mine"]) == ("job/client", '"hers"', '"mine"')
    kept = act(own, job, 1, {**say, "text": "mine"}, choices={one["key"]: "mine"})
    assert kept.json()["with_others"]
    assert data_of(own, job)["job"]["client"] == "mine"


def test_an_entry_is_kept_once(own, job):
    """An entry that the phone sends again after a broken answer makes no second reading."""
    face = data_of(own, job)["face"][0]["id"]
    one = {"do": "reading", "face": face, "at": [3, 4], "percent": 20}
    answers = [act(own, job, 1, one, key="abc").json() for _ in range(2)]
    assert [a["again"] for a in answers] == [False, True]
    assert len(data_of(own, job)["reading"]) == 1


def test_views_follow_the_job(own, job):
    """Section, solid, finding, trace, open-next and history answer for the same revision."""
    said = own.get(f"/api/jobs/{job}").json()
    finding = said["findings"][0]
    at = f"face={finding['face']}&at={finding['at'][0]}"
    assert own.get(f"/api/jobs/{job}/section?{at}").text.startswith("<svg")
    solid = own.get(f"/api/jobs/{job}/solid").json()
    assert {p["id"] for p in solid["pieces"]} == {p["id"] for p in said["pieces"]}
    told = own.get(f"/api/jobs/{job}/findings/{finding['letter']}").json()
    assert told["text"] == finding["text"] and told["look"]
    trace = own.get(f"/api/jobs/{job}/trace").json()
    assert [f["letter"] for f in trace["findings"]] == [f["letter"] for f in said["findings"]]
    assert own.get(f"/api/jobs/{job}/open-next").json()["looks"]
    assert [r["number"] for r in own.get(f"/api/jobs/{job}/history").json()] == [1]


def test_papers_come_as_files(own, job):
    """Findings sheet, drawings, handout and backup are what they say."""
    assert own.get(f"/job/{job}/findings.pdf").content.startswith(b"%PDF")
    page = own.get(f"/job/{job}/drawings").text
    name = page.split(f"/job/{job}/drawings/")[1].split(".svg")[0]
    assert own.get(f"/job/{job}/drawings/{name}.svg").text.startswith("<svg")
    assert own.get(f"/job/{job}/drawings/..%2f..%2fkey.svg").status_code == 404
    out = own.get(f"/job/{job}/handout.html").text
    assert "<script" not in out and "http-equiv" in out and out.count("<svg") > 2
    assert own.get("/backup.zip").content.startswith(b"PK")


def test_photos_go_in_and_come_out(own, job):
    """A photo is shown, marked and put into the handout with its marks; other files are refused."""
    data = io.BytesIO()
    Image.new("RGB", (60, 30)).save(data, "PNG")
    sent = {"photo": ("../../x.png", data.getvalue(), "text/html")}
    fields = {"face": "wall", "u": "3", "v": "4", "words": "<script>rot</script>"}
    photo = own.post(f"/api/jobs/{job}/photos", files=sent, data=fields).json()
    shown = own.get(f"/api/photos/{photo['id']}?wide=64")
    assert shown.headers["content-type"] == "image/jpeg"
    mark = {"kind": "text", "spots": [[0.1, 0.2]], "words": "<b>here"}
    body = {"marks": [mark], "words": photo["words"]}
    assert own.put(f"/api/photos/{photo['id']}/marks", json=body).json()["marks"] == [mark]
    out = own.get(f"/job/{job}/handout.html").text
    assert "&lt;b&gt;here" in out and "<script" not in out
    bad = own.post(f"/api/jobs/{job}/photos", files={"photo": ("x.png", b"<svg/>", "image/png")})
    assert bad.status_code == 422
    assert own.delete(f"/api/photos/{photo['id']}").status_code == 204
    assert own.get(f"/api/jobs/{job}/photos").json() == []


@pytest.mark.parametrize(
    ("way", "status"),
    [
        ("/api/jobs/0000000000000000", 404),
        ("/api/jobs/..%2f..%2fetc", 404),
        ("/api/jobs/1%20or%201", 422),
        ("/api/details-none", 404),
        ("/static/../app.py", 404),
        ("/static/%2e%2e/app.py", 404),
        ("/begin/none", 422),
    ],
)
def test_wrong_ways_are_answered_in_one_shape(own, way, status):
    """Unknown jobs, tricks with paths and wrong ids are answered as problems."""
    answer = own.get(way)
    assert answer.status_code == status
    assert answer.json()["ok"] is False and answer.json()["problems"][0]["found"]


def test_the_big_demo_is_followed_again_at_once(own, demo_text):
    """A tap on the demo of 69 pieces takes under a second of work, whatever else runs."""
    job = own.post("/api/jobs", json={"text": demo_text}).json()["id"]
    own.get(f"/job/{job}")
    began = time.process_time()
    answer = act(own, job, 1, {"do": "drip", "piece": "underlayment"}, face="wall")
    assert answer.status_code == 200
    assert time.process_time() - began < 1.0
