"""Every ready corner that is built wrong is mended as a carpenter would, or it is said why not."""

from __future__ import annotations

import pytest

from weatherlap.building.changes import as_repaired
from weatherlap.building.corner import build_corner
from weatherlap.building.details.shelf import detail, details
from weatherlap.job.model import Change, Do, Job, Side
from weatherlap.job.reading import read_job
from weatherlap.water.mend import MendAnswer, mend
from weatherlap.water.mendcosts import Pricer, invented_costs
from weatherlap.water.newpieces import Remedy
from weatherlap.water.rain import site_rain
from weatherlap.water.rulefixes import broken_rules, rule_remedies
from weatherlap.water.trace import trace

NO_FALL = {
    "beam-into-wall/level-top": "the top of the beam is level",
    "deck-ledger/level-flashing": "the top of the ledger is level",
    "deck-ledger/no-flashing": "the top of the ledger is level, so a flashing on it is too",
    "wall-foot/slab-falls-to-wall": "the slab falls to the wall",
}
"""Where no change to a piece helps: a face lies without fall, and faces stay as they are."""
WRONG = [
    f"{known.id}/{variant.id}"
    for known in details()
    for variant in known.variants
    if variant.id != "right"
]


def built(name: str) -> Job:
    """A ready corner as it is built or found."""
    which, variant = name.split("/")
    return read_job(detail(which).toml({}, variant))


def answer_of(job: Job) -> MendAnswer:
    """The cheapest mend by the invented table."""
    return mend(job, site_rain(job.site), invented_costs(), runners_up=0)


@pytest.mark.parametrize("name", [n for n in WRONG if n not in NO_FALL])
def test_a_corner_built_wrong_ends_clear_with_its_rules_kept(name: str) -> None:
    """After the mend the rain runs off on both layers and no code or practice rule is broken."""
    job = built(name)
    answer = answer_of(job)
    assert answer.best is not None and answer.best.remedies and answer.proven
    after = build_corner(as_repaired(job, answer.best.changes))
    rain = site_rain(job.site)
    assert trace(after, rain).clean
    assert [b.text for b in broken_rules(after, rain)] == []


@pytest.mark.parametrize("name", NO_FALL)
def test_what_has_no_fall_is_said_and_not_passed_over(name: str) -> None:
    """Where a face is level the answer says so and what is done about it; it claims no cure."""
    answer = answer_of(built(name))
    said = (*answer.left_open, *answer.stuck)
    assert any("has no fall" in text and "tapered strips" in text for text in said)
    assert answer.best is None or not answer.best.remedies


@pytest.mark.parametrize(
    ("name", "does", "words"),
    [
        pytest.param("roof-side-wall/no-diverter", Do.ADD, "a diverter", id="diverter"),
        pytest.param("roof-side-wall/short-upturn", Do.REPLACE, "step flashing 1", id="legs"),
        pytest.param("low-roof-under-wall/no-apron", Do.ADD, "base flashing", id="apron"),
        pytest.param("chimney-side/no-counter", Do.ADD, "let into a joint", id="counter"),
        pytest.param("chimney-side/open-top", Do.SEAL, "let it into a joint", id="counter-again"),
        pytest.param("eave-edge/no-drip-edge", Do.ADD, "drip edge along the eave", id="drip-edge"),
        pytest.param("beam-into-wall/no-saddle", Do.ADD, "base flashing", id="saddle"),
        pytest.param("window/no-pan", Do.ADD, "sill pan", id="pan"),
    ],
)
def test_the_mend_is_the_one_of_the_trade(name: str, does: Do, words: str) -> None:
    """What is missing is put in, where it belongs (common practice, no source)."""
    best = answer_of(built(name)).best
    assert best is not None
    assert any(words in r.text and any(c.do is does for c in r.changes) for r in best.remedies)


