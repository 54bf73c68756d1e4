"""Take-down: the least set, its order, and what becomes of each piece."""

from __future__ import annotations

import itertools

import networkx as nx
import pytest
from hypothesis import given, settings
from ordercases import over_graph, piece, planned, stacks, wall_job

from weatherlap.building.changes import as_repaired, changed
from weatherlap.building.corner import Corner
from weatherlap.errors import NoSolution
from weatherlap.job.model import Do, Job
from weatherlap.order.aims import Fate
from weatherlap.order.takedown import How, TakeDown

TOUCHING = settings(max_examples=120, deadline=None)


def ids(found: Corner, down: TakeDown) -> list[str]:
    """The pieces of a take-down in their order."""
    return [found.pieces[r.piece].id for r in down.removals]


@TOUCHING
@given(stacks(free=False))
def test_what_comes_off_is_all_that_lies_over_the_work(job: Job) -> None:
    """Without sliding or bending it is the changed pieces and their ancestors in the laps."""
    found, _, down = planned(job, changed(job, job.change))
    graph = over_graph(found)
    goals = {c.piece for c in job.change}
    want = goals.union(*(nx.ancestors(graph, g) for g in goals))
    assert {found.pieces[p].id for p in down.off} == want
    assert not down.bent


@TOUCHING
@given(stacks(free=True))
def test_the_set_is_the_least_of_all(job: Job) -> None:
    """No smaller set of pieces off or bent up lets the work be done (all sets are tried)."""
    found, after, down = planned(job, changed(job, job.change))
    names = [p.id for p in found.pieces]
    record = {p.id: p for p in job.piece}
    goals = {c.piece for c in job.change}
    over, later = over_graph(found), over_graph(after)
    gone = {c.piece for c in job.change if c.do is Do.TAKE_AWAY}

    def works(touched: set[str]) -> bool:
        off = {n for n in touched if n in goals or not record[n].bends}
        if not goals <= off:
            return False
        for name in off:
            if record[name].slides:
                continue
            if not set(over.predecessors(name)) <= touched:
                return False
            if name not in gone and not set(later.predecessors(name)) <= touched:
                return False
        return True

    sizes = (set(some) for n in range(len(names) + 1) for some in itertools.combinations(names, n))
    least = next(some for some in sizes if works(some))
    assert {found.pieces[p].id for p in down.off | down.bent} == least


@TOUCHING
@given(stacks(free=True))
def test_nothing_comes_off_before_what_lies_over_it(job: Job) -> None:
    """The order is a topological one of the laps, but for pieces that slide or are bent up."""
    found, _, down = planned(job, changed(job, job.change))
    number = {found.pieces[r.piece].id: r.number for r in down.removals}
    assert sorted(number.values()) == list(range(1, len(number) + 1))
    record = {p.id: p for p in job.piece}
    for outer, inner in over_graph(found).edges:
        if outer in number and inner in number:
            bent = found.piece_named[inner].index in down.bent
            if not bent and not record[inner].slides:
                assert number[outer] < number[inner]


def test_a_piece_that_slides_leaves_its_covers_on() -> None:
    """What lies over a piece that slides out stays."""
    rows = [piece("inner", (0, 0, 20, 20), slides=["left"]), piece("outer", (0, 10, 20, 30))]
    job = wall_job(rows, [{"do": "reuse", "piece": "inner"}])
    found, _, down = planned(job, as_repaired(job))
    assert [(found.pieces[r.piece].id, r.how) for r in down.removals] == [("inner", How.SLIDES)]


def test_a_cover_that_bends_is_held_and_ends_the_chain() -> None:
    """A cover that can be bent up is not taken off, nor is what lies over it."""
    rows = [
        piece("inner", (0, 0, 20, 20)),
        piece("sheet", (0, 10, 20, 40), bends=True),
        piece("siding", (0, 30, 20, 60)),
    ]
    job = wall_job(rows, [{"do": "replace", "piece": "inner"}])
    found, _, down = planned(job, as_repaired(job))
    assert [(found.pieces[r.piece].id, r.how) for r in down.removals] == [
        ("sheet", How.BENDS),
        ("inner", How.OFF),
    ]


