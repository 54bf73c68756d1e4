"""What may touch: metals, treated lumber, masonry, and what the corner shows of it."""

from __future__ import annotations

from itertools import product

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.goods import own_goods
from weatherlap.takeoff.compatibility import (
    Verdict,
    index_gap_v,
    judge_metals,
    judge_on,
    metal_of,
    metals_table,
)
from weatherlap.takeoff.quantities import Known, take_off
from weatherlap.takeoff.touching import Air, touches

METALS = sorted(metals_table().index_v)
WALL = """
[job]
title = "a wall"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
"""


def on_wall(*rows):
    """What touches on a wall with pieces (id, what, rect), all of them new."""
    text = WALL + "".join(
        f'[[piece]]\nid = "{name}"\nwhat = "{what}"\non = [{{face = "wall", rect = {rect}}}]\n'
        for name, what, rect in rows
    )
    corner = build_corner(read_job(text))
    new = [p.id for p in corner.pieces]
    taken = take_off(corner, new, Known(own_goods(), {}, {}))
    return touches(corner, new, taken, Air(salt=False, treatment="copper"))


@pytest.mark.parametrize(("one", "other"), list(product(METALS, METALS)))
def test_two_metals_are_judged_alike_both_ways(one, other):
    """Laid on each other, it does not matter which is named first; a metal may touch itself."""
    a = judge_metals(one, other, salt_air=False).verdict
    assert a is judge_metals(other, one, salt_air=False).verdict
    if one == other:
        assert a is Verdict.FINE


@pytest.mark.parametrize(("one", "other"), list(product(METALS, METALS)))
def test_salt_air_is_never_kinder(one, other):
    """What must be kept apart inland must be kept apart by the sea."""
    if judge_metals(one, other, salt_air=True).verdict is Verdict.FINE:
        assert judge_metals(one, other, salt_air=False).verdict is Verdict.FINE


def test_whatever_is_kept_apart_says_what_to_do():
    """Each verdict but the first has a reason, a way out and a source."""
    for one, other in product(METALS, METALS):
        judged = judge_metals(one, other, salt_air=True)
        assert judged.why and judged.source_keys
        assert bool(judged.do) is (judged.verdict is not Verdict.FINE)


def test_an_unknown_metal_is_refused():
    """A metal that the table has not is named."""
    with pytest.raises(InputError, match="unobtainium"):
        index_gap_v("unobtainium", "zinc")


def test_every_metal_of_the_catalogues_is_known():
    """All metals of pieces and goods show a metal of the table."""
    words = ("alumin", "copper", "steel", "galvan", "stainless", "lead")
    materials = {e.material for e in catalogue().values()}
    materials |= {g.material for g in own_goods().good.values()}
    named = {m for m in materials if any(w in m for w in words)}
    assert named and all(metal_of(m) in METALS for m in named)


def test_wrap_on_treated_lumber_wants_a_membrane():
    """Aluminum straight on a treated ledger is kept apart; over housewrap it may lie."""
    ledger = ("ledger", "ledger", [0, 0, 96, 9])
    wrap = ("wrap", "coil-wrap", [0, 0, 96, 9])
    bare = on_wall(ledger, wrap)
    assert [row.judged.verdict for row in bare.apart if row.outer == "wrap"] == [Verdict.APART]
    parted = on_wall(ledger, ("sheet", "housewrap", [0, 0, 96, 9]), wrap)
    assert not [row for row in parted.apart if row.outer == "wrap"]


def test_copper_over_aluminum_is_said_for_its_run_off():
    """Copper that does not touch aluminum and drips on it is a finding; below it, it is none."""
    high, low = [0, 80, 96, 90], [0, 10, 96, 20]
    above = on_wall(("cu", "copper-sheet", high), ("al", "coil-wrap", low))
    below = on_wall(("cu", "copper-sheet", low), ("al", "coil-wrap", high))
    assert [row.judged.verdict for row in above.apart] == [Verdict.NEVER]
    assert "water off copper" in above.apart[0].judged.why
    assert not below.apart


def test_own_fasteners_fit_their_own_goods():
    """No rule of the tool's own table fixes a metal with one that eats it."""
    goods = own_goods()
    for use in goods.use:
        for name in use.of:
            good = goods.for_entry(name, width_in=0)
            nail, held = metal_of(goods.good[use.good].material), metal_of(good.material)
            if nail and held:
                judged = judge_metals(nail, held, salt_air=False, fastener=True)
                assert judged.verdict is Verdict.FINE, (name, use.good)


def test_treated_lumber_by_its_tag():
    """Borate asks for nothing; micronized leaves it to the tag; copper keeps aluminum off."""
    verdicts = [
        judge_on("aluminum", "treated-softwood", treatment=t)
        for t in ("borate", "micronized", "copper")
    ]
    assert [v.verdict for v in verdicts] == [Verdict.FINE, Verdict.APART, Verdict.APART]
    assert "tag" in verdicts[1].do
