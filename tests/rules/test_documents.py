"""The pages are true: links lead somewhere, and what exists is described."""

from __future__ import annotations

import re
import subprocess
import sys

import click
import pytest
import typer

from weatherlap import __version__
from weatherlap.cli.app import app
from weatherlap.errors import WeatherlapError
from weatherlap.job.reading import read_job
from weatherlap.job.tables import tables

LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)\s]+)\)|!\[[^\]]*\]\(([^)\s]+)\)")
PARTS_OF_A_DECISION = ("Question", "Choice", "Refused", "Reopen when", "Date")


@pytest.fixture(scope="module")
def pages(root):
    """Every Markdown page that is kept in the repository, by its place."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "*.md"],
        cwd=root, capture_output=True, text=True, check=True,
    )  # fmt: skip
    return {root / name: (root / name).read_text("utf-8") for name in listed.stdout.split()}


def without_code(text):
    """A page's text less its fenced and inline code."""
    return re.sub(r"`[^`\n]*`", "", re.sub(r"^```.*?^```", "", text, flags=re.M | re.S))


def anchors(text):
    """The anchors that a git host makes of a page's headings."""
    headings = re.findall(r"^#+ (.+)$", re.sub(r"^```.*?^```", "", text, flags=re.M | re.S), re.M)
    kept = (re.sub(r"[^\w\- ]", "", heading.lower()) for heading in headings)
    return {heading.strip().replace(" ", "-") for heading in kept}


def broken(page, text):
    """Links of a page that lead nowhere."""
    for link in (a or b for a, b in LINK.findall(without_code(text))):
        if re.match(r"[a-z]+:", link):
            continue
        place, _, anchor = link.partition("#")
        target = (page.parent / place).resolve() if place else page
        if not target.exists():
            yield f"{page.name}: {link}"
        elif anchor and anchor not in anchors(target.read_text("utf-8")):
            yield f"{page.name}: {link} (no such heading)"


def options(command, names=()):
    """Each command of the program with its options: ``(("trace",), "--json")``."""
    children = getattr(command, "commands", {})
    if not children:
        yield names, ""
        for parameter in command.params:
            if isinstance(parameter, click.Option) or parameter.param_type_name == "option":
                yield from ((names, text) for text in parameter.opts if text.startswith("--"))
    for name, child in children.items():
        yield from options(child, (*names, name))


def test_every_link_leads_somewhere(pages):
    """Each relative link of each page names a file and a heading that exist."""
    assert len(pages) > 8
    found = [line for page, text in pages.items() for line in broken(page, text)]
    assert not found, "\n".join(found)


def test_every_page_is_reached_from_the_readme(root, pages):
    """Starting at the README, links lead to every page."""
    seen, ahead = set(), [root / "README.md"]
    while ahead:
        page = ahead.pop()
        if page in seen or page not in pages:
            continue
        seen.add(page)
        links = (a or b for a, b in LINK.findall(without_code(pages[page])))
        ahead += [(page.parent / link.partition("#")[0]).resolve() for link in links]
    assert not sorted(str(page.relative_to(root)) for page in pages.keys() - seen)


def test_commands_are_described(root):
    """Each command has a heading on the page of commands, each option is named under it."""
    page = (root / "docs/cli.md").read_text("utf-8")
    parts = dict(re.findall(r"^## weatherlap ([a-z -]+)$(.*?)(?=^## |\Z)", page, re.M | re.S))
    found = list(options(typer.main.get_command(app)))
    assert {names for names, _ in found}
    missing = [names for names, _ in found if " ".join(names) not in parts]
    missing += [(n, o) for n, o in found if o not in parts.get(" ".join(n), o)]
    assert not missing
    assert parts.keys() == {" ".join(names) for names, _ in found}, "describes what is not there"


def test_exit_codes_are_described(root):
    """The table of the commands' exit codes has each code that an error carries."""
    page = (root / "docs/cli.md").read_text("utf-8")
    errors = [WeatherlapError, *WeatherlapError.__subclasses__()]
    assert not [e for e in errors if f"\n| {e.exit_code} | " not in page]


def test_every_key_of_the_job_file_is_described(root):
    """Each key of each table is on the page of the job file."""
    page = (root / "docs/job-file.md").read_text("utf-8")
    keys = [(names, key) for names, t in tables().items() if names for key in t.fields]
    assert len(keys) > 40
    assert not [(names, key) for names, key in keys if f"| `{key}` |" not in page]


def test_pages_made_from_records_are_fresh(root):
    """Reference, catalogue and schema are what the records say today."""
    script = [sys.executable, "scripts/write_pages.py", "--check"]
    result = subprocess.run(script, cwd=root, capture_output=True, text=True, check=False)
    assert result.returncode == 0, result.stdout + result.stderr


def test_jobs_on_the_pages_can_be_read(pages):
    """Each whole job file that a page shows is read without a fault."""
    shown = [
        t for text in pages.values() for t in re.findall(r"^```toml\n(.*?)^```", text, re.M | re.S)
    ]
    jobs = [read_job(text) for text in shown if text.startswith("[job]")]
    assert len(jobs) >= 1
    assert all(job.piece for job in jobs)


def test_every_decision_has_its_parts(root):
    """Each decision states question, choice, what was refused, when to reopen it, and the date."""
    decisions = sorted((root / "docs/decisions").glob("[0-9]*.md"))
    assert [int(d.name[:4]) for d in decisions] == list(range(1, len(decisions) + 1))
    index = (root / "docs/decisions/README.md").read_text("utf-8")
    for decision in decisions:
        text = decision.read_text("utf-8")
        assert not [part for part in PARTS_OF_A_DECISION if f"**{part}.**" not in text], (
            decision.name
        )
        assert f"({decision.name})" in index


def test_readme_gives_the_two_commands(root):
    """The README's commands exist, can be run, and are the ones that are run elsewhere."""
    page = (root / "README.md").read_text("utf-8")
    for command in ("scripts/demo", "scripts/test"):
        assert f"\n{command}\n" in page
        assert (root / command).stat().st_mode & 0o111
    assert "scripts/test" in (root / ".ci/run").read_text("utf-8")


def test_changelog_knows_the_version(root):
    """The version of the package has a heading in the changelog."""
    assert f"\n## {__version__}" in (root / "CHANGELOG.md").read_text("utf-8")


def test_a_broken_link_is_caught(tmp_path):
    """A link to a missing page or heading is seen; one in code is not."""
    page = tmp_path / "page.md"
    page.write_text("# One heading\n", "utf-8")
    text = "[a](none.md) [b](page.md#two) [c](page.md#one-heading) `[d](gone.md)`"
    assert list(broken(page, text)) == [
        "page.md: none.md",
        "page.md: page.md#two (no such heading)",
    ]
