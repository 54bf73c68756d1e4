"""The tests are held to habits of their own."""

from __future__ import annotations

import ast

import pytest


@pytest.fixture(scope="module")
def trees(root):
    """Each test file's tree by its name."""
    files = sorted((root / "tests").rglob("test_*.py"))
    return {f.relative_to(root).as_posix(): ast.parse(f.read_text("utf-8")) for f in files}


def functions(tree):
    """The test functions of a file, those in classes too."""
    for node in ast.walk(tree):
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            yield node


def can_fail(function):
    """Whether a test states anything: an assertion, an error, a call that must not fail."""
    for node in ast.walk(function):
        if isinstance(node, ast.Assert):
            return not isinstance(node.test, ast.Constant)
        if isinstance(node, ast.With | ast.Raise):
            return True
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Call):
            return True
    return False


def test_every_test_says_what_must_hold(trees):
    """Each test has a docstring that ends as a sentence does."""
    silent = [
        f"{name}:{f.lineno} {f.name}"
        for name, tree in trees.items()
        for f in functions(tree)
        if not (ast.get_docstring(f) or "").strip().endswith((".", "?", "!"))
    ]
    assert not silent, "tests without a sentence:\n" + "\n".join(silent)


def test_every_test_can_fail(trees):
    """Each test asserts something or expects an error."""
    empty = [
        f"{name}:{f.lineno} {f.name}"
        for name, tree in trees.items()
        for f in functions(tree)
        if not can_fail(f)
    ]
    assert not empty, "tests that state nothing:\n" + "\n".join(empty)


def test_every_validation_file_names_its_source(trees):
    """Each file of the validation shelf begins by naming what it checks against."""
    shelf = {n: t for n, t in trees.items() if n.startswith("tests/validation/")}
    assert not [n for n, tree in shelf.items() if len(ast.get_docstring(tree) or "") < 20]


def test_a_test_that_states_nothing_is_caught():
    """A test that only computes, or asserts a constant, is seen."""
    empty = "def test_a():\n    x = run()\ndef test_b():\n    assert True"
    full = "def test_c():\n    with pytest.raises(E): f()\ndef test_d():\n    assert f() == 2"
    assert not [f.name for f in ast.parse(empty).body if can_fail(f)]
    assert all(can_fail(f) for f in ast.parse(full).body)
