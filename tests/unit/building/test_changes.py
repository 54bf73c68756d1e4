"""Changes make the repaired corner from the one found, or say why they cannot."""

from __future__ import annotations

import pytest

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import build_corner
from weatherlap.errors import JobError
from weatherlap.job.model import Job
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
