"""The framing of a job worked out: the porch of the demo, and what is asked or refused."""

import re
from pathlib import Path

import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.run.families import family, worst_of_each
from weatherlap.run.framingloads import piece_psf
from weatherlap.run.framingmembers import survey_members
from weatherlap.run.holdingup import hold_job
from weatherlap.run.lengthscut import cuts_of
from weatherlap.run.shoringtables import shoring_table
from weatherlap.sources.catalogue import catalogue
from weatherlap.structure.model import StageKind

DEMO = (Path(__file__).parents[3] / "demo" / "porch-corner.toml").read_text("utf-8")


def held_of(text=DEMO):
    """A job's framing worked out."""
    return hold_job(read_job(text), on_the_way=lambda _: None)


@pytest.fixture(scope="module")
def held():
    """The porch."""
    return held_of()


def test_the_porch_goes_through_every_stage(held):
    """As found, posts set, jacked, out, in, shims set, jacks off."""
    assert [s.stage.kind for s in held.holding.stages] == list(StageKind)


def test_what_goes_and_comes_follows_from_the_changes(held):
    """Beam and post that the changes replace are taken out; their twins come in."""
    assert held.surveyed.replaces == ("beam", "post-wall")
    assert held.surveyed.puts_in == ("beam-new", "post-wall-new")


def test_dead_load_is_that_of_the_pieces_on_the_roof(held):
    """Deck, underlayment, shingles and the rest by share of the face, over the cosine."""
    dead = next(f for f in held.holding.figured if f.what == "dead load on plan")
    names = " ".join(v.symbol for v in dead.values)
    assert "Plywood roof deck" in names and "Asphalt shingles" in names
    layers = sum(v.value for v in dead.values if v.unit == "psf")
    assert dead.result == pytest.approx(layers / 0.94868, rel=1e-3)


def test_loads_on_the_ground_add_up_to_the_roof(held):
    """As found the supports carry together the dead load of the roof and the wood."""
    first = held.holding.stages[0]
    roof = next(f for f in held.holding.figured if f.what == "dead load on plan").result
    area = 104.5 * 101 * 0.94868 / 144
    supports = sum(first.dead.push_lb[s.id][2] for s in first.supports)
    wood = sum(
        m.stock.total_width_in * m.stock.depth_in * m.length_in / 1728 * 35
        for m in held.holding.framing.members
        if m.id in first.present
    )
    assert supports == pytest.approx(roof * area + wood, rel=0.06)


def test_posts_miss_the_way(held):
    """No proposed post stands in the blocked stretch, and loads are under the jack with margin."""
    for post in held.plan.posts:
        assert not 40 < post.along_in < 64
        assert post.jack_need_lb <= 12000


def test_missing_snow_stops_and_asks():
    """Without a ground snow load nobody guesses: the building department is to be asked."""
    start = DEMO.index("[framing.ground_snow]")
    held = held_of(DEMO[:start] + DEMO[DEMO.index("[framing.wind]") :])
    assert any("building department" in m.ask for m in held.holding.missing)
    assert not any("+ S" in c.combination for c in held.holding.checks)


def test_an_open_roof_too_steep_is_refused():
    """The open-roof table ends at 15 degrees: a steeper one without pressures is refused."""
    start = DEMO.index("wind = { route")
    text = DEMO[:start] + DEMO[DEMO.index("\n", start) + 1 :]
    with pytest.raises(InputError, match="0 to 15 degrees"):
        held_of(text)


def test_typed_pressures_need_somebody():
    """A pressure without a source is refused."""
    with pytest.raises(InputError, match="without a source"):
        held_of(re.sub('said_by = "Orla Fenn[^"]*"', 'said_by = ""', DEMO))


def test_posts_stand_where_the_user_puts_them():
    """Temporary posts of the job are taken as they are, and checked."""
    more = '\n[[temporary]]\nline = "behind"\nat = 16\n[[temporary]]\nline = "behind"\nat = 88\n'
    held = held_of(DEMO + more)
    assert held.moved
    assert [p.along_in for p in held.plan.posts] == [16.0, 88.0]


def test_one_temporary_post_is_refused():
    """A header on one post falls over."""
    with pytest.raises(InputError, match="two or more posts"):
        held_of(DEMO + '\n[[temporary]]\nline = "behind"\nat = 16\n')


def test_a_member_that_nothing_carries_is_named():
    """Rafters without their ledger and beam have no load path, and the finding says so."""
    text = DEMO.replace(
        'lower = "beam"\nbearing = ["3 3/4', 'lower = "post-far"\nbearing = ["3 3/4'
    )
    with pytest.raises(InputError, match="rafter-1"):
        held_of(text)
    lone = DEMO + (
        '\n[[member]]\nid = "lone"\nuse = "beam"\nline = [[0, 60, 120], [90, 60, 120]]\n'
        'size = "2x8"\nspecies = "SPF"\ngrade = "No.2"\n'
    )
    found = held_of(lone).holding.findings
    assert any(f.about == "lone" and "no load path" in f.text for f in found)


def test_a_grade_that_the_table_lacks_names_the_member():
    """Spruce-pine-fir has no grade better than No.1: the member and the grades are named."""
    text = DEMO.replace(
        'species = "SPF"\ngrade = "No.2"\ncount', 'species = "SPF"\ngrade = "No.1&Btr"\ncount'
    )
    with pytest.raises(InputError, match="member 'rafter-1'"):
        held_of(text)


