"""Where keys stand in a job file's text."""

from __future__ import annotations

import tomllib
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.job.lines import Lines
from weatherlap.job.writing import table_text

TEXT = '''# a comment with [brackets]
[job]
title = "x # [no]"
notes = """
[[piece]]
a = 1
"""

[[face]]
id = 'w'
origin = [0, 0,
  0]
[[piece]]
id = "a"
on = [
  { face = "wall", rect = [0, 0,
     96, 96] }, # ]
  { face = "x", trough = { line = [[0,0],[1,
    1]] } },
]
[[piece]]
gutter.width = 5.5
"id" = "b"   # [[piece]]
when = 2024-01-01 00:00:00.5
[[piece.on]]
face = "q"
[piece.on.trough]
line = 3
[[piece.on]]
face = "r"
[site.airfield_index]
"180" = 3
'''


@pytest.mark.parametrize(
    ("path", "line"),
    [
        ((), 1),
        (("job",), 2),
        (("job", "notes"), 4),
        (("face", 0), 9),
        (("face", 0, "origin", 1), 11),
        (("face", 0, "origin", 2), 12),
        (("piece", 0), 13),
        (("piece", 0, "on", 0, "rect", 1), 16),
        (("piece", 0, "on", 0, "rect", 2), 17),
        (("piece", 0, "on", 1, "trough", "line", 1, 0), 18),
        (("piece", 0, "on", 1, "trough", "line", 1, 1), 19),
        (("piece", 1), 21),
        (("piece", 1, "gutter", "width"), 22),
        (("piece", 1, "id"), 23),
        (("piece", 1, "when"), 24),
        (("piece", 1, "on", 0, "face"), 26),
        (("piece", 1, "on", 0, "trough", "line"), 28),
        (("piece", 1, "on", 1, "face"), 30),
        (("site", "airfield_index", "180"), 32),
    ],
)
def test_a_key_is_on_its_line(path: tuple[str | int, ...], line: int) -> None:
    """Every kind of table, list and string must leave the lines right."""
    assert Lines.of(TEXT).line(path) == line


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("face", 0, "width"), 9),
        (("piece", 0, "on", 0, "outline", 3), 16),
        (("piece", 7, "id"), 13),
        (("roof",), 1),
    ],
)
def test_a_key_that_is_not_there_is_on_the_line_of_its_table(
    path: tuple[str | int, ...], line: int
) -> None:
    """A missing key must be placed at the nearest table round it."""
    assert Lines.of(TEXT).line(path) == line


def _leaves(data: Any, path: tuple[str | int, ...] = ()) -> list[tuple[tuple[str | int, ...], Any]]:
    if isinstance(data, dict):
        return [leaf for key, v in data.items() for leaf in _leaves(v, (*path, key))]
    if isinstance(data, list):
        return [leaf for n, v in enumerate(data) for leaf in _leaves(v, (*path, n))]
    return [(path, data)]


def _lost(text: str) -> list[tuple[str | int, ...]]:
    """The paths whose span in the text does not hold their value."""
    lines = Lines.of(text)
    lost = []
    for path, value in _leaves(tomllib.loads(text)):
        spot = lines.spots[path]
        written = text[spot.value_start : spot.value_end]
        if tomllib.loads(f"v = {written}")["v"] != value:
            lost.append(path)
    return lost


def test_a_value_is_found_whole() -> None:
    """The span of every value must hold that value and nothing else."""
    assert _lost(TEXT) == []


_PLAIN = st.recursive(
    st.booleans() | st.integers(-(2**40), 2**40) | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner,
                                                                max_size=3),
    max_leaves=8,
)  # fmt: skip


@given(st.dictionaries(st.text(max_size=4), _PLAIN, max_size=4))
@settings(max_examples=100, deadline=None)
def test_any_table_is_found_whole(row: dict[str, Any]) -> None:
    """Whatever a table holds, every value must be found in its text."""
    text = table_text("[[t]]", row)
    assert tomllib.loads(text) == {"t": [row]}
    assert _lost(text) == []
