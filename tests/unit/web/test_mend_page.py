"""The page of the cheapest mend says what no change cures, and claims no cure."""

from pathlib import Path

import pytest

from weatherlap.building.changes import as_repaired
from weatherlap.building.details.shelf import detail
from weatherlap.job.reading import read_job
from weatherlap.run.worked import work_out

DEMO = Path(__file__).parents[3] / "demo"


@pytest.mark.parametrize(
    ("which", "variant", "words"),
    [
        pytest.param("deck-ledger", "level-flashing", "needed or helps", id="level"),
        pytest.param("deck-ledger", "no-flashing", "that come nearest", id="none-found"),
    ],
)
def test_a_face_without_fall_is_said(own, which, variant, words):
    """What stays wrong stands on the page with what is done about it; nothing is called right."""
    text = detail(which).toml(variant=variant)
    job = own.post("/api/jobs", json={"text": text}).json()["id"]
    page = own.get(f"/job/{job}/mend").text
    assert words in page and "has no fall" in page and "tapered strips" in page
    assert "Nothing has to be done" not in page


def test_a_mend_is_laid_in_place_of_the_changes_that_are_held(own):
    """On a job that was put right by hand the mend stands alone after; undo brings the old back."""
    text = (DEMO / "deck-ledger.toml").read_text("utf-8")
    job = own.post("/api/jobs", json={"text": text}).json()["id"]
    assert "in their place" in own.get(f"/job/{job}/mend").text
    best = own.get(f"/api/jobs/{job}/mend").json()["mend"]["best"]
    act = {"do": "lay-mend", "changes": best["changes"]}
    answer = own.post(f"/api/jobs/{job}/acts", json={"base": 1, "act": act})
    assert answer.status_code == 200
    held = read_job(own.get(f"/api/jobs/{job}/file").text)
    assert [c.do.value for c in held.change] == [c["do"] for c in best["changes"]]
    assert work_out(as_repaired(held)).trace.clean
    assert own.post(f"/api/jobs/{job}/undo", json={}).status_code == 200
    assert len(read_job(own.get(f"/api/jobs/{job}/file").text).change) == 3
