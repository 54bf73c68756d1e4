"""Drying on the command line: whole processes, weather files beside the job, progress, errors."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SMALL = """
[job]
title = "Wet wall"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 48
height = 48
[[piece]]
id = "boards"
what = "board-sheathing"
on = [{ face = "wall", rect = [0, 0, 48, 48] }]
[climate]
weather_file = "station.csv"
latitude = 45
name = "Ridge"
[[dry]]
id = "a"
face = "wall"
at = [20, 20]
inside = "outdoor air, sheltered"
[[dry.open]]
title = "stud"
thickness = 1.5
percent = 28
"""


def run(*arguments: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    """The program in a folder."""
    return subprocess.run(
        [sys.executable, "-c", "from weatherlap.cli import main; main()", *arguments],
        cwd=cwd, capture_output=True, text=True, check=False,
        env=os.environ | {"PYTHONPATH": str(ROOT / "src")},
    )  # fmt: skip


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a job and its weather, with a gap of three hours in it."""
    (tmp_path / "job.toml").write_text(SMALL, "utf-8")
    rows = ["12, 60, 3, 0.1"] * 8760
    rows[100:103] = [", 60, 3, 0.1"] * 3
    head = "temperature [C], humidity [%], wind [m/s], rain [mm]"
    (tmp_path / "station.csv").write_text("\n".join([head, *rows]), "utf-8")
    return tmp_path


def test_hourly_weather_beside_the_job(folder: Path):
    """The file is found from the job's folder, its gap is bridged and that is reported."""
    result = run("dry", "job.toml", "--json", cwd=folder)
    assert result.returncode == 0, result.stderr
    answer = json.loads(result.stdout)
    assert answer["climate"]["place"] == "Ridge"
    assert any("3 missing hours bridged" in r for r in answer["climate"]["repairs"])
    aids = answer["spots"][0]["open"][0]["aids"]
    assert [a["aid"] for a in aids] == ["nothing", "fan", "heater", "fan and heater"]
    assert 0 < aids[0]["days_to_19"] < 120
    assert answer["spots"][0]["repaired"] is None


def test_rain_on_bare_boards_soaks_them(folder: Path):
    """Boards without anything over them take the rain that drives onto the wall."""
    result = run("dry", "job.toml", cwd=folder)
    assert result.returncode == 0, result.stderr
    assert "a year gets to it" in result.stdout


@pytest.mark.parametrize(
    ("text", "says"),
    [
        pytest.param(None, "station.csv: no such file", id="missing"),
        pytest.param("temperature [C]\n1\n", "no column humidity", id="short-of-columns"),
        pytest.param(
            "temperature [C], humidity [%], wind [m/s], rain [mm]\n"
            + "\n".join(["10, 170, 3, 0"] * 8760),
            "humidity_pct 170 %",
            id="impossible-humidity",
        ),
        pytest.param(
            "temperature [C], humidity [%], wind [m/s], rain [mm]\n"
            + "\n".join(["10, 70, 3, 0"] * 100 + [", 70, 3, 0"] * 30 + ["10, 70, 3, 0"] * 8630),
            "missing for 30 hours",
            id="long-gap",
        ),
    ],
)
def test_bad_weather_is_refused(folder: Path, text: str | None, says: str):
    """Weather that is missing, cannot be, or has long gaps is an error in plain words."""
    file = folder / "station.csv"
    file.unlink() if text is None else file.write_text(text, "utf-8")
    result = run("dry", "job.toml", cwd=folder)
    assert result.returncode == 2
    assert says in result.stderr
    assert "Traceback" not in result.stderr


def test_a_job_without_weather_is_told(folder: Path):
    """Without [climate] the command says what to write."""
    (folder / "job.toml").write_text(SMALL[: SMALL.index("[climate]")], "utf-8")
    result = run("dry", "job.toml", cwd=folder)
    assert result.returncode == 2
    assert "[climate]" in result.stderr


def test_the_packet_holds_the_plots(folder: Path):
    """The packet has the drying paper, its figures and each plot."""
    result = run("packet", "job.toml", "-o", "out", cwd=folder)
    assert result.returncode == 0, result.stderr
    names = {p.name for p in (folder / "out").iterdir()}
    assert {"drying.pdf", "drying.json", "dry-a-moisture.svg", "dry-a-open-1.svg"} <= names
