"""Put-back: nothing before what lies behind it, hands kept on one task, traps told."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from ordercases import over_graph, piece, planned, stacks, wall_job

from weatherlap.building.changes import as_repaired, changed
from weatherlap.job.model import Job
from weatherlap.order.aims import Fate
from weatherlap.order.putback import PutBack, put_back, trade_of
from weatherlap.order.sequence import StuckError, Turn, in_order


def laid(job: Job) -> tuple[list[str], PutBack]:
    """The ids of the pieces in the order of laying, and the plan."""
    found, after, down = planned(job, as_repaired(job))
    back = put_back(found, after, down)
    return [after.pieces[s.piece].id for s in back.layings], back


@settings(max_examples=120, deadline=None)
@given(stacks(free=True))
def test_nothing_is_laid_before_what_lies_behind_it(job: Job) -> None:
    """The order is a topological one of the repaired laps, and lays all that is off or new."""
    repaired = changed(job, job.change)
    found, after, down = planned(job, repaired)
    back = put_back(found, after, down)
    number = {after.pieces[s.piece].id: s.number for s in back.layings}
    off = {found.pieces[p].id for p in down.off} & {p.id for p in repaired.piece}
    assert number.keys() == off
    for outer, inner in over_graph(after).edges:
        if outer in number and inner in number:
            assert number[inner] < number[outer]


def test_a_sheet_that_was_bent_up_is_let_down_after_what_goes_behind_it() -> None:
    """It is said after which piece, and what lies over the sheet waits for that piece too."""
    rows = [
        piece("sheathing", (0, 0, 90, 90), what="osb", sheet="absorbs"),
        piece("patch", (10, 10, 80, 44), what="housewrap", sheet="resists"),
        piece("sheet", (0, 40, 90, 90), what="housewrap", sheet="resists", bends=True),
        piece("course", (0, 60, 90, 70), what="vinyl-siding"),
    ]
    job = wall_job(rows, [{"do": "replace", "piece": "patch"}, {"do": "reuse", "piece": "course"}])
    order, back = laid(job)
    assert order == ["patch", "course"]
    (row,) = back.lowered
    after = as_repaired(job)
    assert (after.piece[row.piece].id, row.after) == ("sheet", 1)
    assert [after.piece[p].id for p in row.over] == ["patch"]


@settings(max_examples=80, deadline=None)
@given(stacks(free=True))
def test_sheets_come_down_over_all_that_lies_behind_them(job: Job) -> None:
    """Each piece that is laid behind a bent sheet is laid by the step after which it comes down."""
    repaired = changed(job, job.change)
    found, after, down = planned(job, repaired)
    back = put_back(found, after, down)
    number = {after.pieces[s.piece].id: s.number for s in back.layings}
    bent = {found.pieces[p].id for p in down.bent}
    for row in back.lowered:
        name = after.pieces[row.piece].id
        inner = {b for a, b in over_graph(after).edges if a == name and b in number}
        assert name in bent
        assert {after.pieces[p].id for p in row.over} == inner
        assert row.after == max(number[b] for b in inner)


def test_hands_stay_on_one_task() -> None:
    """Of two free stacks of barrier and siding both barriers go first, then all the siding."""
    rows = [
        piece("barrier-1", (0, 0, 20, 40), what="housewrap", sheet="resists"),
        piece("barrier-2", (50, 0, 70, 40), what="housewrap", sheet="resists"),
        piece("low-1", (0, 0, 20, 20), what="vinyl-siding"),
        piece("high-1", (0, 18, 20, 40), what="vinyl-siding"),
        piece("low-2", (50, 0, 70, 20), what="vinyl-siding"),
        piece("high-2", (50, 18, 70, 40), what="vinyl-siding"),
    ]
    job = wall_job(rows, [{"do": "replace", "piece": f"barrier-{k}"} for k in (1, 2)])
    order, back = laid(job)
    assert order == ["barrier-1", "barrier-2", "low-1", "low-2", "high-1", "high-2"]
    assert sum(a.trade != b.trade for a, b in pairwise(back.layings)) == 1
    assert not back.traps


def test_a_hurried_crew_is_told_what_goes_behind_the_siding() -> None:
    """Metal that goes behind the siding is laid first although its trade comes after."""
    rows = [
        piece("sheathing", (0, 0, 40, 60), what="osb", sheet="absorbs"),
        piece("wrap", (0, 20, 40, 40), what="coil-wrap", title="wrap of the beam"),
        piece("course", (0, 35, 40, 50), what="vinyl-siding", title="top course"),
    ]
    job = wall_job(rows, [{"do": "replace", "piece": "wrap"}])
    order, back = laid(job)
    assert order == ["wrap", "course"]
    (trap,) = back.traps
    assert trap.text == (
        "The wrap of the beam goes on before the top course, because on the wall it goes behind "
        "it, onto the sheathing. A crew in a hurry lays it with the rest of the trim and metal, "
        "after the siding: then it ends outside of the top course, and the water on the top "
        "course runs in behind its upper edge."
    )


def test_new_pieces_and_pieces_that_go_back_are_told_apart() -> None:
    """A replaced piece is new; what came off to reach it goes back as it was."""
    rows = [piece("inner", (0, 0, 20, 20)), piece("outer", (0, 0, 20, 20))]
    order, back = laid(wall_job(rows, [{"do": "replace", "piece": "inner"}]))
    assert order == ["inner", "outer"]
    assert [s.fate for s in back.layings] == [None, Fate.BACK]


def test_trades_by_role_then_by_what_a_piece_does() -> None:
    """The catalogue's role says the trade; a piece without an entry goes by its sheet class."""
    rows = [
        piece("a", (0, 0, 9, 9), what="vinyl-siding"),
        piece("b", (0, 0, 9, 9), sheet="resists"),
        piece("c", (0, 0, 9, 9), what="door-unit"),
    ]
    job = wall_job(rows, [{"do": "reuse", "piece": "a"}])
    found, _, _ = planned(job, as_repaired(job))
    assert [trade_of(found, k) for k in range(3)] == ["siding", "barrier", "windows and doors"]


