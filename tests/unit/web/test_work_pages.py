"""Work done and the cheapest mend: what the pages and the API tell, and that ticks need no plan."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.job.reading import read_job
from weatherlap.run.mending import mend_job
from weatherlap.water.mendcosts import invented_costs

SILL = Path(__file__).parents[3] / "demo" / "window-sill.toml"


@pytest.fixture
def sill(own):
    """The id of the window sill on the shelf."""
    return own.post("/api/jobs", json={"text": SILL.read_text("utf-8")}).json()["id"]


def ready(own, way):
    """An answer of the API, once it is worked out."""
    while not (told := own.get(way).json())["ready"]:
        pass
    return told


def test_ticks_stand_at_their_tasks_and_the_plan_is_made_once(own, sill, monkeypatch):
    """Hours spent, who, and whether it is done; the plan is not searched again for a tick."""
    told = ready(own, f"/api/jobs/{sill}/done")
    assert [p["id"] for p in told["crew"]] == ["tobin", "wren"]
    first = told["tasks"][0]
    assert (first["finished"], first["spent"], first["ticks"]) == (False, 0, [])
    monkeypatch.setattr("weatherlap.papers.planned.planned_for", None)
    rows = [(first["id"], 1.25, True), ("gone", 2, True)]
    for base, (task, hours, finished) in enumerate(rows, start=1):
        act = {"do": "tick", "task": task, "day": "2026-05-04", "hours": hours, "person": "wren",
               "finished": finished}  # fmt: skip
        own.post(f"/api/jobs/{sill}/acts", json={"base": base, "act": act, "bare": True})
    after = ready(own, f"/api/jobs/{sill}/done")
    assert after["tasks"][0]["ticks"] == [
        {"number": 0, "day": "2026-05-04", "hours": 1.25, "who": "Wren Odell", "finished": True,
         "note": ""}
    ]  # fmt: skip
    assert (after["tasks"][0]["finished"], after["tasks"][0]["spent"]) == (True, 1.25)
    assert after["lost"] == [{"number": 1, "task": "gone", "day": "2026-05-04"}]
    assert after["can_undo"] is True


def test_the_mend_is_the_searchs_own_and_its_changes_can_be_laid(own, job, text):
    """The web shows what the search gives; its changes, laid, are changes of the job."""
    told = ready(own, f"/api/jobs/{job}/mend")["mend"]
    best = mend_job(read_job(text), invented_costs()).best
    assert best is not None
    assert told["best"]["cost_usd"] == pytest.approx(best.cost_usd)
    act = {"do": "lay-mend", "changes": told["best"]["changes"]}
    own.post(f"/api/jobs/{job}/acts", json={"base": 1, "act": act, "bare": True})
    assert read_job(own.get(f"/api/jobs/{job}/file").text).change == best.changes
    page = own.get(f"/job/{job}/mend").text
    assert "Being worked out" in page or "Lay these changes" in page
