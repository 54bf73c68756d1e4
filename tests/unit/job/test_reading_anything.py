"""Reading whatever comes: nothing but a job or its problems."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import JobError
from weatherlap.job.reading import read_job

SMALLEST = """[job]
title = "Laps the wrong way round"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "8'"
height = "8'"

[[piece]]
id = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "barrier-upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "barrier-lower"          # laid after the upper sheet, so it laps over it
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""
HEAD = SMALLEST[: SMALLEST.index("[[piece]]")]


_WORDS = st.sampled_from(
    ["[job]", "[[piece]]", "[[face]]", "[[piece.on]]", "[site]", "id = 'a'", 'face = "wall"',
     "rect = [0, 0, 9, 9]", "rect = [0, nan, 9, 1e999]", "on = [{ face = 'wall' }]", "tilt = 90",
     "outline = [[0,0],[1,1],[2,2]]", "origin = [0, 0, 0]", "width = '8 ft'", "height = -inf",
     "title = 1", "behind = ['a', 'b']", "gutter = { line = 3 }", "[piece.gutter]", "what = 'osb'",
     "at = [1, 2]", "[[suspect]]", "leak = {}", "[[cut]]", "when = 2024-05-01T00:00:00Z", "'' = 1",
     "[[reading]]", "sheet = 'sheds'", "a.b.c = 1", "[a.b]", "[[a]]", "x = '''", '"""', "# x", "="]
)  # fmt: skip


@given(st.lists(_WORDS, max_size=25).map("\n".join))
@settings(max_examples=150, deadline=None)
def test_scrambled_job_files_give_problems_only(text: str) -> None:
    """Lines of job files in any order must read or give a JobError with lines in the text."""
    try:
        read_job(text)
    except JobError as error:
        assert all(0 <= p.line <= text.count("\n") + 1 for p in error.problems)
        assert all(str(p) for p in error.problems)


@given(st.integers(0, len(SMALLEST)), st.integers(0, 30), st.text(max_size=12))
@settings(max_examples=150, deadline=None)
def test_damaged_job_files_give_problems_only(at: int, length: int, patch: str) -> None:
    """A job file with a patch of anything in it must read or give a JobError."""
    try:
        read_job(SMALLEST[:at] + patch + SMALLEST[at + length :])
    except JobError as error:
        assert error.problems


@given(st.binary(max_size=200))
def test_random_bytes_give_problems_only(raw: bytes) -> None:
    """Bytes of any kind must give a JobError."""
    with pytest.raises(JobError):
        read_job(raw)


_VALUES = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=6,
)


@given(
    st.sampled_from(["tilt", "origin", "width", "outline", "id", "title"]),
    st.sampled_from(["on", "sealed", "behind", "gutter", "passes", "what", "drip"]),
    _VALUES,
    _VALUES,
)
@settings(max_examples=150, deadline=None)
def test_values_of_any_kind_give_problems_only(
    face_key: str, piece_key: str, face_value: object, piece_value: object
) -> None:
    """A value of any TOML type at any key must read or give a JobError."""
    face = HEAD.replace("tilt = 90\n", "").replace('id = "wall"\n', "")
    text = (
        f"{face}{face_key} = {_toml(face_value)}\n[[piece]]\n{piece_key} = {_toml(piece_value)}\n"
    )
    try:
        read_job(text)
    except JobError as error:
        assert error.problems


def _toml(value: object) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return f"[{', '.join(map(_toml, value))}]"
    if isinstance(value, dict):
        return "{" + ", ".join(f"'k{n}' = {_toml(v)}" for n, v in enumerate(value.values())) + "}"
    return "''" if value is None or isinstance(value, str) else repr(value)