def test_a_leg_is_made_as_high_as_the_code_asks() -> None:
    """IRC R905.2.8.3: 4 in up the wall; the new step flashing has that, square to the roof."""
    job = built("roof-side-wall/short-upturn")
    best = answer_of(job).best
    assert best is not None
    (remedy,) = best.remedies
    assert len(remedy.changes) == 8
    old = {p.id: p for p in job.piece}
    for change in remedy.changes:
        before, after = (
            max(v for _, v in (panel.outline or ()))
            for panel in (old[change.piece or ""].on[0], change.on[0])
        )
        assert 3.0 <= after - before <= 3.4


def off_the_slab(name: str) -> Remedy:
    """What is done about wood that stands on a slab."""
    text = """
[job]
title = "foot"
[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96
[[face]]
id = "ground"
facing = 180
tilt = 1
origin = [0, -48, -0.8378]
width = 96
height = 48
[[piece]]
id = "slab"
what = "concrete"
on = [{ face = "ground", rect = [0, 0, 96, 48] }]
[[piece]]
id = "post"
what = "post"
on = [{ face = "wall", rect = [40, 0, 45.5, 84] }]
[[piece]]
id = "sheathing"
what = "osb"
on = [{ face = "wall", rect = [50, 0, 96, 96] }]
"""
    job = read_job(text)
    corner = build_corner(job)
    broken = broken_rules(corner, site_rain(job.site))
    fault = next(b for b in broken if b.key == f"wood-to-paving|{name}|slab")
    (remedy,) = rule_remedies(corner, fault, broken)
    after = build_corner(as_repaired(job, remedy.changes))
    assert not any(b.key == fault.key for b in broken_rules(after, site_rain(job.site)))
    return remedy


def test_a_post_on_a_slab_is_stood_on_metal() -> None:
    """IRC R317.1(5) asks 2 in: the post is cut, and a base of that height put under it."""
    remedy = off_the_slab("post")
    cut, base = remedy.changes
    assert (cut.do, base.do) == (Do.EXTEND, Do.ADD)
    assert cut.by == pytest.approx(-2.0, abs=1 / 16)
    assert base.new is not None and base.new.on[0].rect == (40, 0, 45.5, -(cut.by or 0))


def test_sheathing_on_a_slab_is_cut_at_its_foot() -> None:
    """Wood that is no post is cut clear; nothing is put under it."""
    (cut,) = off_the_slab("sheathing").changes
    assert (cut.do, cut.piece, cut.side) == (Do.EXTEND, "sheathing", Side.BOTTOM)


def test_trimming_a_foot_costs_no_more_for_what_covers_the_top() -> None:
    """Of the many courses over a sheathing only those over the strip that goes come off."""
    job = built("wall-foot/right")
    corner = build_corner(job)
    price = Pricer(corner, invented_costs())
    trim, longer = (
        Remedy((Change(do=Do.EXTEND, piece="sheathing", face="wall", side=Side.BOTTOM, by=by),), "")
        for by in (-2.0, 2.0)
    )
    assert price.cost(trim) < price.cost(longer)


def test_siding_that_stands_on_a_level_flashing_is_cut_where_it_is() -> None:
    """Over a level fold one straight cut does it: the course is no new one, and stands clear."""
    job = built("low-roof-under-wall/right")
    rows = tuple(
        p.model_copy(update={"on": (p.on[0].model_copy(update={"rect": (0, 0, 72, 10.25)}),)})
        if p.id == "siding-1"
        else p
        for p in job.piece
    )
    low = job.model_copy(update={"piece": rows})
    rain = site_rain(job.site)
    broken = broken_rules(build_corner(low), rain)
    fault = next(b for b in broken if b.key == "siding-to-roof|siding-1")
    (remedy,) = rule_remedies(build_corner(low), fault, broken)
    (cut,) = remedy.changes
    assert (cut.do, cut.side) == (Do.EXTEND, Side.BOTTOM)
    assert -1.2 < (cut.by or 0) < -1.0
    after = broken_rules(build_corner(as_repaired(low, remedy.changes)), rain)
    assert not any(b.key == fault.key for b in after)
