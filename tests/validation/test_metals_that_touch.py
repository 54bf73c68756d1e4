"""Checks what may touch against M-309 to M-313, and growth by heat against M-324."""

from __future__ import annotations

import pytest
from pytest import approx

from weatherlap.takeoff.compatibility import Verdict, index_gap_v, judge_metals, judge_on
from weatherlap.takeoff.movement import movement_in

MM_PER_IN = 25.4


@pytest.mark.parametrize(
    ("fastener", "sheet", "verdict"),
    [
        ("aluminum", "aluminum", Verdict.FINE), ("stainless", "aluminum", Verdict.FINE),
        ("copper", "copper", Verdict.FINE), ("zinc", "zinc", Verdict.FINE),
        ("stainless", "zinc", Verdict.FINE), ("zinc", "copper", Verdict.NEVER),
        ("aluminum", "copper", Verdict.NEVER), ("copper", "aluminum", Verdict.NEVER),
        ("steel", "copper", Verdict.NEVER),
    ],
)  # fmt: skip
def test_flashing_is_nailed_with_its_own_metal(fastener, sheet, verdict):
    """M-309: aluminum by aluminum or stainless, copper by copper, galvanized by galvanized or
    stainless."""
    assert judge_metals(fastener, sheet, salt_air=False, fastener=True).verdict is verdict


@pytest.mark.parametrize(
    ("baser", "nobler"),
    [("zinc", "aluminum"), ("aluminum", "lead"), ("lead", "copper"), ("steel", "copper"),
     ("aluminum", "steel")],
)  # fmt: skip
def test_the_order_of_metals(baser, nobler):
    """M-310: zinc, aluminum, lead, carbon steel, copper; each is farther from gold than the next.

    The index of M-311 puts lead above steel; both stand between aluminum and copper.
    """
    assert index_gap_v(baser, "copper") > index_gap_v(nobler, "copper")


@pytest.mark.parametrize(
    ("one", "other", "gap_v"),
    [("copper", "stainless", 0.15), ("copper", "lead", 0.35), ("stainless", "lead", 0.20)],
)
def test_the_index_as_it_is_printed(one, other, gap_v):
    """M-311: copper 0.35 V, 18 % chromium steel 0.50 V, lead 0.70 V against gold."""
    assert index_gap_v(one, other) == approx(gap_v, abs=0.005)


@pytest.mark.parametrize(
    ("one", "other", "inland", "sea"),
    [
        ("copper", "stainless", Verdict.FINE, Verdict.FINE),
        ("stainless", "lead", Verdict.FINE, Verdict.APART),
        ("stainless", "steel", Verdict.APART, Verdict.APART),
    ],
)
def test_the_limits_of_places(one, other, inland, sea):
    """M-311: 0.25 V apart is borne in ordinary places, 0.15 V in harsh ones."""
    assert judge_metals(one, other, salt_air=False).verdict is inland
    assert judge_metals(one, other, salt_air=True).verdict is sea


@pytest.mark.parametrize(
    ("metal", "material", "verdict"),
    [
        ("aluminum", "treated-softwood", Verdict.APART), ("zinc", "treated-softwood", Verdict.FINE),
        ("stainless", "treated-softwood", Verdict.FINE), ("aluminum", "concrete", Verdict.APART),
        ("aluminum", "cedar", Verdict.APART), ("aluminum", "softwood", Verdict.FINE),
    ],
)  # fmt: skip
def test_metals_on_wood_and_masonry(metal, material, verdict):
    """M-313, M-315: aluminum off copper-treated lumber, mortar, cedar; galvanized and stainless
    may go into treated lumber."""
    assert judge_on(metal, material, treatment="copper").verdict is verdict


def test_a_zinc_gutter_of_eight_metres():
    """M-324: at 0.022 mm per m and K, 8 m laid at 15 degrees C grow 11.44 mm and shrink 6.16 mm.

    The page's swing is 65 K up and 35 K down, 17.6 mm in all.
    """
    per_f = 0.022e-3 / 1.8
    length = 8000 / MM_PER_IN
    up = movement_in(length, per_f=per_f, change_f=65 * 1.8) * MM_PER_IN
    down = movement_in(length, per_f=per_f, change_f=-35 * 1.8) * MM_PER_IN
    assert up == approx(11.44, abs=0.005)
    assert down == approx(-6.16, abs=0.005)
    assert up - down == approx(17.6, abs=0.05)
