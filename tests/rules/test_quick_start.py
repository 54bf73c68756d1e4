"""The command line starts at once: what is heavy is imported by the command that needs it."""

from __future__ import annotations

import subprocess
import sys

from typer.main import get_command

from weatherlap.cli.app import app, app_for

HEAVY = {
    "numpy", "numba", "scipy", "shapely", "pandas", "ortools", "typst", "ezdxf", "xlsxwriter",
    "icalendar", "PIL", "pydantic", "fastapi", "uvicorn", "jinja2", "sqlalchemy", "segno",
}  # fmt: skip


def test_help_loads_nothing_heavy():
    """Importing the commands imports none of the heavy packages."""
    code = "import sys, weatherlap.cli.app; print(*{name.split('.')[0] for name in sys.modules})"
    found = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert "typer" in found
    assert sorted(HEAVY & set(found)) == []


def test_only_the_command_that_is_asked_for_is_put_up():
    """Each command's name gives the program with that command alone; other words give all."""
    names = told(app)
    assert len(names) > 20
    for name in names:
        assert told(app_for([name, "--json"])) == [name]
    for words in ([], ["--help"], ["no-such-command"], ["-h", "trace"]):
        assert told(app_for(words)) == names


def told(program):
    """The names of a program's commands, as its own parser has them."""
    return list(get_command(program).commands)
