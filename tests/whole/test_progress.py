"""What takes long says on a terminal how far it is; answers and pipes hold nothing of it."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from pathlib import Path
from threading import Thread

import pytest

RUN = [sys.executable, "-c", "from weatherlap.cli import main; main()"]
DEMO = Path(__file__).parents[2] / "demo"
LINE_AWAY = "\r\x1b[2K"
LONG = [
    pytest.param(["dry", DEMO / "porch-corner.toml"], "of 3  wall sheathing", id="dry"),
    pytest.param(["plan", DEMO / "porch-corner.toml"], "earliest finish", id="plan"),
    pytest.param(["mend", DEMO / "window-sill.toml"], "Searching: 2 traces", id="mend"),
    pytest.param(["packet", DEMO / "window-sill.toml", "-o", "papers"], "Drawing: ", id="packet"),
]


def watched(words: list[str | Path], folder: Path) -> tuple[str, str]:
    """What a command prints into a pipe, and what it says meanwhile to a watched terminal."""
    ours, theirs = pty.openpty()
    said: list[bytes] = []
    with subprocess.Popen(
        [*RUN, *map(str, words)], stdout=subprocess.PIPE, stderr=theirs, cwd=folder,
        env=os.environ | {"TERM": "xterm"},
    ) as running:  # fmt: skip
        os.close(theirs)
        reader = Thread(target=_read_all, args=(ours, said))
        reader.start()
        assert running.stdout is not None
        printed = running.stdout.read()
        reader.join(60)
    os.close(ours)
    return printed.decode("utf-8"), b"".join(said).decode("utf-8")


def _read_all(terminal: int, said: list[bytes]) -> None:
    """Until the other end is closed, which this system tells as an error."""
    try:
        while data := os.read(terminal, 65536):
            said.append(data)
    except OSError:
        return


@pytest.mark.parametrize(("words", "step"), LONG)
def test_long_work_says_how_far_it_is(words: list[str | Path], step: str, tmp_path: Path) -> None:
    """Steps are said one over the other and taken away at the end; the answer is JSON alone."""
    printed, said = watched([*words, "--json"], tmp_path)
    assert json.loads(printed)
    assert step in said
    assert said.count(LINE_AWAY) > 2
    assert said.endswith(LINE_AWAY)
    steps = [text for text in said.split(LINE_AWAY) if text]
    assert all(len(text) <= 80 and "\n" not in text for text in steps)


@pytest.mark.parametrize(("words", "step"), LONG)
def test_pipes_hold_nothing_of_it(words: list[str | Path], step: str, tmp_path: Path) -> None:
    """Where nobody watches, nothing is said on the way, and no sign a terminal would obey."""
    done = subprocess.run(
        [*RUN, *map(str, words)], capture_output=True, text=True, check=True, cwd=tmp_path
    )
    assert done.stderr == ""
    assert step not in done.stdout
    assert "\x1b" not in done.stdout
