"""Compare, mend, order and nights as they are run, on the demo jobs and on a small one."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest

from weatherlap.building.changes import as_repaired
from weatherlap.cli.app import main
from weatherlap.job.reading import read_job
from weatherlap.run.worked import work_out

DEMO = Path(__file__).parents[2] / "demo"
NAMES = ("porch-corner", "window-sill", "deck-ledger")
WRONG_WAY = """# A wall whose upper sheet ends behind the lower one.
[job]
title = "Laps the wrong way round"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96

[[piece]]
id = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""


class Said:
    """Runs a command and gives what it said."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self._patch, self._capsys = monkeypatch, capsys
        self.code = 0

    def __call__(self, *words: object) -> str:
        """What a command printed on the standard output, or else its problems."""
        self._patch.setattr(sys, "argv", ["weatherlap", *map(str, words)])
        with pytest.raises(SystemExit) as done:
            main()
        self.code = done.value.code if isinstance(done.value.code, int) else 0
        said = self._capsys.readouterr()
        return said.out or said.err

    def json(self, *words: object) -> Any:
        """The JSON that a command printed."""
        return json.loads(self(*words, "--json"))


@pytest.fixture
def said(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Said:
    """The command line."""
    return Said(monkeypatch, capsys)


@pytest.fixture
def wrong_way(tmp_path: Path) -> Path:
    """A small job with one lap the wrong way round."""
    place = tmp_path / "job.toml"
    place.write_text(WRONG_WAY, "utf-8")
    return place


@pytest.mark.parametrize("name", NAMES)
def test_each_demo_job_is_put_right(name: str) -> None:
    """With its changes made the rain on every demo job runs off clear, on both layers."""
    job = read_job((DEMO / f"{name}.toml").read_text("utf-8"))
    assert work_out(as_repaired(job)).trace.clean


@pytest.mark.parametrize("name", NAMES)
def test_order_lays_back_all_that_came_off_and_is_not_scrapped(said: Said, name: str) -> None:
    """What goes back came off, and what is laid besides is new; numbers run from 1."""
    table = said.json("order", DEMO / f"{name}.toml")
    down, back = table["take_down"], table["put_back"]
    assert [r["number"] for r in down] == list(range(1, len(down) + 1))
    kept = {r["piece"] for r in down if r["how"] != "is bent up and held"}
    kept -= {r["piece"] for r in down if r["fate"] == "scrapped"}
    assert {r["piece"] for r in back if r["fate"] != "new"} == kept
    laid = [r["piece"] for r in back]
    assert all(laid.index(b) < r["number"] - 1 for r in back for b in r["after"])


def test_the_wrap_goes_on_before_the_top_course(said: Said) -> None:
    """On the porch the hurried crew is told that the beam's wrap goes behind the siding."""
    text = said("order", DEMO / "porch-corner.toml")
    flat = " ".join(text.split())
    assert "The beam wrap, end length goes on before the siding course 11" in flat
    assert "because on the side wall of the house it turns back to the" in flat
    assert said.code == 0


def test_the_sheet_that_was_bent_up_comes_down_in_its_turn(said: Said) -> None:
    """The lap that is turned on the porch is made when the upper sheet is let down again."""
    flat = " ".join(said("order", DEMO / "porch-corner.toml").split())
    words = "Then let the upper barrier sheet down for good, over the barrier patch"
    assert flat.index("Diverter at the eave (flashing, new)") < flat.index(words)
    assert flat.index(words) < flat.index("Siding course 11 (siding, goes back")


def test_nights_of_the_porch_are_wet_and_can_be_covered(said: Said) -> None:
    """With post and beam out it rains into the corner; the covers keep it off."""
    table = said.json("nights", DEMO / "porch-corner.toml")
    first = table["evenings"][0]
    assert first["wet_l"] > 0.5
    assert "sheathing" in first["wets"]
    assert first["covered_l"] < 0.01 * first["wet_l"]
    assert table["evenings"][-1]["wet_l"] < 0.01
    assert table["night_mm"] == pytest.approx(46 * 25.4 / 120)


def test_compare_says_which_change_cured_what(said: Said) -> None:
    """Each finding of the porch is cured; the one change that cures it, or the rule, is named."""
    table = said.json("compare", DEMO / "porch-corner.toml")
    assert table["clean"]
    assert {f["became"] for f in table["findings"]} == {"cured"}
    by = {f["name"]: f["cured_by"] for f in table["findings"]}
    number = {(c["do"], c["piece"]): c["number"] for c in table["changes"]}
    foot = next(by[name] for name in by if name.endswith("| siding-1"))
    assert foot == [number["unseal", "siding-1"]]
    without = {c["piece"]: c["without"] for c in table["changes"]}
    assert "put a diverter there" in without["eave-diverter"]
    assert "asks 2" in without["sheathing"]


def test_the_repaired_porch_keeps_every_rule(said: Said) -> None:
    """As repaired the porch drains on both layers and no lap rule is left open."""
    table = said.json("compare", DEMO / "porch-corner.toml")
    assert table["clean"] and table["rules_open"] == []


def test_mend_writes_a_job_that_drains(said: Said, wrong_way: Path, tmp_path: Path) -> None:
    """The answer is the one turned lap, proven; the written job keeps its comment and drains."""
    out = tmp_path / "mended.toml"
    table = said.json("mend", wrong_way, "-o", out)
    assert table["proven_least"]
    (change,) = table["best"]["changes"]
    assert change == {"do": "turn", "piece": "upper", "over": "lower"}
    text = out.read_text("utf-8")
    assert text.startswith(WRONG_WAY[:40])
    assert work_out(as_repaired(read_job(text))).trace.clean


