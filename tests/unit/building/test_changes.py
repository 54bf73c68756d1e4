"""Changes make the repaired corner from the one found, or say why they cannot."""

from __future__ import annotations

import pytest

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import build_corner
from weatherlap.errors import JobError
from weatherlap.job.model import Change, Do, Edge, Job
from weatherlap.job.reading import read_job
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace

FOUND = """
[job]
title = "test"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "wood"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
[[piece]]
id = "upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]
[[piece]]
id = "lower"
sheet = "resists"
sealed = ["bottom"]
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""


def repaired(changes: str) -> Job:
    """The job after the changes in a text."""
    return as_repaired(read_job(FOUND + changes))


def clean(job: Job) -> bool:
    """Whether the corner of a job drains."""
    return trace(build_corner(job), site_rain(job.site)).clean


def change(do: str, piece: str, more: str = "") -> str:
    """The TOML of a change."""
    return f'[[change]]\ndo = "{do}"\npiece = "{piece}"\n{more}\n'


@pytest.mark.parametrize(
    "changes",
    [
        pytest.param(change("turn", "upper", 'over = "lower"'), id="turn the lap"),
        pytest.param(
            change("extend", "upper", 'face = "wall"\nside = "bottom"\nby = 46')
            + change("turn", "upper", 'over = "lower"'),
            id="extend",
        ),
        pytest.param(change("seal", "lower", 'edge = "top"'), id="seal the top"),
        pytest.param(
            change("extend", "upper", 'face = "wall"\nside = "bottom"\nby = -8')
            + '[[change]]\ndo = "add"\n[change.new]\nid = "strip"\nsheet = "resists"\n'
            'behind = ["upper"]\non = [{ face = "wall", rect = [0, 50, 96, 60] }]\n',
            id="trim the upper sheet and add a strip under it and over the lower",
        ),
    ],
)
def test_each_of_these_changes_mends_the_reversed_lap(changes: str) -> None:
    """As found the wall soaks; with the change it drains, and the found job is untouched."""
    assert not clean(read_job(FOUND))
    assert clean(repaired(changes))


def test_taking_away_and_replacing_change_the_pieces() -> None:
    """A piece taken away is gone; one replaced keeps its place and its panels."""
    job = repaired(
        change("take-away", "upper") + change("replace", "wood", 'what = "plywood"\ntitle = "new"')
    )
    assert [p.id for p in job.piece] == ["wood", "lower"]
    assert job.piece[0].what == "plywood"
    assert job.piece[0].on[0].rect == (0, 0, 96, 96)


def test_a_reused_piece_goes_back_as_it_was() -> None:
    """Reuse leaves the corner as found."""
    assert repaired(change("reuse", "lower")).piece == read_job(FOUND).piece


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        (change("take-away", "nothing"), "nothing"),
        (change("take-away", "upper") + change("seal", "upper", 'edge = "top"'), "taken away"),
        (change("turn", "lower", 'over = "upper"'), "lies over 'upper' already"),
        (change("turn", "lower", 'over = "uper"'), "Did you mean 'upper'"),
        (change("replace", "upper") * 2, "'upper' is replaced twice"),
        (change("unseal", "upper", 'edge = "bottom"'), "is not sealed"),
        (change("seal", "lower", 'edge = "bottom"'), "sealed already"),
        (change("reuse", "upper") + change("take-away", "upper"), "to be reused"),
        (change("replace", "upper") + change("reuse", "upper"), "replaced as well"),
        (change("extend", "upper", 'face = "wall"\nside = "top"\nby = -60'), "nothing would be"),
        (
            change("turn", "upper", 'over = "lower"') + change("take-away", "upper"),
            "still lies behind",
        ),
    ],
)
def test_changes_that_cannot_be_made_say_why(changes: str, words: str) -> None:
    """Missing pieces and contradictions are named, with the change's number."""
    with pytest.raises(JobError, match=words):
        repaired(changes)


ADDED = """[[change]]
do = "add"
[change.new]
id = "patch"
sheet = "resists"
behind = ["upper"]
on = [{ face = "wall", rect = [0, 0, 40, 20] }]
"""


@pytest.mark.parametrize(
    ("changes", "row", "where"),
    [
        pytest.param(change("seal", "uper", 'edge = "top"'), 'piece = "uper"', "piece", id="piece"),
        pytest.param(
            change("turn", "lower", 'over = "upper"'), 'over = "upper"', "over", id="over"
        ),
        pytest.param(
            change("extend", "upper", 'face = "wall"\nside = "top"\nby = 30'),
            "by = 30",
            "by",
            id="off the face",
        ),
        pytest.param(
            change("take-away", "upper") + ADDED,
            'behind = ["upper"]',
            "new: behind",
            id="behind a piece taken away",
        ),
        pytest.param(
            ADDED.replace("20] }", "200] }"), "on = [{ face", "new, panel 1: rect", id="new piece"
        ),
    ],
)
def test_each_fault_of_a_change_names_file_line_and_key(changes: str, row: str, where: str) -> None:
    """The line is that of the key at fault in the text that was read, whatever the fault."""
    text = FOUND + changes
    with pytest.raises(JobError) as caught:
        as_repaired(read_job(text, file="corner.toml"))
    (problem,) = caught.value.problems
    assert problem.file == "corner.toml"
    assert text.splitlines()[problem.line - 1].startswith(row)
    assert problem.where.startswith("change ") and problem.where.endswith(where)


def test_a_fault_of_other_changes_than_the_file_holds_claims_no_line() -> None:
    """Changes that are only tried out stand in no file."""
    job = read_job(FOUND, file="corner.toml")
    with pytest.raises(JobError) as caught:
        as_repaired(job, [Change(do=Do.SEAL, piece="uper", edge=Edge.TOP)])
    (problem,) = caught.value.problems
    assert (problem.file, problem.line) == ("", 0)
    assert problem.where == "change 1 (seal 'uper')"


def test_jobs_are_alike_wherever_they_were_read() -> None:
    """The file's name and its comments are no part of what a job says."""
    assert read_job(FOUND, file="a.toml") == read_job(f"# note\n{FOUND}", file="b.toml")
