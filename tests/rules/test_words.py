"""One word for one thing: the second words of docs/words.md stay out of names and help."""

from __future__ import annotations

import ast
import re

import click
import pytest
import typer

from weatherlap.cli.app import app

ALL = frozenset({"water", "drying", "structure", "metal", "takeoff", "order", "money", "run"})
ALL |= {"job", "building", "drawings", "papers", "store", "web", "cli", "sources", "shape"}
MODEL = frozenset({"job", "building", "water", "run", "drawings", "papers"})

# Second words that a test can hold, with the rooms in which they would mean our thing. The others
# (layer, plane, surface, element) have honest uses in physics and geometry.
NOT_OURS = {
    "estimate": ALL,
    "scene": ALL,
    "issue": ALL,
    "defect": ALL,
    "streamline": ALL,
    "stretch": frozenset({"metal", "takeoff"}),
    "component": MODEL,
    "assembly": MODEL,
    "project": MODEL | {"store", "web", "cli"},
    "path": frozenset({"water", "building", "run", "drawings"}),
}
IN_HELP = re.compile(r"\b(estimates?|scenes?|issues?|defects?|components?|projects?)\b")


def words_of(name):
    """The words of a name written with underscores or capitals, in the singular."""
    parts = re.findall(r"[A-Z]?[a-z]+|[A-Z]+(?![a-z])", name)
    return {part.lower().removesuffix("s") for part in parts} | {part.lower() for part in parts}


def public_names(module):
    """Public functions, their parameters, classes and their fields, with the line."""
    for name, function in module.public_functions():
        yield name.rsplit(".", 1)[-1], function.lineno
        arguments = [*function.args.args, *function.args.kwonlyargs]
        yield from ((a.arg, a.lineno) for a in arguments)
    for node in module.tree.body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield node.name, node.lineno
            fields = (n for n in node.body if isinstance(n, ast.AnnAssign))
            yield from ((ast.unparse(field.target), field.lineno) for field in fields)


def second_words(module):
    """Public names of a module that use a word for which the project has its own."""
    banned = {word for word, rooms in NOT_OURS.items() if module.room in rooms}
    for name, line in public_names(module):
        if words_of(name) & banned:
            yield f"{module.file}:{line} {name}"


def helps(command, name=""):
    """Each help text of a command and of those under it."""
    yield f"{name}: {command.help or ''}"
    for parameter in command.params:
        yield f"{name} {parameter.name}: {getattr(parameter, 'help', None) or ''}"
    for child in getattr(command, "commands", {}).values():
        yield from helps(child, f"{name} {child.name}".strip())


def test_public_names_use_our_words(modules):
    """No public name uses a second word in a room where it would mean our thing."""
    found = [line for module in modules for line in second_words(module)]
    assert not found, "see docs/words.md:\n" + "\n".join(found)


def test_word_list_has_every_second_word(root):
    """Each word that this test forbids stands in the third column of the word list."""
    rows = (root / "docs/words.md").read_text("utf-8").splitlines()
    column = " ".join(row.split("|")[3] for row in rows if row.count("|") == 4)
    assert not [word for word in NOT_OURS if word not in column]


def test_help_uses_our_words():
    """No help text of a command uses a second word."""
    command = typer.main.get_command(app)
    assert isinstance(command, click.Command) or hasattr(command, "params")
    assert not [text for text in helps(command) if IN_HELP.search(text)]


@pytest.mark.parametrize(
    "text",
    [
        pytest.param("def water_path(face: Face) -> None: ...", id="function"),
        pytest.param("class RainPaths: ...", id="class-in-plural"),
        pytest.param("def trace(*, path: str) -> None: ...", id="parameter"),
        pytest.param("class Trail:\n    streamline: str", id="field"),
    ],
)
def test_a_second_word_is_caught(sample, text):
    """A second word is seen in a function, a class, a parameter and a field."""
    assert list(second_words(sample(text)))


def test_a_word_within_a_word_is_not_caught(sample):
    """Only whole words count: sympathy is not path."""
    assert not list(second_words(sample("def sympathy_of(pathology: str) -> None: ...")))