def test_what_may_wait_gives_way_only_when_all_stands_still() -> None:
    """A wish is kept where it can be, and dropped where it would close a circle."""
    turns = {p: Turn((0, 0), (0.0, p)) for p in range(3)}
    assert in_order({}, {0: {2}}, turns) == [1, 2, 0]
    assert in_order({2: {0}}, {0: {2}}, turns) == [1, 0, 2]


def test_a_circle_names_its_members_in_turn() -> None:
    """Pieces that wait for one another are named so that each waits for the next."""
    turns = {p: Turn((0, 0), (0.0, p)) for p in range(4)}
    with pytest.raises(StuckError) as caught:
        in_order({0: {1}, 1: {2}, 2: {0}}, {}, turns)
    assert caught.value.circle == [0, 1, 2]


def test_a_piece_that_goes_round_a_fold_turns_back_to_what_lies_behind() -> None:
    """The wrap on the beam goes on before the top course, as it turns back to the sheathing."""
    wall = {"id": "wall", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 96, "height": 96}
    beam = {"id": "beam", "facing": 90, "tilt": 90, "origin": [40, 0, 0], "width": 6, "height": 60}
    rows = [
        piece("sheathing", (0, 0, 40, 60), what="osb", sheet="absorbs"),
        piece("wrap", (20, 20, 40, 40), what="coil-wrap", title="wrap on the beam"),
        piece("course", (0, 35, 40, 50), what="vinyl-siding", title="top course of siding"),
    ]
    rows[1]["on"].append({"face": "beam", "rect": [0, 20, 6, 40]})
    job = wall_job(rows, [{"do": "replace", "piece": "wrap"}], face=[wall, beam])
    _, back = laid(job)
    (trap,) = back.traps
    assert trap.text.startswith(
        "The wrap on the beam goes on before the top course of siding, because on the wall it "
        "turns back to the sheathing."
    )
