"""The source as the rule tests see it: parsed once a run, each file with its room."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ENGINES = ("water", "drying", "structure", "metal", "takeoff", "order", "money", "run")

Function = ast.FunctionDef | ast.AsyncFunctionDef


@dataclass(frozen=True, slots=True)
class Module:
    """One file of the package: its dotted name, the room it stands in, text and tree."""

    name: str
    file: str
    text: str
    tree: ast.Module

    @property
    def room(self) -> str:
        """First folder or file below the package; empty for the package itself."""
        return self.name.split(".")[1] if "." in self.name else ""

    def functions(self) -> Iterator[tuple[str, Function]]:
        """Every function and method with its name after the class."""
        yield from _functions(self.tree, "")

    def public_functions(self) -> Iterator[tuple[str, Function]]:
        """Functions and methods that others may call; what is nested in one is not."""
        for holder, prefix in ((self.tree, ""), *_public_classes(self.tree)):
            for node in holder.body:
                if isinstance(node, Function) and not node.name.startswith("_"):
                    if "overload" in map(ast.unparse, node.decorator_list):
                        continue
                    yield f"{prefix}{node.name}", node


def _functions(node: ast.AST, prefix: str) -> Iterator[tuple[str, Function]]:
    for child in ast.iter_child_nodes(node):
        name = f"{prefix}{child.name}" if isinstance(child, ast.ClassDef | Function) else prefix
        if isinstance(child, Function):
            yield name, child
        deeper = f"{name}." if isinstance(child, ast.ClassDef | Function) else prefix
        yield from _functions(child, deeper)


def _public_classes(tree: ast.Module) -> Iterator[tuple[ast.ClassDef, str]]:
    for node in tree.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node, f"{node.name}."


def read_module(text: str, name: str = "weatherlap.water.sample") -> Module:
    """A module from text, to try a rule on."""
    return Module(name, f"src/{name.replace('.', '/')}.py", text, ast.parse(text))


def _module_of(path: Path) -> Module:
    parts = path.relative_to(ROOT / "src").with_suffix("").parts
    name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
    text = path.read_text("utf-8")
    return Module(name, path.relative_to(ROOT).as_posix(), text, ast.parse(text))


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the repository."""
    return ROOT


@pytest.fixture(scope="session")
def modules() -> tuple[Module, ...]:
    """Every module of the package."""
    return tuple(_module_of(path) for path in sorted((ROOT / "src").rglob("*.py")))


@pytest.fixture(scope="session")
def engines(modules: tuple[Module, ...]) -> tuple[Module, ...]:
    """The modules that take values and return values."""
    return tuple(module for module in modules if module.room in ENGINES)


@pytest.fixture(scope="session")
def sample():
    """Makes a module from text: each rule is first shown to catch what it forbids."""
    return read_module
