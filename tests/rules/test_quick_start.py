"""The command line starts at once: what is heavy is imported by the command that needs it."""

from __future__ import annotations

import subprocess
import sys

HEAVY = {
    "numpy", "numba", "scipy", "shapely", "pandas", "ortools", "typst", "ezdxf", "xlsxwriter",
    "icalendar", "PIL", "fastapi", "uvicorn", "jinja2", "sqlalchemy", "segno",
}  # fmt: skip


def test_help_loads_nothing_heavy():
    """Importing the commands imports none of the heavy packages."""
    code = "import sys, weatherlap.cli.app; print(*{name.split('.')[0] for name in sys.modules})"
    found = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True
    ).stdout.split()
    assert "typer" in found
    assert sorted(HEAVY & set(found)) == []
