"""Changing a job file in place: the change is made, and every other byte stays."""

from __future__ import annotations

import difflib
import tomllib
from typing import Any
from unittest import mock

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.errors import InputError, JobError
from weatherlap.job.editing import AddItem, Change, Remove, SetValue, edit
from weatherlap.job.lines import Lines
from weatherlap.job.reading import read_job

TEXT = """# The Miller porch
[job]   # the call
title = "Porch"

# -- faces ----------------

[[face]]
id = "wall"   # south side
tilt = 90
origin = [0, 0, 0]   # lower left
width = "8'"
height = "8'"

# -- pieces ---------------

# bare boards
[[piece]]
id = "boards"
sheet = "absorbs"
on = [
  { face = "wall", rect = [0, 0, 96, 96] },   # all of it
]

[[piece]]
id = "sheet"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]
    # loose end
[[piece]]
id = "gutter"
[piece.gutter]
line = [[0, 0, 0], [96, 0, 0]]

# last words
"""


def changed(*changes: Change, text: str = TEXT) -> tuple[list[str], list[str], dict[str, Any]]:
    """The lines taken away, the lines added, and the new data."""
    new = edit(text, changes)
    rows = list(difflib.ndiff(text.splitlines(), new.splitlines()))
    gone = [row[2:] for row in rows if row.startswith("- ")]
    added = [row[2:] for row in rows if row.startswith("+ ")]
    return gone, added, tomllib.loads(new)


def test_no_change_changes_nothing() -> None:
    """Without changes the text must come back byte for byte."""
    assert edit(TEXT, []) == TEXT


@pytest.mark.parametrize(
    ("change", "gone", "added"),
    [
        (
            SetValue(("face", "wall", "origin"), [0, 0, "1 ft"]),
            ["origin = [0, 0, 0]   # lower left"],
            ['origin = [0, 0, "1 ft"]   # lower left'],
        ),
        (
            SetValue(("piece", "boards", "on", 0, "rect", 3), 90.5),
            ['  { face = "wall", rect = [0, 0, 96, 96] },   # all of it'],
            ['  { face = "wall", rect = [0, 0, 96, 90.5] },   # all of it'],
        ),
        (
            SetValue(("piece", "sheet", "on", 0, "trough"), {"line": [[0, 50], [96, 50]]}),
            ['on = [{ face = "wall", rect = [0, 46, 96, 96] }]'],
            [
                'on = [{ face = "wall", rect = [0, 46, 96, 96], '
                "trough = { line = [[0, 50], [96, 50]] } }]"
            ],
        ),
        (SetValue(("piece", "sheet", "sealed"), ["top"]), [], ['sealed = ["top"]']),
        (SetValue(("piece", 2, "gutter", "width"), 6), [], ["width = 6"]),
        (SetValue(("job", "notes"), 'a "b"\n'), [], ['notes = "a \\"b\\"\\n"']),
        (
            SetValue(("site", "rain_design"), "4 in/h"),
            [],
            ["", "[site]", 'rain_design = "4 in/h"'],
        ),
        (
            AddItem("piece", {"id": "new", "sheet": "sheds", "behind": ["sheet"]}, before="sheet"),
            [],
            ["[[piece]]", 'id = "new"', 'sheet = "sheds"', 'behind = ["sheet"]', ""],
        ),
        (
            AddItem("piece", {"id": "new"}, before="boards"),
            [],
            ["[[piece]]", 'id = "new"', ""],
        ),
        (AddItem("piece", {"id": "new"}), [], ["", "[[piece]]", 'id = "new"']),
        (
            AddItem("cut", {"id": "A", "face": "wall", "at": 3}),
            [],
            ["", "[[cut]]", 'id = "A"', 'face = "wall"', "at = 3"],
        ),
        (
            Remove(("piece", "boards")),
            [
                "# bare boards", "[[piece]]", 'id = "boards"', 'sheet = "absorbs"', "on = [",
                '  { face = "wall", rect = [0, 0, 96, 96] },   # all of it', "]", "",
            ],
            [],
        ),
        (
            Remove(("piece", "gutter")),
            [
                "    # loose end", "[[piece]]", 'id = "gutter"', "[piece.gutter]",
                "line = [[0, 0, 0], [96, 0, 0]]", "",
            ],
            [],
        ),
        (Remove(("face", "wall", "tilt")), ["tilt = 90"], []),
        (
            Remove(("piece", "sheet", "on", 0, "face")),
            ['on = [{ face = "wall", rect = [0, 46, 96, 96] }]'],
            ["on = [{ rect = [0, 46, 96, 96] }]"],
        ),
        (
            Remove(("piece", "sheet", "on", 0, "rect")),
            ['on = [{ face = "wall", rect = [0, 46, 96, 96] }]'],
            ['on = [{ face = "wall" }]'],
        ),
        (
            Remove(("face", 0, "origin", 1)),
            ["origin = [0, 0, 0]   # lower left"],
            ["origin = [0, 0]   # lower left"],
        ),
    ],
)  # fmt: skip
def test_one_change_touches_its_own_lines_only(
    change: Change, gone: list[str], added: list[str]
) -> None:
    """A change must take away and add its own lines and leave every other as it was."""
    took, put, _ = changed(change)
    assert sorted(took) == sorted(gone)
    assert sorted(put) == sorted(added)


