"""The catalogue of goods: whole, sourced, and a firm's own copy read with care."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.errors import InputError
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.goods import By, Form, own_goods, read_goods
from weatherlap.sources.register import sources

GOODS = own_goods()
NAIL = """
[good.nail]
name = "Nail"
form = "each"
counter = "hardware"
unit = "box"
material = "galvanized"
gives = 1
pack = 100
usd = 9
lb = 1
"""


def test_every_entry_can_be_bought():
    """For each entry of the catalogue of pieces there is something to buy."""
    assert not [e for e in catalogue() if GOODS.for_entry(e, width_in=1) is None]


def test_trim_coil_is_two_feet_by_fifty():
    """Common practice, no source: trim coil is 24 in wide and 50 ft long."""
    coil = GOODS.good["coil-aluminium-24"]
    assert (coil.width_in, coil.length_in) == (24, 600)
    assert coil.lb == approx(0.019 * 24 * 600 * 0.098, rel=0.01)


def test_the_tool_s_prices_are_marked_as_invented():
    """No price that comes with the tool passes for a real one, and each row has its sources."""
    for good in GOODS.good.values():
        assert good.usd_invented and good.usd > 0, good.id
        assert good.source_keys and set(good.source_keys) <= set(sources()), good.id
    assert all(use.source_keys and use.why for use in GOODS.use)


def test_lumber_weighs_what_its_section_says():
    """M-303: 35 pounds a cubic foot of the dressed section, 45 where treated."""
    plain, treated = GOODS.good["lumber-2x10"], GOODS.good["treated-2x10"]
    assert plain.lb == approx(1.5 * 9.25 / 144 * 35, abs=0.01)
    assert treated.lb == approx(1.5 * 9.25 / 144 * 45, abs=0.01)


@pytest.mark.parametrize(
    ("width_in", "good"),
    [(3.5, "trim-1x4"), (4, "trim-1x6"), (7.25, "trim-1x8"), (11, "trim-1x8")],
)
def test_the_narrowest_board_that_is_wide_enough(width_in, good):
    """A board is ripped from the narrowest that serves; nothing wide enough gives the widest."""
    assert GOODS.for_entry("trim-board", width_in=width_in).id == good


def test_a_firm_reads_its_own_prices():
    """A price without 'invented' in its name is the firm's own."""
    nail = read_goods(NAIL).good["nail"]
    assert (nail.usd, nail.usd_invented, nail.form) == (9, False, Form.EACH)


def test_a_rule_says_what_it_needs():
    """A rule of use is read with its spacing."""
    use = '[[use]]\nof = ["osb"]\ngood = "nail"\nby = "area"\nevery = 144\nwhy = "so"\n'
    (row,) = read_goods(NAIL + use).use
    assert (row.by, row.every) == (By.AREA, 144)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        pytest.param("[", "a TOML file", id="not-toml"),
        pytest.param("[nails.a]\n", r"the tables \[good", id="other-table"),
        pytest.param("x = 1\n", "the tables", id="bare-key"),
        pytest.param(NAIL.replace("usd = 9", "usd = -1"), "usd = -1", id="negative"),
        pytest.param(NAIL.replace("usd = 9", "usd = true"), "usd = True", id="no-number"),
        pytest.param(NAIL.replace("usd = 9\n", ""), "invented_usd = None", id="no-price"),
        pytest.param(NAIL.replace("pack = 100", "pack = 0"), "pack = 0", id="empty-pack"),
        pytest.param(NAIL.replace('"each"', '"heap"'), "form = 'heap'", id="form"),
        pytest.param(NAIL + "colour = 3\n", "a key 'colour'", id="key"),
        pytest.param(NAIL + 'makes = ["gold"]\n', "the entry 'gold'", id="entry"),
        pytest.param(NAIL + 'source_keys = ["Z-1"]\n', "the source 'Z-1'", id="source"),
        pytest.param(
            NAIL + '[[use]]\nof = ["osb"]\ngood = "screw"\nby = "area"\nevery = 1\n',
            "good = 'screw'", id="use-of-nothing",
        ),
        pytest.param(
            NAIL + '[[use]]\nof = ["osb"]\ngood = "nail"\nby = "run"\n', "no `every`", id="spacing"
        ),
        pytest.param(
            NAIL + '[[use]]\nof = ["osb"]\ngood = "nail"\nby = "run"\nevery = 0\n', "every = 0",
            id="no-spacing",
        ),
        pytest.param(
            NAIL.replace('"each"', '"bar"').replace("usd = 9", "usd_per_ft = 9"),
            "no `lengths_in`", id="no-lengths",
        ),
    ],
)  # fmt: skip
def test_a_table_that_cannot_be_is_refused(text, words):
    """Whatever is wrong in a firm's table is named with its row."""
    with pytest.raises(InputError, match=words):
        read_goods(text)


def test_a_good_that_is_not_there_gets_a_hint():
    """A wrong name is answered with near ones."""
    with pytest.raises(InputError, match="lumber-2x4"):
        GOODS.named("lumber-2x5", where="also")
