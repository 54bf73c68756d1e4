"""Framing that cannot stand or cannot be worked out: named, with its lines, never passed over."""

import re
from pathlib import Path

import pytest

from weatherlap.errors import InputError, JobError, NoSolution
from weatherlap.job.naming import lines_named
from weatherlap.job.reading import read_job, tables_of
from weatherlap.papers.shoringpapers import bind
from weatherlap.papers.shoringtrouble import named_in, trouble_of_file
from weatherlap.run.holdingup import hold_job

GUIDE = (Path(__file__).parents[3] / "docs" / "shoring.md").read_text("utf-8")
SHED = GUIDE.split("```toml\n# shed-roof.toml\n")[1].split("```")[0]
POST = 'line = [[0, 12, 0], [0, 12, "84 1/4 in"]]'
MOVED = '\n[[temporary]]\nline = "behind-the-beam"\nat = {}\n'


def held_of(text):
    """A job's framing worked out."""
    return hold_job(read_job(text), on_the_way=lambda _: None)


def without(text, head):
    """A job without the tables that begin with some lines."""
    return re.sub(re.escape(head) + r".*?(?=\n\[|\Z)", "", text, flags=re.DOTALL)


def leaf_of(text):
    """The sheet and the answer as JSON."""
    made = bind(read_job(text), own={}, on_the_way=lambda _: None)
    return made.leaves[0], made.table


@pytest.mark.parametrize(
    ("text", "falls"),
    [
        pytest.param(without(SHED, '[[joint]]\nupper = "beam"'), {"beam"}, id="beam-on-nothing"),
        pytest.param(
            without(SHED, '[[support]]\nmember = "post"'), {"beam", "post-1"}, id="no-base"
        ),
        pytest.param(SHED.replace("count = 3\nstep = [72, 0, 0]", ""), {"beam"}, id="one-post"),
        pytest.param(
            SHED.replace('size = "4x4"', 'size = "4x4"\ncondition = "gone"'),
            {"beam"},
            id="rotted-away",
        ),
    ],
)
def test_what_falls_is_said_first_and_nothing_is_said_to_hold(text, falls):
    """Where a member has no load path the sheet names it and claims of no check that it holds."""
    leaf, table = leaf_of(text)
    assert falls <= set(table["falls"]) and not table["holds"]
    assert "Nothing holds up" in leaf.lead[0] and "beam" in leaf.lead[0]
    assert not any("check that could be made holds" in said for said in leaf.lead)
    assert not any(p.head in ("As found", "When the work is done") for p in leaf.parts)


def test_places_of_the_user_that_let_the_roof_fall_are_no_plan():
    """A header on two posts near one another tips; no order of work is printed for that."""
    leaf, table = leaf_of(SHED + MOVED.format(30) + MOVED.format(54))
    assert "rafter-1" in table["falls"]
    assert "stage 4" in leaf.lead[0]
    assert not any(p.head == "Order of the work" for p in leaf.parts)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        pytest.param(
            'line = [[0, 40, 0], [0, 40, "84 1/4 in"]]', "28.0 in apart in plan", id="beside"
        ),
        pytest.param("line = [[0, 12, 0], [0, 12, 60]]", "24.2 in apart in height", id="too-short"),
        pytest.param("line = [[0, 12, 0], [0, 12, 110]]", "apart in height", id="through-the-roof"),
    ],
)
def test_a_post_that_does_not_reach_is_refused(line, said):
    """A post beside or below the beam carries nothing: the joint is refused, not stretched."""
    with pytest.raises(InputError, match=f"joint of 'beam' on 'post-1': .*{said}"):
        held_of(SHED.replace(POST, line))


def test_a_post_notched_round_the_beam_is_taken():
    """A post may reach up beside the beam that sits in its notch."""
    assert held_of(SHED.replace(POST, "line = [[0, 12, 0], [0, 12, 90]]")).surveyed.joints


def test_framing_without_loads_is_asked_what_it_carries():
    """Rows that no face lies on are worked out with their own weight, and that is said."""
    held = held_of(without(SHED, "[[carried]]"))
    assert any("[[carried]]" in m.ask for m in held.holding.missing)
    joist = (
        SHED.split("# The old beam")[0].split("# A row")[1].replace('id = "rafter"', 'id = "tie"')
    )
    more = SHED.replace(
        "# The old beam", f"[[member]]{joist.split('[[member]]')[1]}\n# The old beam"
    )
    bare = held_of(more + '\n[[support]]\nmember = "tie"\n').holding.missing
    assert [m.about for m in bare if "its own weight" in m.ask] == ["tie"]