def test_changes_are_made_in_turn() -> None:
    """A later change must find what an earlier one made."""
    _, _, data = changed(
        AddItem("piece", {"id": "new", "sheet": "sheds"}, before="sheet"),
        SetValue(("piece", "new", "drip"), True),
        Remove(("piece", "boards")),
    )
    assert [p["id"] for p in data["piece"]] == ["new", "sheet", "gutter"]
    assert data["piece"][0]["drip"] is True


def test_a_piece_goes_into_the_stack_where_it_is_put() -> None:
    """The order of the file is the order of laying, so an added piece must keep its place."""
    for before, place in ((None, 3), ("boards", 0), ("gutter", 2), (1, 1)):
        _, _, data = changed(AddItem("piece", {"id": "new"}, before=before))
        assert [p["id"] for p in data["piece"]].index("new") == place


@pytest.mark.parametrize("text", [TEXT.rstrip("\n"), "\ufeff" + TEXT, TEXT.replace("\n", "\r\n")])
def test_ends_marks_and_line_breaks_stay(text: str) -> None:
    """A file without a last line break, with a byte mark or other line breaks must keep them."""
    new = edit(text, [AddItem("piece", {"id": "new", "sheet": "sheds"})])
    new = edit(new, [SetValue(("piece", "new", "drip"), True)])
    assert edit(new, [Remove(("piece", "new"))]).rstrip() == text.rstrip()
    assert new.startswith("\ufeff") == text.startswith("\ufeff")
    if "\r\n" in text:
        assert new.count("\n") == new.count("\r\n")


@pytest.mark.parametrize(
    ("change", "words"),
    [
        (SetValue(("piece", "shet", "drip"), True), "Did you mean 'sheet'"),
        (SetValue(("piece", 9, "drip"), True), "has no 9"),
        (SetValue((), 1), "names that lead to a key"),
        (SetValue(("job",), {"title": "y"}), "key"),
        (SetValue(("job", "title", "x"), 1), "has no 'x'"),
        (SetValue(("face", 0, "width"), float("nan")), "finite"),
        (Remove(("face", "wall", "widht")), "Did you mean 'width'"),
        (Remove(("roof",)), "has no 'roof'"),
        (AddItem("piece", {"id": "n"}, before="nobody"), "has no 'nobody'"),
        (AddItem("job", {"id": "n"}), "it stands once"),
    ],
)
def test_a_change_that_cannot_be_made_is_refused(change: Change, words: str) -> None:
    """A wrong path or value must be refused with what is there, and nothing written."""
    with pytest.raises(InputError, match=words):
        edit(TEXT, [change])


def test_a_file_that_is_no_toml_is_not_changed() -> None:
    """Broken text must be refused as in reading."""
    with pytest.raises(JobError, match="cut short"):
        edit(TEXT + "[", [SetValue(("job", "title"), "x")])


def test_items_in_one_list_are_left_alone() -> None:
    """A list of tables in brackets cannot take a table under a head, and must be refused."""
    with pytest.raises(InputError, match="one list"):
        edit('piece = [{ id = "a" }]\n', [AddItem("piece", {"id": "b"})])


def test_dotted_keys_and_spread_tables_can_be_changed() -> None:
    """Keys with dots and tables whose parts lie apart must be found."""
    text = '[[piece]]\nid = "a"\ngutter.width = 5\n[job]\ntitle = "x"\n[[piece]]\nid = "b"\n'
    assert "gutter.width = 6\n" in edit(text, [SetValue(("piece", "a", "gutter", "width"), 6)])
    assert "gutter.depth = 3\n" in edit(text, [SetValue(("piece", "a", "gutter", "depth"), 3)])
    assert tomllib.loads(edit(text, [Remove(("piece", "a"))]))["piece"] == [{"id": "b"}]
    assert tomllib.loads(edit(text, [Remove(("piece",))])) == {"job": {"title": "x"}}


