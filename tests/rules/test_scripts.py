"""The scripts say plainly what they lack, and leave nothing half made."""

from __future__ import annotations

import os
import shutil
import subprocess

import pytest


def run(folder, *words, **environment):
    """A script's answer, run by plain sh."""
    return subprocess.run(
        ["/bin/sh", *words],
        cwd=folder,
        env=os.environ | environment,
        capture_output=True,
        text=True,
        check=False,
        stdin=subprocess.DEVNULL,
    )


@pytest.fixture
def clone(root, tmp_path):
    """The scripts and requirements alone, in a fresh folder."""
    for name in ("scripts", "requirements"):
        shutil.copytree(root / name, tmp_path / name)
    shutil.copy(root / "pyproject.toml", tmp_path)
    return tmp_path


def shell_scripts(root):
    """Every script that sh or bash runs."""
    texts = [*sorted((root / "scripts").iterdir()), root / ".ci/run"]
    return [file for file in texts if file.is_file() and file.read_bytes().startswith(b"#!")]


def test_scripts_parse_and_can_be_run(root):
    """Each script is marked as a program and has no fault of syntax."""
    scripts = shell_scripts(root)
    assert {"demo", "test", "run", "environment"} <= {file.name for file in scripts}
    for file in scripts:
        assert file.stat().st_mode & 0o111, file
        assert run(root, "-n", str(file)).returncode == 0, file


def test_no_fitting_python_is_said(clone):
    """Without a Python from 3.11 to 3.13 the script says so, and makes no environment."""
    answer = run(clone, "scripts/environment", "run", PYTHON="no-such-python")
    assert answer.returncode == 1
    assert "No Python 3.11, 3.12 or 3.13 was found (looked for: no-such-python)" in answer.stderr
    assert not (clone / ".venv").exists()


def test_an_unknown_kind_is_refused(clone):
    """Only the two kinds of environment can be asked for."""
    answer = run(clone, "scripts/environment", "all")
    assert answer.returncode == 2
    assert "usage: scripts/environment run|test" in answer.stderr


def test_missing_packages_are_named_where_they_cannot_be_installed(clone):
    """Without Debian's installer the missing packages are named and the script fails."""
    answer = run(clone, "scripts/debian-packages", "chromium", PATH=str(clone))
    assert answer.returncode == 1
    assert "Missing on this machine (Debian's names): chromium" in answer.stderr
