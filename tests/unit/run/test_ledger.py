"""A deck ledger hung on lags: loads in shear of its fasteners, the lag table beside."""

import pytest

from weatherlap.job.reading import read_job
from weatherlap.run.families import family
from weatherlap.run.holdingup import hold_job

DECK = """[job]
title = "Deck on a ledger"
by = "Tobin Marsh"

[[face]]
id = "deck"
facing = 180
tilt = 0
origin = [0, 0, 30]
width = 144
height = 120

[[piece]]
id = "boards"
what = "deck-board"
on = [{ face = "deck", rect = [0, 0, 144, 120] }]

[[member]]
id = "joist"
use = "joist"
line = [[1, 0, 29], [1, 120, 29]]
edge = "top"
size = "2x8"
species = "SP"
grade = "No.2"
treated = true
wet = true
count = 10
step = [15.5, 0, 0]
braced = 0
repetitive = true
ceiling = "floor"

[[member]]
id = "ledger"
use = "ledger"
line = [[0, 120.75, 29], [144, 120.75, 29]]
edge = "top"
size = "2x8"
species = "SP"
grade = "No.2"
treated = true
wet = true
braced = 16

[[member]]
id = "beam"
use = "beam"
line = [[0, 12, 21.75], [144, 12, 21.75]]
edge = "top"
size = "2-2x10"
species = "SP"
grade = "No.2"
treated = true
wet = true
braced = 16

[[member]]
id = "post"
use = "post"
line = [[3, 12, 0], [3, 12, 12.5]]
size = "6x6"
species = "SP"
grade = "No.2"
treated = true
count = 3
step = [69, 0, 0]

[[joint]]
upper = "joist"
lower = "beam"
hold = "bears"

[[joint]]
upper = "beam"
lower = "post"
hold = "bears"

[[joint]]
upper = "joist"
lower = "ledger"
hold = "hung"
part = { name = "joist hanger", source = "a report, page 3", down = "800 lb", duration = 1.0 }

[[support]]
id = "base"
member = "post"

[[support]]
id = "lags"
member = "ledger"
at = [2, 120.75, 25]
every = 15
hold = "hung"
on = "band of the house"
nails = [{ nail = "1/2 lag", count = 1, length = 4, side = 1.5, into = 2, wet = true }]

[[carried]]
face = "deck"
kind = "floor"
by = ["joist"]
"""
LAG = '{ nail = "1/2 lag", count = 1, length = 4, side = 1.5, into = 2, wet = true }'


def held_of(text):
    """A job's framing worked out."""
    return hold_job(read_job(text), on_the_way=lambda _: None)


@pytest.fixture(scope="module")
def held():
    """The deck."""
    return held_of(DECK)


def test_lags_carry_the_ledger_in_shear(held):
    """Together they carry what the joists bring; each is asked for shear, none for bearing."""
    last = held.holding.stages[-1]
    lags = [s for s in last.supports if s.id.startswith("lags-")]
    hangers = [j for j in last.joints if j.lower == "ledger"]
    full = next(c for c in last.carried if c.combination.id == "D + L")
    own = 1.5 * 7.25 * 144 / 1728 * 45
    brought = sum(full.push_lb[j.id][2] for j in hangers)
    assert sum(full.push_lb[s.id][2] for s in lags) == pytest.approx(brought + own, rel=0.01)
    checks = [c for c in held.holding.checks if c.about.startswith("lags-")]
    assert {c.what for c in checks} == {"shear of its fasteners"}
    assert {family(c.about, held.surveyed.rows) for c in checks} == {"lags"}


def test_lags_stand_at_their_distance(held):
    """From 2 in at the first end every 15 in, none nearer than 2 in to the other."""
    member = held.holding.framing.member("ledger")
    places = [
        member.distance_along(s.at_in) for s in held.surveyed.supports if s.member == "ledger"
    ]
    assert places == pytest.approx([2 + 15 * k for k in range(10)])


def test_the_lag_table_stands_beside(held):
    """IRC R507.9.1.3, joists to 10 ft: 18 in; the calculation of one lag says less, and why."""
    said = next(b for b in held.beside if b.member == "ledger")
    assert said.table.length_in == 18 and said.span_in == pytest.approx(15)
    assert "the spacing is 1' 3\"" in said.sentence and "tests" in said.sentence


def test_of_a_row_one_stands_beside(held):
    """Three like posts have one line."""
    assert sum(b.table.what == "deck post" for b in held.beside) == 1


def test_a_hung_ledger_without_fasteners_is_asked_what_holds_it():
    """Nobody knows what it hangs from: that is asked, not taken to bear."""
    bare = held_of(DECK.replace(f"nails = [{LAG}]", ""))
    assert any(m.about.startswith("lags-") and "fastens" in m.ask for m in bare.holding.missing)


def test_lags_in_a_row_hold_less_than_their_sum():
    """Two half-inch lags one under the other: twice one, less by the group action factor."""
    one = held_of(DECK)
    two = held_of(DECK.replace("count = 1, length", "count = 2, in_row = 2, length"))

    def limit(held):
        return next(c.limit for c in held.holding.checks if c.about == "lags-5")

    assert 1.7 < limit(two) / limit(one) < 1.9999
