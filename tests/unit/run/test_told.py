"""Findings told: by tape, how far down, what to look at; rules gathered; states."""

from __future__ import annotations

import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.run.places import listed, over, place_words
from weatherlap.run.rulings import rule_rows
from weatherlap.run.states import State
from weatherlap.run.told import tell
from weatherlap.run.verdict import verdict
from weatherlap.run.worked import Worked, corner_of, in_state, work_out
from weatherlap.water.hops import Cause

LAPS = """
[job]
title = "Laps"
[[face]]
id = "wall"
title = "south wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "sheathing"
what = "osb"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
[[piece]]
id = "upper"
what = "housewrap"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]
[[piece]]
id = "lower"
what = "housewrap"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""
TURN = '[[change]]\ndo = "turn"\npiece = "upper"\nover = "lower"\n'


@pytest.fixture(scope="module")
def laps() -> Worked:
    """The example of laps laid the wrong way round."""
    return work_out(read_job(LAPS))


def test_a_place_is_told_by_tape(laps: Worked) -> None:
    """Right from the left end and up from the foot, in feet and sixteenths."""
    words = place_words(laps.corner, face=0, at=(15.25, 74.0625))
    assert words == "1' 3 1/4\" right, 6' 2 1/16\" up on the south wall"


@pytest.mark.parametrize(
    ("names", "words"),
    [
        pytest.param([], "", id="none"),
        pytest.param(["a"], "a", id="one"),
        pytest.param(["a", "b"], "a and b", id="two"),
        pytest.param(["a", "b", "c"], "a, b and c", id="three"),
    ],
)
def test_names_are_listed(names: list[str], words: str) -> None:
    """Names stand in a sentence as they are spoken."""
    assert listed(names) == words


def test_covers_are_outermost_first(laps: Worked) -> None:
    """Where both sheets lie over the wood, the outer one is named first."""
    assert over(laps.corner, face=0, at=(48, 50), piece=0) == [2, 1]
    assert over(laps.corner, face=0, at=(48, 20), piece=0) == [2]
    assert over(laps.corner, face=0, at=(48, 20), piece=2) == []


def test_a_finding_is_told_whole(laps: Worked) -> None:
    """Title, place, how far the wet reaches, and what to meter behind what."""
    told = tell(laps, laps.trace.findings[0])
    assert told.title == "The upper ends behind the lower"
    assert told.place == "4' right, 3' 10\" up on the south wall"
    assert told.reaches == (
        "Down the south wall at 4' right: it begins 3' 10\" up and ends at its foot."
    )
    assert told.look.startswith("Meter the sheathing behind the lower")
    assert told.flow.endswith("an hour.")


def test_every_cause_has_a_short_title() -> None:
    """No cause is left without words."""
    from weatherlap.run import told

    assert set(told._TITLES) == set(Cause)


def test_the_verdict_counts_places_and_water(laps: Worked) -> None:
    """One place: one sentence with gallons and litres."""
    said = verdict(laps.trace)
    assert said.startswith("Water gets in, or cannot get out, at 1 place: about ")
    assert "gal (" in said
    assert said.endswith(" L) in a usual year.")


def test_the_verdict_of_a_dry_corner_is_plain() -> None:
    """A corner that drains is said to drain, on both layers."""
    repaired = work_out(in_state(read_job(LAPS + TURN), State.REPAIRED))
    assert verdict(repaired.trace) == (
        "All the rain that lands here runs off clear or into a gutter, on both layers."
    )


def test_the_repaired_state_needs_a_change() -> None:
    """Without changes there is no repaired state, and the message says so."""
    with pytest.raises(InputError, match="no repaired state"):
        in_state(read_job(LAPS), State.REPAIRED)


def test_rules_are_gathered_and_lose_none(laps: Worked) -> None:
    """Each result stands in one row; what is not kept comes first, with its worst place."""
    rows = rule_rows(laps)
    assert sum(r.kept + len(r.broken) for r in rows) == len(laps.rules)
    assert [bool(r.broken) for r in rows] == sorted((bool(r.broken) for r in rows), reverse=True)
    for row in rows:
        short = [r.measured_in - r.required_in for r in row.broken]
        if row.worst is not None:
            assert row.worst.measured_in - row.worst.required_in == min(short)


def test_a_circle_of_laps_is_found_without_a_trace() -> None:
    """Checking a job finds laps that cannot be laid, and names the pieces."""
    circle = LAPS + (
        '[[piece]]\nid = "third"\nwhat = "housewrap"\nbehind = ["upper"]\n'
        'on = [{ face = "wall", rect = [0, 40, 96, 60] }]\n'
    )
    with pytest.raises(InputError, match="circle"):
        corner_of(read_job(circle))
