"""The command at the brake, as a person runs it."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from weatherlap.cli.app import main

DEMO = Path(__file__).parents[2] / "demo/porch-corner.toml"


@pytest.fixture
def run(monkeypatch, capsys):
    """Run the program with some words; gives its exit code and what it printed."""

    def go(*words):
        monkeypatch.setattr(sys, "argv", ["weatherlap", *map(str, words)])
        with pytest.raises(SystemExit) as ended:
            main()
        said = capsys.readouterr()
        return ended.value.code or 0, said.out, said.err

    return go


def test_it_lists_what_is_bent(run):
    """Each bent piece with girth and whether the brake can make it."""
    code, out, _ = run("bend", DEMO)
    assert code == 0
    assert "post-wrap\n" in out
    assert "As asked for it has no bend order on this brake, and that is proven." in out


def test_one_sheet_is_printed_and_written(run, tmp_path):
    """The sheet of one piece stands on the terminal; PDF, DXF and SVG go into the folder."""
    code, out, _ = run("bend", DEMO, "fascia-wrap", "--out", tmp_path / "shop")
    assert code == 0
    assert "hem down" in out
    assert "Bend order" in out
    names = {place.name for place in (tmp_path / "shop").iterdir()}
    assert {"bend-fascia-wrap.pdf", "bend-fascia-wrap.dxf", "bend-fascia-wrap-steps.svg"} <= names


def test_a_folder_with_other_papers_keeps_them(run, tmp_path):
    """Sheets written into the folder of a packet leave the packet's files alone."""
    (tmp_path / "findings.json").write_text('{"files": ["findings.pdf"]}')
    (tmp_path / "findings.pdf").write_bytes(b"%PDF")
    assert run("bend", DEMO, "diverter", "--out", tmp_path)[0] == 0
    assert (tmp_path / "findings.pdf").exists()


def test_json_is_for_machines(run):
    """With --json the answer is JSON alone."""
    code, out, _ = run("bend", DEMO, "post-wrap", "--json")
    assert code == 0
    (piece,) = json.loads(out)["pieces"]
    assert piece["order"]["possible"]


def test_own_brake_is_taken_from_the_folder(run, tmp_path):
    """A brake that swings to 60 degrees only cannot bend a square corner, and says so."""
    text = (DEMO.parents[1] / "src/weatherlap/metal/data/brakes.toml").read_text("utf-8")
    (tmp_path / "brake.toml").write_text(text.replace("swing_deg = 135.0", "swing_deg = 60.0"))
    code, out, _ = run("bend", DEMO, "beam-wrap-end", "--own", tmp_path)
    assert code == 0
    assert "the leaf turns 60" in out


def test_a_piece_that_is_not_there_is_named(run):
    """An unknown piece ends with 2 and the names that there are."""
    code, _, err = run("bend", DEMO, "no-such")
    assert code == 2
    assert "one of: drip-edge" in err
