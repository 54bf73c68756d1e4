"""The locked requirements: exact, without any address, in step with pyproject and the notices."""

from __future__ import annotations

import ast
import re
import sys
import tomllib
from importlib.metadata import packages_distributions

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name


@pytest.fixture(scope="module")
def locks(root):
    """The pins of each lock file: version by package."""
    return {name: pins(root / f"requirements/{name}.txt") for name in ("run", "test", "build")}


@pytest.fixture(scope="module")
def pyproject(root):
    """The project table of pyproject.toml."""
    return tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]


def pins(file):
    """Version by package name; fails on a line that is not an exact pin."""
    found = {}
    for line in file.read_text("utf-8").splitlines():
        match = re.fullmatch(r"([a-z0-9-]+)==([0-9][0-9a-z.]*)( ; .+)?", line)
        assert match, f"{file.name}: not a pin: {line}"
        found[match[1]] = match[2]
    return found


def test_locks_name_no_address(root):
    """No requirement file says where a package is fetched from."""
    for file in sorted((root / "requirements").iterdir()):
        text = file.read_text("utf-8")
        assert "://" not in text, file.name
        assert not re.search(r"^\s*(-|--)", text, re.MULTILINE), file.name


def test_locks_agree(locks):
    """What is tested is what runs: the smaller locks are parts of the large one."""
    assert locks["run"].items() <= locks["test"].items()
    assert locks["build"].items() <= locks["test"].items()


def test_every_dependency_is_locked_within_its_range(locks, pyproject):
    """Each dependency of pyproject.toml is pinned to a version that its range admits."""
    extras = pyproject["optional-dependencies"]
    wanted = {
        "run": pyproject["dependencies"],
        "test": [*pyproject["dependencies"], *(line for row in extras.values() for line in row)],
    }
    for lock, lines in wanted.items():
        for line in map(Requirement, lines):
            pin = locks[lock].get(canonicalize_name(line.name))
            assert pin, f"{lock}: {line.name} is not locked"
            assert line.specifier.contains(pin, prereleases=True), f"{lock}: {line} got {pin}"


def test_every_import_is_a_dependency(modules, pyproject):
    """Each package that the program imports is one that it declares, in an extra if need be."""
    extras = pyproject["optional-dependencies"]
    lines = [*pyproject["dependencies"], *extras["postgres"]]
    declared = {canonicalize_name(Requirement(line).name) for line in lines}
    owners = packages_distributions()
    found = {name for module in modules for name in imported(module)}
    outside = found - sys.stdlib_module_names - {"weatherlap"}
    assert "numpy" in outside
    missing = [n for n in outside if not declared & set(map(canonicalize_name, owners.get(n, [])))]
    # What a declared package offers as its own to be imported with it.
    assert not set(missing) - {"pydantic_core"}


def imported(module):
    """The first names of all that a module imports."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (alias.name.split(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module:
            yield node.module.split(".")[0]


def test_third_party_page_lists_what_is_installed(root, locks):
    """Each package that the program runs with is on the page of licences."""
    page = (root / "THIRD-PARTY.md").read_text("utf-8")
    listed = {canonicalize_name(name) for name in re.findall(r"^\| (\w[\w.-]*) \|", page, re.M)}
    assert listed - {"package"} == locks["run"].keys()
