"""Cut lists, joints, buy list, stand-by and rack, from parts to what is carried."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from weatherlap.errors import InputError, NoSolution
from weatherlap.job.reading import read_job
from weatherlap.job.shoprecords import NoJointRecord
from weatherlap.run.shopping import shop_job
from weatherlap.sources.goods import own_goods
from weatherlap.takeoff.buying import joined, row_of
from weatherlap.takeoff.carrying import rack_load
from weatherlap.takeoff.model import Line, Part
from weatherlap.takeoff.movement import RunEnd, Season
from weatherlap.takeoff.splicing import Site, spliced

GOODS = own_goods().good
SITE = Site(60.0, Season(), 90.0, ())
LEVEL = Line((0, 0, 100), (300, 0, 100), "front", 0, 300)
BASE = """
[job]
title = "a wall"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 300
height = 96
[[piece]]
id = "old"
what = "osb"
on = [{ face = "wall", rect = [0, 0, 300, 96] }]
"""


def added(name, what, rect):
    """A change that adds a piece to the wall."""
    on = f'[{{ face = "wall", rect = {list(rect)} }}]'
    return f'[[change]]\ndo = "add"\nnew = {{ id = "{name}", what = "{what}", on = {on} }}\n'


def shop(*texts, own=None):
    """The shop of the wall with changes and more."""
    return shop_job(read_job(BASE + "\n".join(texts)), own=own)


def bought(found):
    """Count by name of good and length."""
    return {(r.good.id, r.length_in): r.count for r in found.rows if not r.stand_by}


def part(length=250.0, good="coil-aluminium-24", entry="coil-wrap", line=LEVEL):
    """A long part."""
    return Part("p", "p", "a long wrap", entry, GOODS[good], length, 8.0, 8 * length, line=line)


def test_each_piece_of_a_part_is_in_a_cut_list():
    """What is taken off is cut: ids and lengths of the plan are those of the parts."""
    found = shop(
        added("a", "trim-board", (0, 0, 100, 5.5)), added("b", "trim-board", (0, 9, 70, 14.5))
    )
    (cut,) = found.cut
    cuts = {
        name: length
        for bar in cut.plan.bars
        for name, length in zip(bar.piece_ids, bar.lengths_in, strict=True)
    }
    assert cuts == {"a": 100, "b": 70}
    assert cut.plan.proven


def test_a_leftover_is_cut_before_anything_is_bought():
    """A leftover that serves costs nothing, and the long stock stays whole."""
    text = added("a", "trim-board", (0, 0, 70, 5.5))
    left = '[[leftover]]\ngood = "trim-1x6"\nlength = 72\n'
    assert ("trim-1x6", 96) in bought(shop(text))
    found = shop(text, left)
    assert not [key for key in bought(found) if key[0] == "trim-1x6"]
    assert found.cut[0].plan.bars[0].stock_id.startswith("leftover")


def test_a_roll_on_hand_saves_a_roll():
    """Housewrap that is there is not bought again; one that is too short is."""
    text = added("w", "housewrap", (0, 0, 300, 96))
    enough = '[[leftover]]\ngood = "housewrap-9x100"\nlength = "30 ft"\n'
    scrap = '[[leftover]]\ngood = "housewrap-9x100"\nlength = "5 ft"\n'
    assert not [k for k in bought(shop(text, enough)) if "housewrap" in k[0]]
    assert [k for k in bought(shop(text, scrap)) if "housewrap" in k[0]]


def test_boxes_on_hand_are_not_bought():
    """Nails that are there are taken off the need, spare and all."""
    text = added("o", "osb", (0, 0, 96, 48))
    assert ("nail-8d", 0) in bought(shop(text))
    assert ("nail-8d", 0) not in bought(shop(text, '[[on_hand]]\ngood = "nail-8d"\ncount = 1\n'))


def test_siding_has_one_spare_and_says_so():
    """M-316: one length over for each profile that is cut on site."""
    found = shop(added("s", "vinyl-siding", (0, 0, 140, 9)))
    (row,) = [r for r in found.rows if r.good.id == "vinyl-double-4"]
    assert (row.count, row.spare) == (2, 1)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.integers(8, 180), min_size=1, max_size=8))
def test_what_is_bought_holds_what_is_cut(lengths):
    """The lengths bought are never less than the pieces with their kerfs."""
    texts = [
        added(f"t{n}", "trim-board", (0, 6 * n, size, 6 * n + 5.5))
        for n, size in enumerate(lengths)
    ]
    found = shop(*texts)
    stock = sum(r.count * r.length_in for r in found.rows if r.good.id == "trim-1x6")
    assert stock >= sum(lengths)
    assert found.usd == approx(sum(r.total_usd for r in found.rows if not r.stand_by))


def test_a_long_run_is_lapped_by_movement_and_rule():
    """21 ft of wrap on a brake of 10 ft 6: two pieces, lapped 1 in and what the cold opens."""
    row = spliced(part(), longest_in=126, site=SITE)
    assert len(row.lengths_in) == 2
    lap = row.plan.splices[0].to_in - row.plan.splices[0].from_in
    assert row.room.lap_in <= lap < row.room.lap_in + 1 / 16
    assert sum(row.lengths_in) == approx(250 + lap)


@pytest.mark.parametrize(
    ("line", "seen", "over"),
    [
        pytest.param(LEVEL, 90.0, RunEnd.END, id="seen-from-east"),
        pytest.param(LEVEL, 270.0, RunEnd.START, id="seen-from-west"),
        pytest.param(replace(LEVEL, end=(300, 0, 160)), 270.0, RunEnd.END, id="falls-to-start"),
        pytest.param(replace(LEVEL, end=(300, 0, 40)), 90.0, RunEnd.START, id="falls-to-end"),
    ],
)
def test_laps_shed_first_and_hide_second(line, seen, over):
    """Upstream lies over downstream; on a level run the edge looks away from who comes."""
    row = spliced(part(line=line), longest_in=126, site=replace(SITE, seen_from_deg=seen))
    assert {s.over for s in row.plan.splices} == {over}


def test_no_lap_over_the_door():
    """A lap keeps out of where the job forbids it, and where that cannot be, it is said."""
    door = NoJointRecord(face="front", start=110, end=140)
    row = spliced(part(), longest_in=180, site=replace(SITE, no_joint=(door,)))
    assert all(s.to_in <= 110 or s.from_in >= 140 for s in row.plan.splices)
    wide = NoJointRecord(face="front", start=1, end=299)
    with pytest.raises(NoSolution, match="no lap fits"):
        spliced(part(), longest_in=126, site=replace(SITE, no_joint=(wide,)))


def test_a_beam_is_not_spliced():
    """A framing member longer than all stock is left out with the reason; the rest is bought."""
    found = shop(added("b", "beam", (0, 0, 300, 9.25)), added("t", "trim-board", (0, 20, 70, 25.5)))
    assert any("not spliced" in text for text in found.troubles)
    assert ("trim-1x6", 96) in bought(found)


def test_wet_wood_that_stays_stands_by():
    """M-323: sheathing that reads 27 % has a sheet apart; it is not in the price."""
    read = '[[reading]]\nface = "wall"\nat = [9, 9]\npercent = 27\npiece = "old"\n'
    found = shop(added("t", "trim-board", (0, 20, 70, 25.5)), read)
    (row,) = [r for r in found.rows if r.stand_by]
    assert (row.good.id, row.count) == ("osb-4x8", 1)
    assert found.usd == approx(sum(r.total_usd for r in found.rows if not r.stand_by))


def test_old_vinyl_breaks_in_the_cold():
    """M-317: for panels that go back on a cold day one in ten stands by; on a warm day none."""
    old = (
        '[[piece]]\nid = "s"\nwhat = "vinyl-siding"\non = [{face = "wall", rect = [0, 0, 90, 9]}]\n'
    )
    reuse = '[[change]]\ndo = "reuse"\npiece = "s"\n'
    more = added("t", "trim-board", (0, 20, 70, 25.5))
    cold = shop(old, reuse, more, "[shop]\nday = 30\n")
    warm = shop(old, reuse, more, "[shop]\nday = 70\n")

    def by(found):
        return {r.good.id for r in found.rows if r.stand_by}

    assert by(cold) - by(warm) == {"vinyl-double-4"}


def test_made_of_says_what_the_faces_do_not():
    """A piece is bought as the job says it is made."""
    made = '[[made_of]]\npiece = "b"\ngood = "treated-2x12"\ncount = 3\nlength = 119\n'
    found = shop(added("b", "beam", (0, 0, 100, 6)), made)
    assert bought(found)["treated-2x12", 120] == 3


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param('[[also]]\ngood = "gold"\n', "gold", id="also"),
        pytest.param('[[on_hand]]\ngood = "gold"\ncount = 1\n', "gold", id="on-hand"),
        pytest.param('[[leftover]]\ngood = "gold"\nlength = 9\n', "gold", id="leftover"),
        pytest.param('[[made_of]]\npiece = "no"\ngood = "post-4x4"\n', "no piece 'no'", id="made"),
        pytest.param('[[also]]\ngood = "lumber-2x4"\nlength = 500\n', "at most 20'", id="long"),
    ],
)
def test_what_is_not_there_is_named(text, words):
    """A good or piece that does not exist is an error that says where."""
    with pytest.raises(InputError, match=words):
        shop(added("t", "trim-board", (0, 20, 70, 25.5)), text)


def test_rows_of_one_good_come_together():
    """Two needs of one length are one line, their pieces both named."""
    rows = [row_of(GOODS["post-4x4"], 1, length_in=96, pieces=["a"]),
            row_of(GOODS["post-4x4"], 2, length_in=96, pieces=["b"])]  # fmt: skip
    (row,) = joined(iter(rows))
    assert (row.count, row.pieces) == (3, ("a", "b"))


def test_the_rack_takes_what_it_takes():
    """Too long is delivered; the rest goes in trips no lighter than the load over the limit."""
    rows = [
        row_of(GOODS["lumber-2x10"], 10, length_in=192),
        row_of(GOODS["lumber-2x4"], 1, length_in=240),
    ]
    load = rack_load(rows, length_in=200, load_lb=150)
    each = GOODS["lumber-2x10"].lb * 16
    assert load.on_rack_lb == approx(10 * each)
    assert (load.trips, load.least_trips) == (5, 4)
    assert "on a rack of 16' 8\"" in load.delivered[0]
    with pytest.raises(InputError, match="above 0"):
        rack_load(rows, length_in=0, load_lb=10)


def test_also_is_kept_apart_if_it_stands_by():
    """A thing asked for only in case does not mix with what is bought."""
    also = '[[also]]\ngood = "xps-4x8"\nstand_by = true\n'
    found = shop(added("o", "foam-board", (0, 0, 96, 48)), also)
    assert sorted((r.stand_by, r.count) for r in found.rows if r.good.id == "xps-4x8") == [
        (False, 1), (True, 1),
    ]  # fmt: skip


def test_a_firm_s_own_goods_take_the_place():
    """With its own catalogue only what the firm sells is bought, at the firm's prices."""
    own = """
[good.board]
name = "Our board"
form = "bar"
counter = "lumber"
unit = "length"
material = "softwood"
makes = ["trim-board"]
width_in = 9
lengths_in = [120]
usd_per_ft = 3
lb_per_ft = 1
"""
    found = shop(added("t", "trim-board", (0, 20, 70, 25.5)), own={"catalogue": own})
    assert [(r.good.id, r.usd, r.good.usd_invented) for r in found.rows] == [("board", 30, False)]


