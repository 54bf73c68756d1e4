"""Imports go down the floors of ARCHITECTURE.md, never up, never sideways."""

from __future__ import annotations

import ast
import re
from graphlib import CycleError, TopologicalSorter

import pytest

FLOORS = (
    {"units", "errors"},
    {"sources", "shape"},
    {"job"},
    {"building"},
    {"water", "drying", "structure", "metal"},
    {"takeoff"},
    {"order"},
    {"money"},
    {"run"},
    {"drawings"},
    {"papers", "store"},
    {"web"},
    {"cli"},
    {"__main__"},
)
BY_NAME = ("import_module", "__import__")
FLOOR_OF = {room: number for number, floor in enumerate(FLOORS) for room in floor}


def imports(module, known):
    """Dotted names of the package's modules that a module imports, wherever it does so."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and not node.level:
            for alias in node.names:
                deeper = f"{node.module}.{alias.name}"
                yield deeper if deeper in known else node.module
        elif isinstance(node, ast.Call) and ast.unparse(node.func).endswith(BY_NAME):
            yield from (a.value for a in node.args if isinstance(a, ast.Constant))


def climbs(module, known):
    """Imports of a module that go up or sideways."""
    for name in imports(module, known):
        parts = name.split(".")
        if parts[0] != "weatherlap" or len(parts) == 1 or parts[1] == module.room:
            continue
        if FLOOR_OF.get(parts[1], len(FLOORS)) >= FLOOR_OF.get(module.room, -1):
            yield f"{module.file}: {module.room or 'weatherlap'} -> {parts[1]}"


def relative(module):
    """Lines with an import that starts from a dot."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.ImportFrom) and node.level:
            yield f"{module.file}:{node.lineno}"


@pytest.fixture(scope="module")
def known(modules):
    """The names of all modules."""
    return {module.name for module in modules}


def test_every_room_has_a_floor(modules):
    """A new room is put on a floor before anything imports it."""
    rooms = {module.room for module in modules} - {""}
    assert rooms <= FLOOR_OF.keys()


def test_architecture_page_shows_the_rooms_that_are_there(root, modules):
    """The page's table has each room that holds modules, on its floor, and no other."""
    page = (root / "ARCHITECTURE.md").read_text("utf-8")
    rows = re.findall(r"^\| (\d+) \| (`[^|]+`) \|", page, re.M)
    shown = {room: int(n) for n, rooms in rows for room in re.findall(r"`(\w+)`", rooms)}
    full = {m.room for m in modules if not m.file.endswith("/__init__.py")} - {"__main__"}
    assert shown == {room: FLOOR_OF[room] for room in full}


def test_imports_only_go_down(modules, known):
    """A room imports only from floors below it; imports for types count too."""
    upward = sorted({line for module in modules for line in climbs(module, known)})
    assert not upward, "imports that climb or go sideways:\n" + "\n".join(upward)


def test_no_import_starts_from_a_dot(modules):
    """Every import names the whole way, so that this test sees it."""
    assert not [line for module in modules for line in relative(module)]


def test_modules_import_each_other_without_circles(modules, known):
    """No module is reached again from itself, inside a room either."""
    graph = {m.name: {n for n in imports(m, known) if n != m.name} & known for m in modules}
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as circle:
        pytest.fail("modules import in a circle: " + " <- ".join(circle.args[1]))


@pytest.mark.parametrize(
    "line",
    [
        pytest.param("from weatherlap.run import plans", id="up"),
        pytest.param("from weatherlap.drying.model import Layer", id="sideways"),
        pytest.param("from weatherlap import drying", id="from-the-package"),
        pytest.param("import weatherlap.drying", id="plain-import"),
        pytest.param("def late():\n    from weatherlap.cli import app", id="inside-a-function"),
        pytest.param("importlib.import_module('weatherlap.drying')", id="by-name"),
    ],
)
def test_a_climbing_import_is_caught(sample, line, known):
    """Each way of writing an import that climbs or goes sideways is seen."""
    module = sample(line, "weatherlap.water.sample")
    everything = known | {"weatherlap.drying", "weatherlap.run", "weatherlap.cli"}
    assert list(climbs(module, everything))


def test_an_import_from_below_is_allowed(sample, known):
    """Lower floors, the room itself and the package's version may be imported."""
    text = "from weatherlap import __version__\nfrom weatherlap.units import tape\n"
    text += "from weatherlap.water.model import Trail"
    assert not list(climbs(sample(text, "weatherlap.water.sample"), known))


def test_a_dotted_import_is_caught(sample):
    """A relative import is seen."""
    assert list(relative(sample("from .model import Trail")))
