"""Coil in two stages, and rolls by courses."""

from __future__ import annotations

import math
from collections import Counter
from itertools import pairwise, product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError, NoSolution
from weatherlap.takeoff.cutting.coil import Coil, CoilRules, Strip, plan_coil
from weatherlap.takeoff.cutting.rolls import Covered, Roll, RollRules, courses_of, plan_rolls

COIL = Coil("50 ft", 600, 145.0)
RULES = CoilRules(24, 126)


@settings(max_examples=25)
@given(
    st.lists(
        st.tuples(st.integers(8, 190), st.integers(16, 126), st.integers(1, 4)),
        min_size=1,
        max_size=6,
    )
)
def test_every_strip_comes_out_of_its_section(rows):
    """Each strip is cut once, no wider together than the coil, no longer than its section."""
    strips = tuple(Strip(f"s{n}", g / 8, float(ln), c) for n, (g, ln, c) in enumerate(rows))
    plan = plan_coil(strips, coils=(COIL,), rules=RULES)
    cut = Counter(one[0] for s in plan.sections for one in s.strips * s.times)
    assert cut == {s.id: s.count for s in strips}
    for section in plan.sections:
        assert sum(g for _, g, _ in section.strips) <= 24 + 1e-9
        assert max(ln for _, _, ln in section.strips) == approx(section.length_in)
        assert section.rips_in[-1] + section.offcut_in == approx(24)
    assert plan.least_length_in <= plan.length_in + 1e-9
    assert plan.least_usd <= plan.coils.cost_usd + 1e-9
    assert sum(s.length_in * s.times for s in plan.sections) == approx(plan.length_in)


def least_by_hand(rows):
    """Least length over every way to put strips together in sections."""
    best = math.inf
    for groups in product(range(len(rows)), repeat=len(rows)):
        total = 0
        for group in set(groups):
            members = [row for row, g in zip(rows, groups, strict=True) if g == group]
            if sum(g for g, _ in members) > 24:
                break
            total += max(ln for _, ln in members)
        else:
            best = min(best, total)
    return best


@settings(max_examples=20)
@given(st.lists(st.tuples(st.integers(3, 20), st.integers(20, 120)), min_size=1, max_size=5))
def test_sections_are_as_short_as_trying_everything(rows):
    """The length of coil is the least over every grouping, and proven to be."""
    strips = tuple(Strip(f"s{n}", g, ln) for n, (g, ln) in enumerate(rows))
    plan = plan_coil(strips, coils=(COIL,), rules=RULES)
    assert plan.section_proven
    assert plan.length_in == approx(least_by_hand(rows))


def test_a_long_run_is_lapped_and_said():
    """A strip longer than the brake is made of pieces with a lap, and the plan says so."""
    plan = plan_coil((Strip("beam", 20, 200),), coils=(COIL,), rules=RULES)
    assert [(s.length_in, s.times) for s in plan.sections] == [(100.5, 2)]
    assert plan.laps == ('beam: 16\' 8" in 2 pieces of 8\' 4 1/2", lapped 1"',)


def test_a_part_coil_on_hand_comes_first():
    """A part coil that costs nothing is used before a new one."""
    coils = (COIL, Coil("rest", 130, 0.0, 1))
    plan = plan_coil((Strip("a", 20, 120, 2),), coils=coils, rules=RULES)
    assert Counter(b.stock_id for b in plan.coils.bars) == {"rest": 1, "50 ft": 1}
    assert plan.proven


@pytest.mark.parametrize(
    ("strips", "words"),
    [
        pytest.param((Strip("w", 30, 50),), "girth of 2' 6.*make it of 2 profiles", id="wide"),
        pytest.param((), "at least one piece", id="none"),
        pytest.param((Strip("a", 3, 5), Strip("a", 3, 6)), "'a' twice", id="twice"),
    ],
)
def test_strips_that_cannot_be_cut_are_refused(strips, words):
    """A girth wider than the coil offers the split."""
    with pytest.raises(InputError, match=f"(?i){words}"):
        plan_coil(strips, coils=(COIL,), rules=RULES)


