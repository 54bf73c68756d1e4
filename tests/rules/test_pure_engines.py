"""Engines take values and return values: no file, no clock, no unseeded random number."""

from __future__ import annotations

import ast

# Modules by which a file, the clock, the machine or chance would come in.
OUTSIDE = {
    "os", "io", "shutil", "tempfile", "glob", "pathlib", "sqlite3", "subprocess", "socket",
    "urllib", "http", "time", "random", "secrets", "uuid", "importlib.resources", "logging",
    "sqlalchemy", "fastapi", "typer", "rich", "typst", "multiprocessing", "sys", "locale",
}  # fmt: skip
CALLS = {
    "open", "print", "input", "read_text", "write_text", "read_bytes", "write_bytes",
    "loadtxt", "savetxt", "genfromtxt", "fromfile", "tofile", "now", "utcnow", "today",
}  # fmt: skip
SEEDED = {"default_rng", "Generator", "SeedSequence", "PCG64", "RandomState"}


# Tables that are part of the package never change: they may be read, by their package's name.
OWN_TABLES = {"importlib.resources", "importlib.resources.files", "read_text"}


def dotted(node):
    """The name that a call or an attribute is written with."""
    if isinstance(node, ast.Attribute):
        return f"{dotted(node.value)}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


def named_imports(node):
    """Dotted names that an import statement brings in."""
    if isinstance(node, ast.Import):
        return [alias.name for alias in node.names]
    if isinstance(node, ast.ImportFrom):
        return [node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)]
    return []


def is_outside(name):
    """Whether a module, or one it lies in, is of those that reach outside."""
    parts = name.split(".")
    return any(".".join(parts[: n + 1]) in OUTSIDE for n in range(len(parts)))


def impure_call(call):
    """Why a call would make an engine depend on more than its arguments, or nothing."""
    name = dotted(call.func)
    last = name.rsplit(".", 1)[-1]
    if last in CALLS:
        return f"calls {last}"
    if last in SEEDED and not call.args and not call.keywords:
        return f"{last} without a seed"
    if ".random." in f".{name}" and last not in SEEDED:
        return f"calls {name}: the shared random state"
    return ""


def reads_only_the_package(module):
    """Whether every look for files names the package itself."""
    calls = [n for n in ast.walk(module.tree) if isinstance(n, ast.Call)]
    looks = [ast.unparse(n.args[0]) for n in calls if dotted(n.func) == "files" and n.args]
    return bool(looks) and all(look.startswith("'weatherlap.") for look in looks)


def impure(module):
    """Places where a module reaches outside its arguments."""
    allowed = OWN_TABLES if reads_only_the_package(module) else set()
    for node in ast.walk(module.tree):
        for name in filter(is_outside, named_imports(node)):
            if name not in allowed:
                yield f"{module.file}:{node.lineno} imports {name}"
        why = impure_call(node) if isinstance(node, ast.Call) else ""
        if why and why.removeprefix("calls ") not in allowed:
            yield f"{module.file}:{node.lineno} {why}"


def test_engines_reach_nothing_outside(engines):
    """No engine touches a file, the clock, the terminal or unseeded chance."""
    found = [line for module in engines for line in impure(module)]
    assert not found, "engines take values and return values:\n" + "\n".join(found)


def test_what_an_engine_may_not_do_is_caught(sample):
    """Each forbidden thing is seen however it is written."""
    for text in (
        "import time",
        "from os import path",
        "from importlib.resources import files",
        "from importlib import resources",
        "open('x')",
        "p.read_text()",
        "datetime.now()",
        "date.today()",
        "np.random.default_rng()",
        "np.random.normal(0, 1)",
        "numpy.random.seed(3)",
    ):
        assert list(impure(sample(text))), text


def test_only_the_package_may_be_read(sample):
    """A table of the package may be read, another file not, nor a folder that is not named."""
    read = "from importlib.resources import files\nfiles({}).read_text()"
    assert not list(impure(sample(read.format("'weatherlap.water'"))))
    assert list(impure(sample(read.format("'somewhere'"))))
    assert list(impure(sample(read.format("place"))))
    assert list(impure(sample(read.format("'weatherlap.water'") + "\nopen('x')")))


def test_seeded_chance_and_arithmetic_are_allowed(sample):
    """A generator made from a seed is a value like any other."""
    assert not list(impure(sample("import math\nrng = np.random.default_rng(seed)\nrng.normal()")))