def test_rows_are_written_out_and_taped_edges_moved_to_the_middle():
    """Seven rafters 16 in apart; an axis half the depth below the taped top edge."""
    surveyed = survey_members(read_job(DEMO))
    assert len(surveyed.rows["rafter"]) == 7
    first, second = surveyed.members[:2]
    assert second.start_in[0] - first.start_in[0] == pytest.approx(16)
    rise = (128.625 - 96.875) / (136 - 40.75)
    cosine = 1 / (1 + rise**2) ** 0.5
    assert first.start_in[2] == pytest.approx(96.875 - 3.625 * cosine, abs=1e-6)


def test_lengths_follow_the_levels(held):
    """The new post reaches from its base to the beam's underside: 84 less 1 in of base."""
    cuts = {c.id: c for c in cuts_of(held.job, held.surveyed)}
    assert cuts["new-post"].length_in == pytest.approx(83.0)
    assert "1/8" in cuts["far-post"].words
    assert cuts["new-beam"].length_in == pytest.approx(101.5)
    assert cuts["rafter-seat"].note.startswith("16 %")


def test_a_table_stands_beside_with_reasons(held):
    """The porch girder table is named with its span and why the calculation differs."""
    said = held.beside[0].sentence
    assert "porch girder" in said and "10 psf in the table" in said and "wet service" in said


def test_the_lightest_is_no_heavier_than_what_is_given(held):
    """For the new beam a lighter stock is named with what governs."""
    assert any(p.member == "beam-new" and "lightest" in p.words for p in held.picks)


def test_every_check_of_a_row_is_in_its_family(held):
    """The worst of each family is the worst of all its checks."""
    rows = held.surveyed.rows
    assert family("rafter-3-on-beam-new", rows) == "rafter-on-beam-new"
    worst = worst_of_each(held, held.holding.checks)
    top = max(c.ratio for c in held.holding.checks)
    assert max(w.check.ratio for w in worst) == top
    assert len(worst) < len(held.holding.checks) / 3


def test_json_holds_every_check(held):
    """The table has all checks with formula, values and source, and loads at each stage."""
    table = shoring_table(held, cuts_of(held.job, held.surveyed))
    assert len(table["checks"]) == len(held.holding.checks)
    assert all(s["loads"] for s in table["stages"])


def test_every_piece_of_the_catalogue_that_lies_on_a_roof_weighs():
    """Each entry but soil has a weight between nothing and stone."""
    for name in catalogue():
        if name not in ("soil", "batt-insulation", "fiberboard-sheathing"):
            assert 0 < piece_psf(name) < 160, name


DECK = """[job]
title = "Deck"

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
wet = true
count = 10
step = [15.5, 0, 0]
braced = 0
repetitive = true
ceiling = "floor"

[[member]]
id = "beam"
use = "beam"
line = [[0, 12, 21.75], [144, 12, 21.75]]
edge = "top"
size = "2-2x10"
species = "SP"
grade = "No.2"
wet = true
braced = 16

[[member]]
id = "post"
use = "post"
line = [[3, 12, 0], [3, 12, 12.5]]
size = "6x6"
species = "SP"
grade = "No.2"
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
[[support]]
id = "base"
member = "post"
[[support]]
id = "ledger"
member = "joist"
at = [1, 120, 25.4]
hold = "pinned"
bearing = [1.5, 1.5]

[[carried]]
face = "deck"
kind = "floor"
by = ["joist"]
wall = "top"
"""


def test_deck_tables_stand_beside_joist_beam_and_post():
    """A deck's joist, beam and posts have their tables beside them, the dead load as a reason."""
    said = {b.member: b.sentence for b in held_of(DECK).beside}
    assert set(said) == {"joist-1", "beam", "post-2"}
    assert all("10 psf in the table" in text for text in said.values())
    assert "the height is 1' 1/2\"" in said["post-2"]


def test_a_place_given_for_a_row_moves_along_with_it():
    """The ledger's place is that of the first joist; each other joist has its own."""
    surveyed = survey_members(read_job(DECK))
    east = sorted(s.at_in[0] for s in surveyed.supports if s.id.startswith("ledger"))
    assert east == [1 + 15.5 * k for k in range(10)]


def test_a_stock_without_a_size_is_picked():
    """A new beam without a size takes the lightest that works, its underside where it was."""
    text = DEMO.replace(
        'new = { size = "2-2x10", species = "SP", grade = "No.2"',
        'new = { species = "SP", grade = "No.2"',
    ).replace(', nailed = { nail = "10d common", spacing = 16, rows = 2 }', "")
    held = held_of(text)
    beam = held.holding.framing.member("beam-new")
    assert beam.stock.total_width_in * beam.stock.depth_in < 3 * 9.25
    assert beam.start_in[2] - beam.stock.depth_in / 2 == pytest.approx(84.0)
    assert not [c for c in held.holding.failing if c.about == "beam-new"]


def test_wind_sideways_is_refused_with_its_condition(held):
    """It is not in the method: said each time; further out than along, an engineer is asked."""
    assert any("Wind sideways" in c.text for c in held.holding.cautions)
    assert not any("twists" in e.why for e in held.holding.engineer)
    narrow = held_of(
        DEMO.replace('wind = { route = "typed"', 'wall = "right"\nwind = { route = "typed"')
    )
    assert any("8.0 ft of wall" in e.why and "8.7 ft" in e.why for e in narrow.holding.engineer)