def test_no_coil_or_too_little_is_said():
    """Without coils nothing is planned; with too few there is no plan."""
    with pytest.raises(InputError, match="at least one coil"):
        plan_coil((Strip("a", 3, 5),), coils=(), rules=RULES)
    with pytest.raises(NoSolution, match="stock on hand"):
        plan_coil((Strip("a", 20, 120, 9),), coils=(Coil("c", 600, 1.0, 1),), rules=RULES)


WRAP = Roll("9 ft", 108, 1200, 150.0)


def test_one_course_covers_a_low_wall():
    """A 9 ft roll covers a wall up to 9 ft in one course."""
    plan = plan_rolls((Covered("n", 400, 108),), rolls=(WRAP,), rules=RollRules())
    assert [(p.course, p.bottom_in, p.length_in) for p in plan.pieces] == [(1, 0, 400)]
    assert courses_of(109, roll_in=108, lap_in=2) == 2


@settings(max_examples=60)
@given(st.floats(20, 2000), st.floats(20, 400), st.floats(0, 24), st.floats(0, 12))
def test_courses_cover_the_wall_with_their_laps(width, height, wrap, lap):
    """Pieces of a course lap by the end lap and reach its end; courses lap and reach the top."""
    rules = RollRules(course_lap_in=lap, end_lap_in=6)
    plan = plan_rolls((Covered("w", width, height, wrap),), rolls=(WRAP,), rules=rules)
    courses: dict[int, list] = {}
    for piece in plan.pieces:
        courses.setdefault(piece.course, []).append(piece)
    for course in courses.values():
        assert course[0].from_in == 0
        assert course[-1].from_in + course[-1].length_in == approx(width + wrap)
        for one, two in pairwise(course):
            assert one.from_in + one.length_in - two.from_in == approx(6)
            assert two.roll == one.roll + 1
    bottoms = sorted({p.bottom_in for p in plan.pieces})
    assert bottoms[-1] + 108 >= height - 1e-6
    used = Counter()
    for piece in plan.pieces:
        used[piece.roll] += piece.length_in
    assert max(used.values()) <= 1200 + 1e-6
    assert plan.least_rolls <= plan.rolls


def test_the_cheaper_roll_is_taken():
    """Of several kinds the one that covers for least is chosen, and the bound looks at all."""
    narrow = Roll("3 ft", 36, 1980, 60.0)
    plan = plan_rolls((Covered("w", 1150, 108),), rolls=(WRAP, narrow), rules=RollRules())
    assert (plan.roll.id, plan.rolls, plan.cost_usd) == ("9 ft", 1, 150.0)
    assert plan.proven is (plan.cost_usd <= plan.least_usd)


@pytest.mark.parametrize(
    ("make", "words"),
    [
        pytest.param(lambda: Covered("w", -1, 5), "width of w", id="negative"),
        pytest.param(lambda: RollRules(course_lap_in=-1), "lap of courses", id="lap"),
        pytest.param(lambda: Roll("r", 36, math.inf, 1), "length of r", id="endless"),
        pytest.param(
            lambda: plan_rolls((), rolls=(WRAP,), rules=RollRules()), "nothing to cover", id="none"
        ),
        pytest.param(
            lambda: plan_rolls(
                (Covered("w", 50, 50),), rolls=(WRAP,), rules=RollRules(course_lap_in=110)
            ),
            "a lap narrower than the roll",
            id="lap-wider-than-the-roll",
        ),
        pytest.param(
            lambda: plan_rolls(
                (Covered("w", 50, 12000),),
                rolls=(Roll("r", 4, 1200, 1),),
                rules=RollRules(course_lap_in=3.5),
            ),
            "courses; expected at most 2000",
            id="absurd-courses",
        ),
        pytest.param(
            lambda: plan_rolls(
                (Covered("w", 50, 50),), rolls=(Roll("r", 36, 20, 1),), rules=RollRules()
            ),
            "much longer than its laps",
            id="short-roll",
        ),
    ],
)
def test_absurd_coverings_are_refused(make, words):
    """Sizes and laps that cannot be are refused by name."""
    with pytest.raises(InputError, match=words):
        make()
