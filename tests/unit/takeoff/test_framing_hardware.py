"""What fastens new framing follows the framing records, not the rules of the goods."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.run.shopping import shop_job
from weatherlap.sources.goods import own_goods
from weatherlap.takeoff.framinghardware import Framing, hardware

TEXT = (Path(__file__).parents[3] / "demo/porch-corner.toml").read_text("utf-8")


def bought(text):
    """Rows of the buy list by the goods' names, without what stands by."""
    return {r.good.id: r for r in shop_job(read_job(text)).rows if not r.stand_by}


@pytest.fixture(scope="module")
def shop():
    """The shop of the porch."""
    return shop_job(read_job(TEXT))


def test_parts_anchors_and_nails_are_those_of_the_records(shop):
    """A tie for each rafter, a cap for each post, base and screw anchors under the new post."""
    rows = {r.good.id: r for r in shop.rows if not r.stand_by}
    counts = {name: rows[name].count for name in ("tie-uplift", "post-cap", "post-base")}
    assert counts == {"tie-uplift": 7, "post-cap": 2, "post-base": 1}
    assert rows["anchor-screw-half"].count == 1
    assert "anchor-half" not in rows


def test_plies_are_nailed_as_the_member_says():
    """Two rows 16 in apart over 101 1/2 in, 2 in from the ends: 2 x 8 nails for the one joint."""
    job = read_job(TEXT)
    found = hardware(Framing(job.member, job.joint, job.support), {"beam", "post"}, own_goods())
    (plies,) = [s for s in found.sundries if s.good.id == "nail-10d"]
    assert plies.units == 16
    assert "16 in apart" in plies.why


def test_the_grade_stands_on_buy_list_and_cut_list(shop):
    """The counter reads species and grade beside the stock, the saw beside the piece."""
    rows = {r.good.id: r for r in shop.rows if not r.stand_by}
    assert rows["treated-2x10"].pieces == ("new porch beam (SP No.2)",)
    (cut,) = [c for c in shop.cut if c.good.id == "treated-2x10"]
    assert list(cut.titles.values()) == ["new porch beam (SP No.2)"]


def test_a_size_that_the_framing_sheet_chooses_is_not_bought():
    """Without a size in `new` the list buys no beam and says who says it."""
    text = TEXT.replace('new = { size = "2-2x10", species', "new = { species")
    shop = shop_job(read_job(text))
    assert "treated-2x10" not in {r.good.id for r in shop.rows if not r.stand_by}
    assert any("left to the framing sheet" in line for line in shop.take_off.unknown)


def test_a_part_without_its_good_is_named_with_its_count():
    """What the records ask for and the goods do not hold is said, with how many."""
    shop = shop_job(read_job(TEXT.replace('good = "tie-uplift", ', "")))
    assert any(line.startswith("7 x rafter tie, rafter on beam") for line in shop.take_off.unknown)


def test_what_a_part_or_a_profile_makes_is_not_bought_again(shop):
    """The base drawn as a piece is the rated base; the diverter drawn is the bent profile."""
    assert not any("post base" in line for line in shop.take_off.unknown)
    assert not {"post-base", "eave-diverter"} & {p.piece for p in shop.take_off.parts}
    assert "diverter" in {p.piece for p in shop.take_off.parts}


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('piece = "post-base", source', 'piece = "no-base", source', "no piece 'no-base'"),
        ('piece = "eave-diverter"', 'piece = "no-piece"', "no piece 'no-piece'"),
        ('good = "tie-uplift"', 'good = "no-good"', "no-good"),
    ],
)
def test_names_that_are_nowhere_are_refused(old, new, words):
    """A part, profile or good of a name that is not there is said with its place."""
    assert old in TEXT
    with pytest.raises(InputError, match=words):
        shop_job(read_job(TEXT.replace(old, new)))


def test_temporary_support_is_left_to_its_sheet(shop):
    """The list says that shores are on the shoring sheet, and only where something is replaced."""
    assert any("shoring sheet" in line for line in shop.take_off.unknown)
    sill = (Path(__file__).parents[3] / "demo/window-sill.toml").read_text("utf-8")
    assert not any("shoring" in line for line in shop_job(read_job(sill)).take_off.unknown)
