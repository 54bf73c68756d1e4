"""Merging keeps both people's work, and asks where they did different things to one key."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.job.editing import AddItem, Remove, SetValue, edit
from weatherlap.job.reading import tables_of
from weatherlap.store.merging import Clash, Side, merged

BASE = """[job]
title = "One wall"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "8'"
height = "8'"

[[piece]]
id = "inner" # nailed
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "outer"
sheet = "sheds"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
"""
READING = {"face": "wall", "at": [3, 4], "percent": 20}
NEW = {"id": "strip", "sheet": "sheds", "on": [{"face": "wall", "rect": [0, 0, 9, 9]}]}


def test_nothing_in_between_gives_mine():
    """If they changed nothing, mine is kept letter by letter."""
    mine = BASE.replace("One", "Another")
    assert merged(BASE, BASE, mine) == mine


def test_both_changes_to_one_piece_are_kept_with_comments():
    """Different keys of one piece are no conflict, and comments stay."""
    theirs = edit(BASE, [SetValue(("piece", "inner", "title"), "board")])
    mine = edit(BASE, [SetValue(("piece", "inner", "sealed"), ["top"])])
    both = merged(BASE, theirs, mine)
    piece = tables_of(both)["piece"][0]
    assert (piece["title"], piece["sealed"]) == ("board", ["top"])
    assert "# nailed" in both


def test_rows_put_in_by_both_are_kept():
    """Readings from both and a piece from each stand side by side."""
    theirs = edit(BASE, [AddItem("reading", READING), AddItem("piece", NEW, "outer")])
    mine = edit(BASE, [AddItem("reading", {**READING, "percent": 9}),
                       AddItem("piece", {**NEW, "id": "patch"})])  # fmt: skip
    data = tables_of(merged(BASE, theirs, mine))
    assert [r["percent"] for r in data["reading"]] == [20, 9]
    assert [p["id"] for p in data["piece"]] == ["inner", "strip", "outer", "patch"]


@pytest.mark.parametrize(("side", "title"), [(Side.MINE, "mine"), (Side.THEIRS, "theirs")])
def test_a_conflict_is_named_and_a_choice_settles_it(side, title):
    """One key changed in two ways is a conflict piece by piece; the choice decides."""
    theirs = edit(BASE, [SetValue(("piece", "inner", "title"), "theirs")])
    mine = edit(BASE, [SetValue(("piece", "inner", "title"), "mine")])
    with pytest.raises(Clash) as clash:
        merged(BASE, theirs, mine)
    (one,) = clash.value.conflicts
    assert (one.key, one.where) == ("piece/inner/title", "piece 'inner', title")
    assert (one.before, one.theirs, one.mine) == ("", '"theirs"', '"mine"')
    both = merged(BASE, theirs, mine, {one.key: side})
    assert tables_of(both)["piece"][0]["title"] == title


def test_a_piece_changed_here_and_taken_away_there_is_asked_about():
    """Taking away what the other one changed is a conflict of the whole piece."""
    theirs = edit(BASE, [SetValue(("piece", "outer", "drip"), True)])
    mine = edit(BASE, [Remove(("piece", "outer"))])
    with pytest.raises(Clash) as clash:
        merged(BASE, theirs, mine)
    assert [c.key for c in clash.value.conflicts] == ["piece/outer"]
    gone = merged(BASE, theirs, mine, {"piece/outer": Side.MINE})
    assert [p["id"] for p in tables_of(gone)["piece"]] == ["inner"]


def test_two_changes_that_make_no_whole_job_are_a_conflict():
    """A new piece behind one that the other took away is not written down."""
    theirs = edit(BASE, [Remove(("piece", "outer"))])
    mine = edit(BASE, [AddItem("piece", {**NEW, "behind": ["outer"]})])
    with pytest.raises(Clash, match="the job as a whole"):
        merged(BASE, theirs, mine)


def test_a_new_order_of_pieces_is_kept():
    """Pieces that I moved stand in my order, with what they changed."""
    theirs = edit(BASE, [SetValue(("piece", "inner", "title"), "board")])
    rows = {p["id"]: p for p in tables_of(BASE)["piece"]}
    mine = edit(BASE, [Remove(("piece", "inner")), AddItem("piece", rows["inner"])])
    data = tables_of(merged(BASE, theirs, mine))
    assert [p["id"] for p in data["piece"]] == ["outer", "inner"]
    assert data["piece"][1]["title"] == "board"


STEPS = [
    SetValue(("piece", "inner", "title"), "a"),
    SetValue(("piece", "outer", "drip"), True),
    SetValue(("job", "client"), "b"),
    AddItem("reading", READING),
    AddItem("piece", NEW, "outer"),
]


@settings(max_examples=40, deadline=None)
@given(st.lists(st.booleans(), min_size=len(STEPS), max_size=len(STEPS)))
def test_steps_shared_out_come_together_as_if_one_made_them(whose):
    """However independent steps are shared out between two, the merge holds all of them."""
    theirs = edit(BASE, [s for s, hers in zip(STEPS, whose, strict=True) if hers])
    mine = edit(BASE, [s for s, hers in zip(STEPS, whose, strict=True) if not hers])
    assert tables_of(merged(BASE, theirs, mine)) == tables_of(edit(BASE, STEPS))


@pytest.mark.parametrize(
    ("table", "first", "second"),
    [
        ("done", {"task": "off", "day": "2025-11-10", "hours": 2}, {"task": "off",
         "day": "2025-11-11", "hours": 3}),
        ("pick", {"face": "wall", "at": [3, 4], "piece": "inner", "says": "soft"},
         {"face": "wall", "at": [9, 4], "piece": "inner", "says": "firm"}),
        ("payment", {"event": "at the start", "percent": 30}, {"event": "at the end",
         "percent": 70}),
        ("person", {"id": "ann"}, {"id": "ben"}),
    ],
    ids=["ticks", "awl", "payments", "crew"],
)  # fmt: skip
def test_rows_of_every_table_are_kept(table, first, second):
    """Whatever table two people write into, the rows of both are kept."""
    theirs, mine = (edit(BASE, [AddItem(table, row)]) for row in (first, second))
    assert tables_of(merged(BASE, theirs, mine))[table] == [first, second]


WIND = """
[terms]
permits_by = "nobody"

[framing.wind]
value = "100 mph"
said_by = "a letter"
"""


def test_keys_of_tables_that_stand_once_are_merged_one_by_one():
    """Different keys of the terms are no conflict, nor are keys of a table inside a table."""
    base = BASE + WIND
    theirs = edit(base, [SetValue(("terms", "permits_by"), "the firm"),
                         SetValue(("framing", "wind", "value"), "110 mph")])  # fmt: skip
    mine = edit(base, [SetValue(("terms", "offer_days"), 10),
                       SetValue(("framing", "wind", "said_by"), "the town")])  # fmt: skip
    data = tables_of(merged(base, theirs, mine))
    assert data["terms"] == {"permits_by": "the firm", "offer_days": 10}
    assert data["framing"]["wind"] == {"value": "110 mph", "said_by": "the town"}
    with pytest.raises(Clash, match="terms"):
        merged(base, theirs, edit(base, [SetValue(("terms", "permits_by"), "the client")]))