@pytest.mark.parametrize(
    ("at", "said"),
    [
        pytest.param((20, 70), "kept free: the side door", id="in-the-way"),
        pytest.param((20,), "two or more posts", id="one"),
        pytest.param((20, 480), "within 0 to 144", id="off-the-line"),
    ],
)
def test_places_of_the_user_that_cannot_be(at, said):
    """Places in a blocked stretch, alone, or off the line are refused with what would be right."""
    with pytest.raises(InputError, match=said):
        held_of(SHED + "".join(MOVED.format(a) for a in at))


def test_places_of_the_user_stand_on_ground_that_was_given():
    """Nobody said what is under the last foot of the line: the post there is refused."""
    short = SHED.replace('soil = "clay or silt" }', 'soil = "clay or silt", end = 120 }')
    with pytest.raises(InputError, match="no ground"):
        held_of(short + MOVED.format(20) + MOVED.format(130))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        pytest.param('jack = "12000 lb"', 'jack = "300 lb"', "jack that carries most", id="jacks"),
        pytest.param(
            "{ start = 56, end = 92", "{ start = 0, end = 144", "0 free places", id="blocked"
        ),
        pytest.param("{ start = 56, end = 92", "{ start = 30, end = 120", "leave gaps", id="gap"),
        pytest.param(
            'jack = "12000 lb"', 'headers = ["2x4"]\nmost_posts = 3', "is worked to", id="header"
        ),
    ],
)
def test_no_shore_says_what_stands_in_the_way(old, new, said):
    """Where the search finds nothing, it names what was nearest to being enough."""
    with pytest.raises(NoSolution, match=said):
        held_of(SHED.replace(old, new))


def test_a_nail_that_nobody_makes_is_named_with_its_joint():
    """The joint is named, and the nails that the table has."""
    with pytest.raises(InputError, match="joint 'rafter-1-on-beam': nail: '17d common'"):
        held_of(SHED.replace('"16d common"', '"17d common"'))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        pytest.param("member 'post-2': soft", "member 'post'", id="of-a-row"),
        pytest.param("'beam-new' is long", "member 'beam'", id="new"),
        pytest.param("joint 'rafter-10-on-beam-new'", "joint of 'rafter' on 'beam'", id="joint"),
        pytest.param("support 'ledger'", "support 'ledger'", id="support"),
        pytest.param("wind on carried face 'roof'", "carried face 'roof'", id="face"),
        pytest.param(
            "5' 10\" along line 'behind-the-beam'", "shore line 'behind-the-beam'", id="line"
        ),
    ],
)
def test_what_is_named_is_found_in_the_file(said, words):
    """Each quoted id leads to the line where its table begins."""
    ((line, found),) = lines_named(SHED, tables_of(SHED), said)
    assert found == words
    head = "[[shore.line]]" if words.startswith("shore") else f"[[{words.split()[0]}]]"
    assert SHED.splitlines()[line - 1] == head


@pytest.mark.parametrize(
    ("old", "new", "drawn"),
    [
        pytest.param('[147, 12, "84 1/4 in"]', '[-3, 12, "84 1/4 in"]', {"beam"}, id="no-length"),
        pytest.param('size = "2-2x10"', 'size = "-2x10"', {"beam"}, id="negative"),
        pytest.param('size = "4x4"', 'size = "4x44"', {"post"}, id="no-size-of-lumber"),
        pytest.param('grade = "No.2"\ncount', 'grade = "No.9"\ncount', {"rafter"}, id="grade"),
    ],
)
def test_a_member_that_cannot_be_read_is_drawn_all_the_same(old, new, drawn):
    """Its line is known: it stands in heavy line among the others, a stub if it has no length."""
    text = SHED.replace(old, new)
    with pytest.raises(JobError) as caught:
        read_job(text, file="shed.toml")
    made = trouble_of_file(tables_of(text), str(caught.value))
    svg = made.files["shoring-trouble.svg"].decode()
    heavy = re.findall(r'data-member="([^"]+)"[^>]*stroke-width="2.4"', svg)
    assert set(heavy) == drawn
    assert len(set(re.findall(r'data-member="([^"]+)"', svg))) >= 5


def test_mistakes_outside_the_framing_are_not_drawn():
    """A face with a mistake names no member."""
    text = SHED.replace("tilt = 14.04", 'tilt = "steep"')
    assert trouble_of_file(tables_of(text), "shed.toml:8: face 'roof': tilt: found 'steep'") is None


def test_what_a_sentence_names_is_found_by_row_joint_and_support():
    """Rows, joints, bases and new members lead to the members that are drawn."""
    names = ("beam", "post-1", "post-2", "rafter-1")
    assert named_in("member 'post': soft", names) == {"post-1", "post-2"}
    assert named_in("joint 'rafter-1-on-beam-new': none", names) == {"rafter-1", "beam"}
    assert named_in("support 'base-post-2': none", names) == {"post-2"}
