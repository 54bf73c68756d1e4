"""Writes the pages that are made by the program itself, or says which of them are behind.

    python scripts/write_pages.py           writes them
    python scripts/write_pages.py --check   only names those that are behind

Made from records: the job file's reference, the catalogue and the schema. Made by running the
program: what docs/walk-through.md and docs/putting-right.md show of the terminal, and their
pictures. On these pages a block of TOML whose first line is a comment with a file's name is that
file; a console block is a command and what it printed; a comment "picture: FILE" before a picture
says which file it is.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import subprocess
import sys
import tempfile
from pathlib import Path

from weatherlap.job.schema import catalogue_page, job_schema, reference_page

ROOT = Path(__file__).parents[1]
DOCS = ROOT / "docs"
WALKS = (
    "walk-through.md", "putting-right.md", "shoring.md", "drying.md", "bending.md", "price.md",
    "shop.md", "plan.md",
)  # fmt: skip
STEP = re.compile(
    r"^```toml\n# (?P<file>\S+\.toml)\n.*?^```$"
    r"|^```console\n\$ (?P<command>[^\n]+)\n.*?^```$"
    r"|^<!-- picture: (?P<made>\S+) -->\n!\[[^\]]*\]\((?P<picture>[^)]+)\)",
    re.M | re.S,
)
RUN = [sys.executable, "-c", "from weatherlap.cli import main; main()"]
NEEDS_MENDING = 2  # a page may show what the program says to a file with mistakes
ENVIRONMENT = os.environ | {"PYTHONPATH": str(ROOT / "src"), "NO_COLOR": "1", "COLUMNS": "100"}


def from_records() -> dict[str, str]:
    """The pages that say what the records say."""
    return {
        "job-file.md": reference_page(),
        "catalogue.md": catalogue_page(),
        "job.schema.json": json.dumps(job_schema(), indent=2) + "\n",
    }


def printed(command: str, folder: Path) -> str:
    """What a command of the page prints.

    "> FILE" at its end goes into that file, "cat A >> B" adds a file to another.
    """
    words = shlex.split(command)
    if words[0] == "cat":
        text = (folder / words[1]).read_text("utf-8")
        if ">>" not in words:
            return text
        with (folder / words[-1]).open("a", encoding="utf-8") as file:
            file.write(f"\n{text}")
        return ""
    into = words[words.index(">") + 1] if ">" in words else ""
    arguments = words[1 : words.index(">")] if into else words[1:]
    result = subprocess.run(
        [*RUN, *arguments],
        cwd=folder, env=ENVIRONMENT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    if result.returncode not in (0, NEEDS_MENDING):
        raise RuntimeError(f"{command}: {result.stderr}")
    if into:
        (folder / into).write_text(result.stdout, "utf-8")
    return result.stderr if into else result.stdout + result.stderr


def walked(page: str) -> dict[str, str]:
    """A page of commands as it runs today, with its pictures."""
    pages: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def step(match: re.Match[str]) -> str:
            if match["file"]:
                (folder / match["file"]).write_text(match[0][8:-3], "utf-8")
            elif match["command"]:
                said = printed(match["command"], folder).rstrip()
                return f"```console\n$ {match['command']}\n{said}\n```".replace("\n\n```", "\n```")
            else:
                pages[match["picture"]] = (folder / match["made"]).read_text("utf-8")
            return match[0]

        pages[page] = STEP.sub(step, (DOCS / page).read_text("utf-8"))
    return pages


def main() -> int:
    """Write the pages, or name those that are behind."""
    pages = from_records()
    for page in WALKS:
        pages |= walked(page)
    behind = [n for n, t in pages.items() if not _same(DOCS / n, t)]
    for name in behind:
        if "--check" in sys.argv[1:]:
            print(f"docs/{name} is behind: run python scripts/write_pages.py")
        else:
            (DOCS / name).parent.mkdir(exist_ok=True)
            (DOCS / name).write_text(pages[name], "utf-8")
    return len(behind) if "--check" in sys.argv[1:] else 0


def _same(file: Path, text: str) -> bool:
    return file.exists() and file.read_text("utf-8") == text


if __name__ == "__main__":
    sys.exit(main())
