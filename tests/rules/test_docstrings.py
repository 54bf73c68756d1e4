"""Docstrings of the engines are data sheets: they say what is given back, in what, from where."""

from __future__ import annotations

import ast
import re

import pytest

from weatherlap.sources.register import sources

KEY = re.compile(r"\b[A-Z]-\d{3}\b")
UNIT = re.compile(r"\[[^\]\n]+\]")
NUMBERS = {"float", "int", "NDArray", "ndarray", "Array", "complex"}
UNIT_NAME = re.compile(
    r"_(in[234]?|ft[23]?|mm[23]?|m[23]?|mps|mph|pa|kpa|psi|psf|plf|pcf|lb|kg|n|g|s|h|days?|k|c|f|deg"
    r"|pct|perm|lph|gpm|l|kgm2s|wm2k|in_h|mm_h|per_h)$"
)
SECTION = "Sources\n-------"


def is_relation(function):
    """Whether a function takes numbers and gives numbers, with units: somebody published it."""
    names = [
        function.name,
        *(argument.arg for argument in ast.walk(function.args) if is_arg(argument)),
    ]
    with_unit = any(UNIT_NAME.search(name) for name in names)
    arguments = [*function.args.posonlyargs, *function.args.args, *function.args.kwonlyargs]
    kinds = [argument.annotation for argument in arguments if argument.arg not in {"self", "cls"}]
    return bool(kinds) and with_unit and all(is_number(kind) for kind in [*kinds, function.returns])


def is_arg(node):
    """Whether a node is a parameter."""
    return isinstance(node, ast.arg)


def is_number(annotation):
    """Whether an annotation is a number or an array of them."""
    if isinstance(annotation, ast.BinOp):
        return is_number(annotation.left) and is_number(annotation.right)
    if isinstance(annotation, ast.Subscript):
        annotation = annotation.value
    name = annotation.attr if isinstance(annotation, ast.Attribute) else None
    return (name or getattr(annotation, "id", None)) in NUMBERS


def unsourced(module):
    """Published relations of a module that name no source or no unit."""
    for name, function in module.public_functions():
        if "." in name or not is_relation(function):
            continue
        text = ast.get_docstring(function) or ""
        if SECTION not in text or not KEY.search(text.split(SECTION)[1]):
            yield f"{module.file}:{function.lineno} {name}: no key under a heading Sources"
        if not UNIT.search(text):
            yield f"{module.file}:{function.lineno} {name}: no unit in square brackets"


def undocumented(module):
    """Public functions and classes without a docstring."""
    for name, function in module.public_functions():
        if not ast.get_docstring(function):
            yield f"{module.file}:{function.lineno} {name}"
    for node in module.tree.body:
        public = isinstance(node, ast.ClassDef) and not node.name.startswith("_")
        if public and not ast.get_docstring(node):
            yield f"{module.file}:{node.lineno} {node.name}"


def keys(module):
    """Source keys that a module's texts cite, with the line."""
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield from ((key, f"{module.file}:{node.lineno}") for key in KEY.findall(node.value))


def test_every_module_says_what_it_is_for(modules):
    """Each file of the package begins with a docstring."""
    assert not [m.file for m in modules if not ast.get_docstring(m.tree)]


def test_everything_public_is_documented(modules):
    """Each public function, method and class has a docstring."""
    found = [line for module in modules for line in undocumented(module)]
    assert not found, "no docstring:\n" + "\n".join(found)


def test_published_relations_name_unit_and_source(engines):
    """Each engine function from numbers to numbers gives units and cites the register."""
    found = [line for module in engines for line in unsourced(module)]
    assert not found, "\n".join(found)


def test_cited_keys_are_in_the_register(modules):
    """Each source key written anywhere in the package is in the register."""
    register = sources()
    found = [f"{at} {k}" for m in modules for k, at in keys(m) if k not in register]
    assert not found, "keys that the register does not hold:\n" + "\n".join(found)


def test_register_says_how_each_source_was_seen():
    """Each source has a title, a place and an honest word on how it was read."""
    ways = ("first hand", "quoted", "from memory", "common practice", "computed", "own choice")
    bad = [s.key for s in sources().values() if not any(way in s.seen for way in ways)]
    bad += [s.key for s in sources().values() if not (s.title and s.where and KEY.match(s.key))]
    assert not bad


@pytest.mark.parametrize(
    "docstring",
    [
        pytest.param("", id="none"),
        pytest.param("Depth. [in]", id="no-source"),
        pytest.param("Depth.\n\n    Sources\n    -------\n    W-001 : p. 3\n    ", id="no-unit"),
    ],
)
def test_a_bare_relation_is_caught(sample, docstring):
    """A function from numbers to numbers without unit or source is named."""
    text = f'def depth_in(flow_lph: float, *, width_in: float) -> float:\n    """{docstring}"""\n'
    assert list(unsourced(sample(text)))


def test_a_documented_relation_passes(sample):
    """Unit and source together satisfy the rule, and records are no relation."""
    sheet = "Depth. [in]\n\n    Sources\n    -------\n    W-001 : p. 3\n    "
    text = f'def depth_in(flow_lph: float) -> "float":\n    """{sheet}"""\n'
    text += "def trace(corner: Corner, *, rain: float) -> Trace:\n    '''Follow the water.'''\n"
    assert not list(unsourced(sample(text.replace('"float"', "float"))))
