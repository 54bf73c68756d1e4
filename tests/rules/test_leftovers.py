"""Nothing unfinished is left in the project, and nothing is promised that local code decides."""

from __future__ import annotations

import ast
import re
import subprocess

import pytest

UNFINISHED = re.compile(
    r"TODO|FIXME|XXX|NotImplementedError|coming soon|not yet (built|implemented|supported)", re.I
)
PROMISES = re.compile(r"\b(approved|code[- ]compliant|guaranteed|certified|(is|are) safe)\b", re.I)
SKIPPING = re.compile(
    r"\bimportorskip\b|\bSkipTest\b|\bcollect_ignore|unittest\.(skip|expectedFailure)"
    r"|pytest\.(skip|xfail|exit|mark\.(skip|skipif|xfail))\b"
)
THIS_FILE = "tests/rules/test_leftovers.py"
TEXT = (".py", ".md", ".toml", ".typ", ".html", ".css", ".js", ".txt", ".sh")


def unfinished(text):
    """Numbers of the lines that speak of work not done."""
    return [n for n, line in enumerate(text.splitlines(), 1) if UNFINISHED.search(line)]


def promises(module):
    """Texts that the program could print and that promise what only local code can give."""
    documents = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    docstrings = {
        id(node.body[0].value)
        for node in ast.walk(module.tree)
        if isinstance(node, documents) and ast.get_docstring(node, clean=False) is not None
    }
    for node in ast.walk(module.tree):
        printed = isinstance(node, ast.Constant) and isinstance(node.value, str)
        if printed and id(node) not in docstrings and PROMISES.search(node.value):
            yield f"{module.file}:{node.lineno}"


@pytest.fixture(scope="module")
def texts(root):
    """Every text file of the repository by its name."""
    listed = subprocess.run(
        ["git", "ls-files"], cwd=root, capture_output=True, text=True, check=True
    ).stdout.split("\n")
    names = [n for n in listed if n.endswith(TEXT) or n.startswith("scripts/")]
    return {
        n: (root / n).read_text("utf-8") for n in names if n != THIS_FILE and (root / n).exists()
    }


def test_nothing_unfinished_is_left(texts):
    """No file speaks of work that is still to be done."""
    assert len(texts) > 20
    found = [f"{name}:{line}" for name, text in texts.items() for line in unfinished(text)]
    assert not found


def test_no_merge_is_left_half_done(texts):
    """No file holds the marks of two versions that nobody chose between."""
    marks = re.compile(r"^(<{7}|>{7}) ", re.M)
    assert not [name for name, text in texts.items() if marks.search(text)]


def test_no_test_is_skipped(texts):
    """No test is skipped or expected to fail."""
    tests = {n: t for n, t in texts.items() if n.startswith("tests/") and n.endswith(".py")}
    assert not [name for name, text in tests.items() if SKIPPING.search(text)]


@pytest.mark.parametrize(
    "line",
    ['solver = pytest.importorskip("solver")', "@pytest.mark.skipif(True)", "pytest.skip()",
     "raise SkipTest", "@unittest.skip", "collect_ignore = []"],
)  # fmt: skip
def test_every_way_to_skip_is_caught(line):
    """A test that is left out where a package is missing is as silent as one that is skipped."""
    assert SKIPPING.search(line)


def test_no_text_promises_what_local_code_decides(modules):
    """No printed text calls work approved, compliant or safe."""
    assert not [place for module in modules for place in promises(module)]


def test_an_unfinished_line_is_caught():
    """The marks of unfinished work are seen in either case."""
    assert unfinished("x = 1\n# todo: more\nraise NotImplementedError") == [2, 3]


def test_a_promise_is_caught(sample):
    """A promise is seen in a text that can be printed, not in a docstring."""
    assert list(promises(sample("TEXT = 'This beam is approved.'")))
    assert not list(promises(sample('"""Never says approved."""')))
