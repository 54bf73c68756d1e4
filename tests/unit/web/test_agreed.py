"""Contract and change orders in the web: kept under a seal, drawn up, declined, never changed."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.cli import main
from weatherlap.job.reading import read_job
from weatherlap.money.changeorders import check_seals
from weatherlap.run.changeorder import promises_of

SILL = Path(__file__).parents[3] / "demo" / "window-sill.toml"
DAY = "2026-04-20"


@pytest.fixture
def sill(own):
    """The id of the window sill on the shelf."""
    return own.post("/api/jobs", json={"text": SILL.read_text("utf-8")}).json()["id"]


def agreed(own, job):
    """What is agreed, once it is worked out."""
    while not (told := own.get(f"/api/jobs/{job}/agreed").json())["ready"]:
        pass
    return told


def answer(own, job, base, **more):
    """The client's answer to the job as a revision has it."""
    body = {"base": base, "key": "", "by": "A. Client", "day": DAY, "answer": "signed", **more}
    return own.post(f"/api/jobs/{job}/states", json=body)


def change_it(own, job, base, *, piece="siding-14"):
    """One change more than was agreed: a piece taken off and put back."""
    act = {"do": "add-changes", "changes": [{"do": "reuse", "piece": piece, "why": "To look."}]}
    body = {"base": base, "act": act, "key": "", "bare": True}
    return own.post(f"/api/jobs/{job}/acts", json=body).json()["revision"]


def test_a_contract_is_kept_as_the_terminal_keeps_it(own, sill, tmp_path, monkeypatch):
    """Number, price, days, lines and seal of the state are those that `weatherlap sign` writes."""
    before = agreed(own, sill)
    assert (before["states"], before["orders"], before["has_news"]) == ([], None, True)
    kept = answer(own, sill, 1)
    assert kept.status_code == 201
    place = tmp_path / "job.toml"
    place.write_bytes(SILL.read_bytes())
    monkeypatch.setattr("sys.argv", ["weatherlap", "sign", str(place), "--by", "A. Client",
                                     "--on", DAY])  # fmt: skip
    with pytest.raises(SystemExit) as end:
        main()
    assert end.value.code in (0, None)
    web = read_job(own.get(f"/api/jobs/{sill}/file").text).state
    assert web == read_job(place.read_text("utf-8")).state
    assert web[0].seal == kept.json()["seal"]
    after = agreed(own, sill)
    assert (after["has_news"], len(after["states"])) == (False, 1)


def test_a_change_order_is_drawn_up_declined_and_stays_on_record(own, sill):
    """The difference is shown; declining it needs its consequence; the price stays as signed."""
    answer(own, sill, 1)
    base = change_it(own, sill, 2)
    order = agreed(own, sill)["orders"]
    assert order["not_signed"]["number"] == 1
    assert order["not_signed"]["added"]
    silent = answer(own, sill, base, answer="declined")
    assert "says nothing of what follows" in silent.json()["problems"][0]["found"]
    said = {"answer": "declined", "consequence": "It stays wet.", "why": "The awl."}
    assert answer(own, sill, base, **said).status_code == 201
    after = agreed(own, sill)
    assert [s["answer"] for s in after["states"]] == ["signed", "declined"]
    assert after["orders"]["price_cents"] == after["states"][0]["price_cents"]
    assert after["has_news"] is False
    check_seals(promises_of(read_job(own.get(f"/api/jobs/{sill}/file").text)))


def test_an_answer_is_written_once_and_only_to_what_was_seen(own, sill):
    """Sent twice with one key it is kept once; to a job that was changed since, not at all."""
    first = answer(own, sill, 1, key="one").json()
    again = answer(own, sill, 1, key="one").json()
    assert (first["again"], again["again"], again["revision"]) == (False, True, 2)
    base = change_it(own, sill, 2)
    own.post(
        f"/api/jobs/{sill}/acts",
        json={"base": base, "act": {"do": "about", "key": "by", "text": "T."}, "bare": True},
    )
    late = answer(own, sill, base)
    assert late.status_code == 422
    assert "somebody changed it" in late.json()["problems"][0]["found"]


def test_what_was_signed_is_neither_undone_nor_edited(own, sill):
    """Undo and a job file by hand that change a kept state are refused, in plain words."""
    answer(own, sill, 1)
    undone = own.post(f"/api/jobs/{sill}/undo", json={"bare": True})
    assert "it was signed by A. Client" in undone.json()["problems"][0]["found"]
    text = own.get(f"/api/jobs/{sill}/file").text.replace('by = "A. Client"', 'by = "Nobody"')
    edited = own.put(f"/api/jobs/{sill}/file", json={"base": 2, "text": text})
    assert (edited.status_code, edited.json()["problems"][0]["where"]) == (422, "the contract")
    agreed(own, sill)
    page = own.get(f"/job/{sill}/agreed").text
    assert "Kept states are not edited" in page


@pytest.mark.parametrize(
    ("more", "found"),
    [({"by": " "}, "nobody is named"), ({"day": "2999-01-01"}, "found 2999-01-01")],
    ids=["nobody", "a day to come"],
)
def test_an_answer_needs_a_name_and_a_day_that_was(own, sill, more, found):
    """Nobody cannot sign, and nobody signs tomorrow."""
    assert found in answer(own, sill, 1, **more).json()["problems"][0]["found"]


def test_a_photo_that_a_kept_state_shows_stays(own, sill):
    """A photo behind a change order cannot be taken off the job."""
    from tests.unit.web.test_noting import picture, send_photo

    answer(own, sill, 1)
    photo = send_photo(own, sill, picture(120), step="protect").json()
    name = read_job(own.get(f"/api/jobs/{sill}/file").text).photo[0].file
    base = change_it(own, sill, 3)
    assert answer(own, sill, base, photos=[name]).status_code == 201
    gone = own.delete(f"/api/photos/{photo['id']}")
    assert (gone.status_code, gone.json()["problems"][0]["found"]) == (
        422, f"change order 1, signed on {DAY}, shows it"
    )  # fmt: skip


def test_a_job_without_terms_has_no_such_page(own, job):
    """A job that says nothing of what is agreed gives 404, and its page does not lead there."""
    assert own.get(f"/job/{job}/agreed").status_code == 404
    assert own.get(f"/job/{job}/done").status_code == 404
    assert "/agreed" not in own.get(f"/job/{job}").text


def test_what_cannot_be_worked_out_says_why_and_leads_back(own, sill):
    """Sheathing is taken off and nobody of the crew can do sheathing: the page says that."""
    change_it(own, sill, 1, piece="sheathing")
    while own.get(f"/api/jobs/{sill}/agreed").status_code == 200:
        pass
    page = own.get(f"/job/{sill}/agreed")
    assert page.status_code == 422
    assert "nobody can do sheathing" in page.text
    assert f'href="/job/{sill}"' in page.text
