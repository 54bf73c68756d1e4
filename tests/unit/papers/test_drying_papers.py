"""The papers of drying: what the binder makes of a job, and what it says where it cannot."""

from __future__ import annotations

import json
from pathlib import Path

import pypdfium2
import pytest

from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.papers.binder import BINDERS, Bound, bound
from weatherlap.papers.leaf import Grid
from weatherlap.papers.leafpdf import leaf_pdf
from weatherlap.papers.paper import Paper
from weatherlap.run.dryweather import weather_text
from weatherlap.sources import source

DEMO = Path(__file__).parents[3] / "demo" / "porch-corner.toml"


@pytest.fixture(scope="module")
def job() -> Job:
    """The porch."""
    return read_job(DEMO.read_text("utf-8"))


@pytest.fixture(scope="module")
def made(job: Job) -> Bound:
    """Its papers of drying."""
    return bound(binder(), job, own={})


def binder():
    """The binder of drying."""
    return next(b for b in BINDERS if b.key == "drying")


def test_it_shows_only_with_weather(job: Job):
    """A job without a climate has no part of drying."""
    assert binder().holds(job)
    assert not binder().holds(job.model_copy(update={"climate": None, "dry": ()}))


def test_answers_come_first(made: Bound):
    """The lead begins with the days in the open and has a sentence for each spot."""
    lead = made.leaves[0].lead
    assert lead[0].startswith("Left open to the air in October in Quillhaven's climate")
    assert len(lead) == 1 + 3 + 1


def test_every_spot_has_its_plots(made: Bound):
    """Moisture, profile and mould of each spot, one of the stud; all of them as files too."""
    names = {d.name for d in made.leaves[0].drawings()}
    spots = ("wall-foot", "patch", "beam-end")
    assert names == {f"dry-{s}-{p}" for s in spots for p in ("moisture", "profile", "mould")} | {
        "dry-patch-open-1"
    }
    assert set(made.files) == {f"{n}.svg" for n in names}


def test_the_table_is_plain(made: Bound):
    """The figures can be written as JSON and read again."""
    again = json.loads(json.dumps(made.table))
    assert [s["id"] for s in again["spots"]] == ["wall-foot", "patch", "beam-end"]


def test_sources_are_registered(made: Bound):
    """Every source named on the paper stands in the register."""
    assert made.leaves[0].sources
    assert all(source(key).title for key in made.leaves[0].sources)


def test_readings_are_corrected(made: Bound):
    """The readings stand with their temperature and what they mean."""
    part = next(p for p in made.leaves[0].parts if p.head == "What the meter read")
    (grid,) = (b for b in part.blocks if isinstance(b, Grid))
    assert len(grid.rows) == 5
    assert grid.rows[0][2] == "34" and grid.rows[0][4].startswith("35 %")


@pytest.mark.parametrize("paper", list(Paper))
def test_it_typesets(made: Bound, paper: Paper):
    """The leaf becomes a PDF on both papers, with the answer on its first page."""
    pdf = pypdfium2.PdfDocument(leaf_pdf(made.leaves[0], paper=paper))
    try:
        first = pdf[0].get_textpage().get_text_range()
        assert "Quillhaven" in first and "stud behind the patch" in " ".join(first.split())
        assert len(pdf) <= 12
    finally:
        pdf.close()


def test_what_cannot_be_worked_out_is_said(job: Job):
    """A weather file that is not there gives a paper that says so, and spoils nothing else."""
    climate = job.climate
    assert climate is not None
    other = climate.model_copy(update={"months": None, "weather_file": "station.csv"})
    made = bound(binder(), job.model_copy(update={"climate": other}), own={})
    assert made.table["ok"] is False
    assert "station.csv" in " ".join(made.table["problems"])


def test_weather_is_taken_from_the_firms_tables(job: Job):
    """The text of a weather file comes in beside the firm's own tables."""
    rows = "\n".join("10, 70, 3, 0.1" for _ in range(8760))
    text = f"temperature [C], humidity [%], wind [m/s], rain [mm]\n{rows}\n"
    assert job.climate is not None
    other = job.climate.model_copy(update={"months": None, "weather_file": "station.csv"})
    spots = job.dry[2:]
    made = bound(
        binder(), job.model_copy(update={"climate": other, "dry": spots}), own={"weather": text}
    )
    assert made.table["ok"] is True
    assert made.table["climate"]["rain_mm"] == pytest.approx(876.0)
    assert weather_text({"weather": f"text = '''\n{text}'''\n"}) == text
    assert weather_text({"weather": text}) == text