@pytest.mark.parametrize(
    ("change", "fate"),
    [
        pytest.param({"do": "take-away"}, Fate.SCRAPPED, id="take-away"),
        pytest.param({"do": "replace"}, Fate.SCRAPPED, id="replace"),
        pytest.param(
            {"do": "extend", "face": "wall", "side": "top", "by": 2}, Fate.SCRAPPED, id="longer"
        ),
        pytest.param(
            {"do": "extend", "face": "wall", "side": "top", "by": -2}, Fate.CHANGED, id="trimmed"
        ),
        pytest.param({"do": "drip"}, Fate.CHANGED, id="drip"),
        pytest.param({"do": "reuse"}, Fate.BACK, id="reuse"),
    ],
)
def test_what_becomes_of_a_piece(change: dict[str, object], fate: Fate) -> None:
    """A piece is scrapped, goes back changed, or goes back as it was."""
    job = wall_job([piece("one", (0, 0, 20, 20))], [{"piece": "one", **change}])
    _, _, down = planned(job, as_repaired(job))
    assert [r.fate for r in down.removals] == [fate]


def test_a_turned_lap_takes_both_pieces_off() -> None:
    """The outer one as found comes off first, then the one that will lie over it."""
    rows = [piece("upper", (0, 10, 20, 30)), piece("lower", (0, 0, 20, 12))]
    job = wall_job(rows, [{"do": "turn", "piece": "upper", "over": "lower"}])
    found, _, down = planned(job, as_repaired(job))
    assert ids(found, down) == ["lower", "upper"]
    assert {r.fate for r in down.removals} == {Fate.BACK}


def test_an_edge_cut_open_in_place_takes_off_only_what_covers_the_edge() -> None:
    """To cut sealant nothing comes off but what lies within an inch of that edge."""
    rows = [
        piece("sealed", (0, 0, 20, 20), sealed=["bottom"]),
        piece("skirt", (0, 0, 20, 1)),
        piece("above", (0, 18, 20, 40)),
    ]
    job = wall_job(rows, [{"do": "unseal", "piece": "sealed", "edge": "bottom"}])
    found, _, down = planned(job, as_repaired(job))
    assert ids(found, down) == ["skirt"]


def test_a_new_piece_takes_off_what_will_lie_over_it() -> None:
    """A flashing added behind the siding takes the siding over it off, not the rest."""
    rows = [
        piece("sheathing", (0, 0, 40, 90), sheet="absorbs"),
        piece("low", (0, 0, 40, 20)),
        piece("high", (0, 50, 40, 90)),
    ]
    new = {"id": "new", "sheet": "sheds", "on": [{"face": "wall", "rect": [0, 10, 40, 30]}]}
    job = wall_job(rows, [{"do": "add", "after": "sheathing", "new": new}])
    found, _, down = planned(job, as_repaired(job))
    assert ids(found, down) == ["low"]


def test_pieces_keep_their_place_in_their_run() -> None:
    """A course that comes off carries its number in the run, counted in the order of the file."""
    rows = [piece(f"c{k}", (0, 9 * k, 40, 9 * k + 10), run="siding") for k in range(4)]
    job = wall_job(rows, [{"do": "reuse", "piece": "c2"}])
    found, _, down = planned(job, as_repaired(job))
    named = [(found.pieces[r.piece].id, r.place_in_run) for r in down.removals]
    assert named == [("c3", 4), ("c2", 3)]


def circle_job(**more: object) -> Job:
    """Three pieces over one another in a circle round a wall and its two neighbours."""
    faces = [
        {"id": "a", "facing": 180, "tilt": 90, "origin": [0, 0, 0], "width": 20, "height": 20},
        {"id": "b", "facing": 90, "tilt": 90, "origin": [20, 0, 0], "width": 20, "height": 20},
        {"id": "c", "facing": 0, "tilt": 90, "origin": [20, 20, 0], "width": 20, "height": 20},
    ]

    def on(*names: str) -> list[dict[str, object]]:
        return [{"face": n, "rect": [0, 0, 20, 20]} for n in names]

    rows = [
        {"id": "one", "sheet": "sheds", "on": on("a", "c"), **more},
        {"id": "two", "sheet": "sheds", "on": on("a", "b")},
        {"id": "three", "sheet": "sheds", "on": on("b", "c"), "behind": ["one"]},
    ]
    return wall_job(rows, [{"do": "reuse", "piece": "one"}], face=faces)


def test_pieces_round_in_a_circle_have_no_first_one() -> None:
    """Where each of three pieces lies under the next nothing can come off first; all are named."""
    job = circle_job()
    with pytest.raises(NoSolution, match=r"taken off first: one under two under three under one"):
        planned(job, as_repaired(job))


def test_a_circle_opens_where_a_piece_slides() -> None:
    """The same circle is no trouble once one piece of it slides out."""
    job = circle_job(slides=["top"])
    found, _, down = planned(job, as_repaired(job))
    assert ids(found, down) == ["one"]
