"""Functions, files and classes stay small enough to read in one go."""

from __future__ import annotations

import ast

MOST_BODY_LINES = 45
MOST_FILE_LINES = 500
MOST_METHODS = 12

# "file" or "file::function" or "file::Class", each with the reason why it may be longer.
ALLOWED: dict[str, str] = {}


def body_lines(function):
    """Lines of a function less its docstring and decorators."""
    first = function.body[0]
    documented = ast.get_docstring(function, clean=False) is not None
    docstring = first.end_lineno - first.lineno + 1 if documented else 0
    return function.end_lineno - function.lineno + 1 - docstring


def public_methods(node):
    """How many methods and properties of a class others may use."""
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    return sum(isinstance(n, kinds) and not n.name.startswith("_") for n in node.body)


def too_big(module):
    """What is over a limit: its place, its size and the limit."""
    lines = module.text.count("\n")
    if lines > MOST_FILE_LINES:
        yield module.file, lines, MOST_FILE_LINES
    for name, function in module.functions():
        if body_lines(function) > MOST_BODY_LINES:
            yield f"{module.file}::{name}", body_lines(function), MOST_BODY_LINES
    for node in ast.walk(module.tree):
        public = isinstance(node, ast.ClassDef) and not node.name.startswith("_")
        if public and public_methods(node) > MOST_METHODS:
            yield f"{module.file}::{node.name}", public_methods(node), MOST_METHODS


def test_sizes_are_kept(modules):
    """No function body, file or class is over its limit unless listed with a reason."""
    big = {place: (size, most) for module in modules for place, size, most in too_big(module)}
    found = [f"{p}: {s}, at most {m}" for p, (s, m) in big.items() if p not in ALLOWED]
    assert not found, "too big:\n" + "\n".join(found)
    assert ALLOWED.keys() <= big.keys(), "allowed although it is small enough now"
    assert all(len(reason) > 20 for reason in ALLOWED.values())


def test_a_long_function_is_caught(sample):
    """A body one line over the limit is named; its docstring does not count."""
    text = 'def f(x):\n    """Say\n\n    more.\n    """\n' + "    x += 1\n" * (MOST_BODY_LINES - 1)
    assert not list(too_big(sample(text)))
    assert [place for place, _, _ in too_big(sample(text + "    x += 1\n"))]


def test_a_long_file_is_caught(sample):
    """A file one line over the limit is named."""
    assert not list(too_big(sample("x = 1\n" * MOST_FILE_LINES)))
    assert list(too_big(sample("x = 1\n" * (MOST_FILE_LINES + 1))))


def test_a_wide_class_is_caught(sample):
    """A class with one method too many is named."""
    many = "".join(f"    def m{n}(self): ...\n" for n in range(MOST_METHODS + 1))
    assert list(too_big(sample("class Wide:\n" + many)))
