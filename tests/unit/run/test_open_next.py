"""Where to open next: suspects, readings and damage, and what each answer would mean."""

from __future__ import annotations

import math

import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.run.opennext import OpenNext, evidence, open_next
from weatherlap.run.suspicions import ELSE, suspicions
from weatherlap.run.worked import Worked, work_out

WALL = """
[job]
title = "Two ways in"
[[face]]
id = "wall"
title = "south wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[piece]]
id = "wood"
title = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]
[[piece]]
id = "left-upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 40, 96] }]
[[piece]]
id = "left-lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 40, 52] }]
[[piece]]
id = "right-upper"
sheet = "resists"
on = [{ face = "wall", rect = [40, 46, 96, 96] }]
[[piece]]
id = "right-lower"
sheet = "resists"
on = [{ face = "wall", rect = [40, 0, 96, 52] }]
"""
SUSPECTS = """
[[suspect]]
id = "left-lap"
text = "The lap on the left"
odds = 3
finding = ["left-upper", "left-lower"]
[[suspect]]
id = "hole"
text = "A hole on the right"
leak = { face = "wall", at = [70, 80], on = "wood" }
"""


def opened(more: str = "", text: str = WALL) -> OpenNext:
    """The answer for a job's text."""
    return open_next(worked(more, text))


def worked(more: str = "", text: str = WALL) -> Worked:
    """The worked-out job of a text."""
    return work_out(read_job(text + more))


def test_without_suspects_the_findings_are_weighed_at_even_odds() -> None:
    """Each finding is a suspicion and all are equally likely before anything is read."""
    answer = opened()
    assert [w.name for w in answer.weighed] == ["A", "B"]
    assert [w.chance for w in answer.weighed] == pytest.approx([0.5, 0.5])
    assert answer.open_bits == pytest.approx(1.0)
    assert "none is likelier" in answer.text


def test_suspects_keep_their_odds() -> None:
    """Odds of 3 to 1 give 75 % and 25 %."""
    answer = opened(SUSPECTS)
    assert [(w.name, w.chance) for w in answer.weighed] == [
        ("left-lap", pytest.approx(0.75)),
        ("hole", pytest.approx(0.25)),
    ]
    assert "likeliest is left-lap (75%)" in answer.text


def test_a_look_is_where_the_causes_differ() -> None:
    """The best look is on the wood under one of the laps, and each answer names its cause."""
    look = opened().looks[0]
    assert look.do.endswith("then meter the sheathing.")
    assert "wall" in look.place
    assert math.dist(look.if_wet, (0.9, 0.1)) < 1e-6 or math.dist(look.if_wet, (0.1, 0.9)) < 1e-6
    likely = "A" if look.if_wet[0] > 0.5 else "B"
    assert look.wet_means.startswith(f"Then most likely {likely} (90%)")


def test_information_of_a_look_by_hand() -> None:
    """Two even causes and chances 0.9 and 0.1 settle 1 - H(0.1) = 0.531 bits (binary channel)."""
    look = opened().looks[0]
    by_hand = 1 + 0.9 * math.log2(0.9) + 0.1 * math.log2(0.1)
    assert look.bits == pytest.approx(by_hand, abs=1e-9)
    assert look.chance_wet == pytest.approx(0.5)


def test_what_is_in_front_is_named_outermost_first() -> None:
    """Whoever opens learns what to lift, in the order in which it comes off."""
    wall = worked()
    ids = [p.id for p in wall.corner.pieces]
    for look in open_next(wall).looks:
        names = [ids[p] for p in look.covers]
        assert names in (["left-lower"], ["right-lower"], ["left-lower", "left-upper"],
                         ["right-lower", "right-upper"])  # fmt: skip
        assert look.do.startswith("Lift or take off the ")


@pytest.mark.parametrize(
    ("percent", "wet"),
    [
        pytest.param(20, True, id="at-20-wet"),
        pytest.param(35, True, id="wet"),
        pytest.param(15, False, id="at-15-dry"),
        pytest.param(8, False, id="dry"),
        pytest.param(17.5, None, id="in-between-says-nothing"),
    ],
)
def test_readings_are_wet_dry_or_neither(percent: float, wet: bool | None) -> None:
    """20 % and more is wet, 15 % and less dry, in between nothing."""
    job = read_job(f'{WALL}[[reading]]\nface = "wall"\nat = [20, 20]\npercent = {percent}\n')
    found = evidence(job, work_out(job).corner)
    assert [s.wet for s in found] == ([] if wet is None else [wet])


