"""Joints of courses chosen with the cutting: against every choice, and against hand arithmetic."""

from __future__ import annotations

from itertools import pairwise, product

from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.job.reading import read_job
from weatherlap.papers.cutparts import cut_part
from weatherlap.run.shopping import shop_job
from weatherlap.takeoff.coursing import APART_IN, SAW_IN, SHORTEST_IN, STUDS_IN
from weatherlap.takeoff.cutting.bars import plan_bars
from weatherlap.takeoff.cutting.jointchoice import Ways, choose_ways
from weatherlap.takeoff.cutting.model import BarPiece, BarStock, CutRules

RULES = CutRules()
STOCK = (BarStock("12 ft", 144.0, 10.0), BarStock("8 ft", 96.0, 7.5))

ways_of = st.lists(
    st.lists(st.integers(24, 140), min_size=1, max_size=3).map(
        lambda row: tuple(float(x) for x in row)
    ),
    min_size=1,
    max_size=3,
).map(lambda rows: Ways(tuple(rows)))


def cost_of(lengths):
    """The proven cost of boards for some lengths. [US$]"""
    pieces = tuple(BarPiece(f"p{n}", x) for n, x in enumerate(lengths))
    plan = plan_bars(pieces, stock=STOCK, rules=RULES)
    assert plan.proven
    return plan.cost_usd


@settings(max_examples=25)
@given(st.lists(ways_of, min_size=1, max_size=3), st.data())
def test_no_other_choice_of_ways_costs_less(courses, data):
    """The bound is the least cost over every choice that does not clash, and the choice has it."""
    every = list(product(*(range(len(c.lengths_in)) for c in courses)))
    pairs = [
        (a, v, a + 1, w)
        for a in range(len(courses) - 1)
        for v in range(len(courses[a].lengths_in))
        for w in range(len(courses[a + 1].lengths_in))
    ]
    clashes = [pair for pair in pairs if data.draw(st.booleans())]

    def may(choice):
        return not any(choice[a] == v and choice[b] == w for a, v, b, w in clashes)

    costs = {
        choice: cost_of([x for c, w in zip(courses, choice, strict=True) for x in c.lengths_in[w]])
        for choice in every
        if may(choice)
    }
    found = choose_ways(courses, clashes=clashes, stock=STOCK, rules=RULES)
    if not costs:
        assert found is None
        return
    assert found is not None
    assert found.least_usd == approx(min(costs.values()))
    assert costs[found.ways] == approx(min(costs.values()))


def test_stock_on_hand_is_not_used_twice():
    """Two courses of 12 ft with one free board: one board is bought."""
    stock = (BarStock("free", 144.0, 0.0, on_hand=1), BarStock("new", 144.0, 10.0))
    courses = [Ways(((144.0,),)), Ways(((144.0,),))]
    found = choose_ways(courses, clashes=(), stock=stock, rules=RULES)
    assert found is not None
    assert found.least_usd == approx(10.0)


def test_where_nothing_has_a_price_the_shorter_stock_is_used():
    """Free boards of two lengths: the way that needs less of them in all."""
    stock = (BarStock("long", 144.0, 0.0, on_hand=5), BarStock("short", 96.0, 0.0, on_hand=5))
    courses = [Ways(((140.0, 24.0), (90.0, 90.0)))]
    found = choose_ways(courses, clashes=(), stock=stock, rules=RULES)
    assert found is not None
    assert found.ways == (1,)  # 96 + 96 in, not 144 + 96 in
    assert found.least_usd is None


WALL = """
[job]
title = "a wall"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = {wide}
height = 98
[[piece]]
id = "siding"
what = "{what}"
on = [{{ face = "wall", rect = [0, 0, {wide}, 98] }}]
[[change]]
do = "replace"
piece = "siding"
{more}
"""


def siding(wide=300, what="fibre-cement-siding", more=""):
    """The cut list of a wall's siding."""
    return shop_job(read_job(WALL.format(wide=wide, what=what, more=more))).cut[0]


def joints_of(cut):
    """Where the joints of each course are. [in]"""
    return [[s.from_in for s in row.plan.splices] if row.plan else [] for row in cut.spliced]


def test_a_wall_of_25_ft_takes_30_boards():
    """14 courses of 25 ft in boards of 12 ft, by hand.

    Each course is a whole board and two that make 13 ft: more than one board. Two such parts of
    different courses come out of one board where their sum is under 12 ft; of seven first boards
    16 in apart six pair with the end of another course, and two boards hold one part each. So
    seven courses take 7 + 6 + 2 = 15 boards, 14 take 30; 14 x 25 / 12 = 29.2 is no less.
    """
    cut = siding()
    assert len(cut.spliced) == 14
    assert cut.plan.count == 30
    assert cut.joints_proven
    assert "Nor would other joints" in cut_part(cut).note


def test_joints_lie_on_studs_and_are_staggered():
    """Every joint is at a stud, 24 in and more from those of the next course."""
    joints = joints_of(siding())
    for course in joints:
        for x in course:
            assert min(x % STUDS_IN, STUDS_IN - x % STUDS_IN) <= SAW_IN
    for lower, upper in pairwise(joints):
        assert all(abs(a - b) >= APART_IN for a in lower for b in upper)


def test_no_board_is_short():
    """No board of a long course is under 2 ft."""
    cut = siding()
    assert min(x for row in cut.spliced for x in row.lengths_in) >= SHORTEST_IN


def test_joints_keep_out_of_what_is_kept_clear():
    """No joint over the door, wherever the boards would cost least."""
    more = '[[no_joint]]\nface = "wall"\nstart = 90\nend = 170\nwhy = "door"\n'
    joints = joints_of(siding(more=more))
    assert all(not 90 < x < 170 for course in joints for x in course)


def test_laps_of_vinyl_are_chosen_too():
    """Panels that lap are longer by their lap in all; the plan is proven as well."""
    cut = siding(what="vinyl-siding")
    assert cut.joints_proven is not None
    for row in cut.spliced:
        lapped = sum(s.to_in - s.from_in for s in row.plan.splices)
        assert sum(row.lengths_in) - lapped == approx(row.part.length_in)


def test_a_run_of_more_than_26_pieces_has_a_name_for_each():
    """A wall of 400 ft: every board of a course has its own name."""
    cut = siding(wide=4800)
    names = [name for name, _ in cut.spliced[0].named()]
    assert len(set(names)) == len(names) > 26
    assert names[25:28] == ["siding-1 z", "siding-1 aa", "siding-1 ab"]


def test_studs_are_spoken_of_only_where_boards_butt():
    """Panels that lap need no stud behind the joint; boards that butt do."""
    for what, on_studs in (("fibre-cement-siding", True), ("vinyl-siding", False)):
        cut = siding(what=what)
        assert cut.on_studs is on_studs
        assert ("on studs" in cut_part(cut).note) is on_studs