_VALUES = st.recursive(
    st.booleans() | st.integers(-1000, 1000) | st.text(max_size=6),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=3), inner,
                                                                min_size=1, max_size=2),
    max_leaves=5,
)  # fmt: skip
_PATHS = st.sampled_from(
    [
        ("job", "title"), ("job", "new"), ("face", 0, "width"), ("face", 0, "new key"),
        ("piece", 0, "on"), ("piece", 0, "on", 0, "rect"), ("piece", 0, "on", 0, "more"),
        ("piece", 1, "id"), ("piece", 1, "sealed"), ("piece", 2, "gutter", "line"),
        ("piece", 2, "gutter", "width"), ("piece", 2, "drip"), ("site", "rain_design"),
    ]
)  # fmt: skip


@given(st.lists(st.tuples(_PATHS, _VALUES), max_size=4), st.booleans())
@settings(max_examples=80, deadline=None)
def test_any_setting_is_found_again_and_comments_stay(
    settings_: list[tuple[tuple[str | int, ...], Any]], windows: bool
) -> None:
    """Whatever is set must be read back, and every comment outside a value must stay."""
    text = TEXT.replace("\n", "\r\n") if windows else TEXT
    new = text
    for path, value in settings_:
        try:
            new = edit(new, [SetValue(path, value)])
        except InputError:
            continue
        at: Any = tomllib.loads(new)
        for step in path:
            at = at[step]
        assert at == value
    for comment in ("# The Miller porch", "# the call", "# south side", "# -- pieces", "# bare",
                    "# loose end", "# last words"):  # fmt: skip
        assert comment in new


def test_an_edited_job_reads() -> None:
    """A job must read after a piece was slipped in behind another."""
    row = {
        "id": "patch",
        "what": "housewrap",
        "behind": ["sheet"],
        "on": [{"face": "wall", "rect": [0, 40, 96, "48 1/2 in"]}],
    }
    job = read_job(edit(TEXT, [AddItem("piece", row)]))
    assert job.piece[-1].on[0].rect == (0.0, 40.0, 96.0, 48.5)


_LONG = TEXT.replace("# last words\n", "") + "".join(
    f'# course {n}\n[[piece]]\nid = "c{n}"   # own\n'
    f'on = [{{ face = "wall", rect = [0, {n}, 9, 99] }}]\n\n'
    f'[[reading]]\nface = "wall"\nat = [1, {n}]\npercent = 12\n'
    for n in range(6)
) + '[site]  # the place\ntitle = "here"\n# loose\n[[cut]]\nid = "k"\n'  # fmt: skip
_ITEMS = st.sampled_from(["boards", "sheet", "gutter", "c0", "c3", "c5", "nobody", 0, 1, 4, 8, 99])
_KEYS = st.sampled_from(["title", "drip", "on", "behind", "gutter"])
_STEPS = (
    st.builds(lambda i, k, v: SetValue(("piece", i, k), v), _ITEMS, _KEYS, _VALUES)
    | st.builds(lambda i, k: Remove(("piece", i, k)), _ITEMS, _KEYS)
    | st.builds(lambda i: Remove(("piece", i)), _ITEMS)
    | st.builds(lambda n: Remove(("reading", n)), st.integers(0, 7))
    | st.builds(
        lambda t, k, v: SetValue((t, k), v),
        st.sampled_from(["job", "site", "work"]),
        st.sampled_from(["title", "days"]),
        _VALUES,
    )
    | st.builds(lambda t: Remove((t, "title")), st.sampled_from(["job", "site"]))
    | st.builds(lambda n, i: AddItem("piece", {"id": f"n{n}"}, i), st.integers(0, 9), _ITEMS)
    | st.builds(
        lambda t, n: AddItem(t, {"id": f"n{n}"}),
        st.sampled_from(["piece", "reading", "cut", "face", "job"]),
        st.integers(0, 9),
    )
)


@given(st.lists(_STEPS, min_size=1, max_size=5), st.booleans())
@settings(max_examples=150, deadline=None)
def test_a_change_made_nearby_is_the_change_made_in_the_whole(
    steps: list[Change], windows: bool
) -> None:
    """Long files are changed in the blocks round a place; every byte must be as if read whole."""
    text = _LONG.replace("\n", "\r\n") if windows else _LONG
    for step in steps:
        with mock.patch("weatherlap.job.editing.part_round", return_value=None):
            whole = _edited(text, step)
        assert _edited(text, step) == whole
        text = whole if whole.startswith("#") else text


def _edited(text: str, step: Change) -> str:
    """The new text, or what stands against it."""
    try:
        return edit(text, [step])
    except InputError as error:
        return f"refused: {error}"


def test_a_change_in_a_long_file_reads_only_what_lies_round_it() -> None:
    """A tap may not wait for the places of all keys of a file."""
    with mock.patch("weatherlap.job.editing.Lines.of", wraps=Lines.of) as places:
        edit(_LONG, [SetValue(("piece", "c3", "drip"), True)])
    assert max(len(call.args[0]) for call in places.call_args_list) < 0.3 * len(_LONG)