def test_a_wet_reading_speaks_for_the_cause_above_it() -> None:
    """Wet wood under the left lap makes that lap the likelier one, by Bayes' rule 9 to 1."""
    answer = opened('[[reading]]\nface = "wall"\nat = [20, 20]\npercent = 28\npiece = "wood"\n')
    left = next(w for w in answer.weighed if "left" in w.text)
    assert left.chance == pytest.approx(0.9)
    assert (answer.wet_seen, answer.dry_seen) == (1, 0)


def test_a_dry_reading_speaks_against_it() -> None:
    """Dry wood under the left lap leaves it one chance in ten."""
    answer = opened('[[reading]]\nface = "wall"\nat = [20, 20]\npercent = 11\n')
    left = next(w for w in answer.weighed if "left" in w.text)
    assert left.chance == pytest.approx(0.1)


def test_damage_counts_as_wet() -> None:
    """A damage mark speaks as a wet reading does."""
    answer = opened('[[damage]]\nface = "wall"\nat = [20, 20]\ntext = "soft"\n')
    left = next(w for w in answer.weighed if "left" in w.text)
    assert left.chance == pytest.approx(0.9)


def test_nobody_is_sent_where_somebody_has_looked() -> None:
    """A place that was metered is not proposed again."""
    before = opened().looks[0]
    read = (
        f'[[reading]]\nface = "wall"\nat = [{before.u}, {before.v}]\npercent = 30\npiece = "wood"\n'
    )
    for look in opened(read).looks:
        assert abs(look.u - before.u) > 8 or abs(look.v - before.v) > 6


def test_a_leak_wets_what_lies_below_it() -> None:
    """Water let in on the wood at a place wets the wood from there to the foot of the wall."""
    hole = suspicions(worked(SUSPECTS))[1]
    assert hole.wet
    assert max(s.high for s in hole.wet) == pytest.approx(80)
    assert min(s.low for s in hole.wet) == pytest.approx(0)
    assert {s.u for s in hole.wet} == {70}


def test_a_single_cause_is_weighed_against_something_else() -> None:
    """With one cause there is still a question: is it that one?"""
    one = WALL[: WALL.index('[[piece]]\nid = "right-upper"')]
    one = one.replace("[0, 46, 40, 96]", "[0, 46, 96, 96]").replace("0, 40, 52", "0, 96, 52")
    answer = opened(text=one)
    assert [w.name for w in answer.weighed] == ["A", ELSE]
    assert answer.looks


def test_a_corner_that_drains_has_nothing_to_open() -> None:
    """Without a finding or a suspect the answer says so."""
    right = WALL.replace("left-lower", "l").replace("right-lower", "r")
    right = right.replace("[0, 46, 40, 96]", "[0, 0, 96, 96]").replace(
        "[0, 0, 40, 52]", "[0, 0, 9, 9]"
    )
    answer = opened(text=right[: right.index('[[piece]]\nid = "l"')])
    assert not answer.looks
    assert "drains" in answer.text


def test_a_pair_without_a_finding_is_an_error_that_names_the_pairs() -> None:
    """A suspect names two pieces between which the trace finds nothing: the message helps."""
    more = '[[suspect]]\nid = "x"\ntext = "y"\nfinding = ["left-upper", "right-lower"]\n'
    with pytest.raises(InputError, match="no finding between left-upper and right-lower") as error:
        opened(more)
    assert "left-upper and left-lower" in str(error.value)


def test_causes_that_wet_the_same_places_are_weighed_against_something_else() -> None:
    """Where no look can tell the suspects apart, a look still tells whether it is one of them."""
    twins = SUSPECTS.replace('finding = ["left-upper", "left-lower"]', LEAK)
    answer = opened(twins)
    assert [w.name for w in answer.weighed] == ["left-lap", "hole", ELSE]
    assert answer.looks


LEAK = 'leak = { face = "wall", at = [70, 80], on = "wood" }'