def test_the_offcut_of_a_course_begins_another():
    """25 ft of siding in 12 ft boards: hardly more boards than the courses are long in all."""
    found = shop(added("s", "fibre-cement-siding", (0, 0, 300, 84)))
    (cut,) = found.cut
    courses = 12
    assert len(cut.spliced) == courses
    assert cut.plan.count <= 1.1 * courses * 300 / 144 + 1


def test_joints_of_courses_are_staggered_and_no_piece_is_short():
    """No joint lies within 24 in of one in the course below, and no board is shorter than that."""
    found = shop(added("s", "fibre-cement-siding", (0, 0, 300, 84)))
    rows = found.cut[0].spliced
    joints = [[s.from_in for s in row.plan.splices] for row in rows]
    for low, high in itertools.pairwise(joints):
        assert all(abs(a - b) >= 24 for a in low for b in high)
    assert all(length >= 24 - 1e-6 for row in rows for length in row.lengths_in)
    for row in rows:
        lap = row.plan.splices[0].to_in - row.plan.splices[0].from_in
        assert sum(row.lengths_in) - lap * len(row.plan.splices) == approx(300)


def test_a_job_without_changes_may_have_profiles():
    """Profiles written directly are bought for, even if nothing of the corner is new."""
    legs = '[{ length = 4, turn = 90, toward = "back" }, { length = 3 }]'
    found = shop(f'[[profile]]\nid = "u"\nlength = 96\ncount = 3\nlegs = {legs}\n')
    assert [p.count for p in found.take_off.parts] == [3]
    assert bought(found)["coil-aluminium-24", 600] == 1


def test_a_post_base_that_is_drawn_is_bought_once():
    """A base that stands as a piece of its own is not counted again with the post."""
    base = '[[made_of]]\npiece = "base"\ngood = "post-base"\n'
    found = shop(added("p", "post", (0, 2, 5.5, 90)), added("base", "post", (0, 0, 5.5, 2)), base)
    assert bought(found)["post-base", 0] == 1