@pytest.mark.parametrize("name", NAMES)
def test_mend_of_each_demo_drains_and_keeps_every_rule(
    said: Said, tmp_path: Path, name: str
) -> None:
    """It stands in place of the changes that the job held, and leaves no lap rule open."""
    out = tmp_path / "mended.toml"
    table = said.json("mend", DEMO / f"{name}.toml", "-o", out, "--seconds", 120)
    assert table["proven_least"] and table["left_open"] == []
    after = said.json("compare", out)
    assert after["clean"] and after["rules_open"] == []
    assert len(after["changes"]) == len(table["best"]["changes"])


def test_mend_says_why_each_change_is_needed(said: Said, wrong_way: Path) -> None:
    """On the terminal stand cost, proof and what happens without the change."""
    text = " ".join(said("mend", wrong_way).split())
    assert "Proven the least" in text
    assert "Lay the upper over the lower." in text
    assert "Without it: On the wall, the upper ends behind the lower." in text


def test_mend_leaves_a_file_that_is_there(said: Said, wrong_way: Path) -> None:
    """Without --over nothing is written over."""
    assert "there is a file" in said("mend", wrong_way, "-o", wrong_way)
    assert said.code == 2
    assert wrong_way.read_text("utf-8") == WRONG_WAY


@pytest.mark.parametrize("command", ["order", "nights", "compare"])
def test_a_job_without_changes_is_told_so(said: Said, wrong_way: Path, command: str) -> None:
    """There is nothing to put right in a job that holds no change, and that is said."""
    if command == "compare":
        assert "as repaired" in said(command, wrong_way)
        return
    assert "it holds no change" in said(command, wrong_way)
    assert said.code == 2


def test_own_tables_are_read_and_their_faults_named(said: Said, tmp_path: Path) -> None:
    """A table of hours that lacks a trade, or is not there, is answered plainly."""
    place = tmp_path / "hours.toml"
    place.write_text("crew = 2", "utf-8")
    assert "no table [framing]" in said("nights", DEMO / "deck-ledger.toml", "--hours", place)
    assert said.code == 2
    gone = tmp_path / "none.toml"
    assert "no such file" in said("nights", DEMO / "deck-ledger.toml", "--hours", gone)


def test_check_answers_for_the_marks_of_runs(said: Said, tmp_path: Path) -> None:
    """A mark that its pieces cannot reach is a fault of the job file, with the way out."""
    place = tmp_path / "job.toml"
    text = (DEMO / "porch-corner.toml").read_text("utf-8")
    place.write_text(
        text.replace('after = 4, at = "4 ft 1/2 in"', 'after = 4, at = "5 ft"'), "utf-8"
    )
    answer = said("check", place)
    assert "5 pieces would land on the marks" in answer
    line = 1 + place.read_text("utf-8").splitlines().index('marks = [{ after = 4, at = "5 ft" }]')
    assert answer.startswith(f"{place}:{line}: run 'soffit', marks 1: at: ")
    assert said.code == 2


def test_laps_in_a_circle_name_the_line_that_turns_them(said: Said, wrong_way: Path) -> None:
    """A change that closes a circle of laps is answered at check, with its file and line."""
    text = WRONG_WAY.replace('id = "lower"', 'id = "lower"\nbehind = ["third"]')
    text += """
[[piece]]
id = "third"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 60] }]

[[change]]
do = "turn"
piece = "upper"
over = "third"
"""
    wrong_way.write_text(text, "utf-8")
    answer = said("check", wrong_way)
    line = 1 + text.splitlines().index('behind = ["third"]')
    assert "go round in a circle" in answer
    assert answer.startswith(f"{wrong_way}:{line}: piece 'lower': behind: ")


def test_crew_and_day_can_be_said(said: Said) -> None:
    """A smaller crew takes more days; the answer says which crew it was."""
    many = said.json("nights", DEMO / "deck-ledger.toml")
    few = said.json("nights", DEMO / "deck-ledger.toml", "--crew", 1, "--day", 4)
    assert few["days"] > many["days"]
    assert "A crew of 1 at 4 hours" in said(
        "nights", DEMO / "deck-ledger.toml", "--crew", 1, "--day", 4
    )


def test_pole_and_labels_are_written(said: Said, tmp_path: Path) -> None:
    """Both are PDF files, and a word that cannot be read is answered plainly."""
    porch = DEMO / "porch-corner.toml"
    pole, labels = tmp_path / "pole.pdf", tmp_path / "labels.pdf"
    table = said.json("pole", porch, "-o", pole, "--at", "2 ft")
    assert table["held"] == "held upright 2' from the left end"
    assert said.json("labels", porch, "-o", labels)["labels"]
    assert pole.read_bytes()[:5] == labels.read_bytes()[:5] == b"%PDF-"
    assert "up or right" in said("pole", porch, "-o", pole, "--along", "down")
    assert said.code == 2
    assert "--at" in said("pole", porch, "-o", pole, "--at", "two feet")


def test_a_link_for_the_labels_is_the_page_of_a_job(said: Said, tmp_path: Path) -> None:
    """Each code leads to its piece there; an address of something else is refused."""
    porch, out = DEMO / "porch-corner.toml", tmp_path / "labels.pdf"
    page = "http://192.168.7.20:8740/job/0123456789abcdef"
    table = said.json("labels", porch, "-o", out, "--link", page)
    assert {row["text"].split("?piece=")[0] for row in table["labels"]} == {page}
    assert "the address of the job's page" in said("labels", porch, "-o", out, "--link", "porch")
    assert said.code == 2
