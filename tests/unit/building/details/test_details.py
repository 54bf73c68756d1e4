"""Every ready detail: clean as it should be built, wrong as it is usually found."""

from __future__ import annotations

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.building.details.model import RIGHT, Detail
from weatherlap.building.details.shelf import detail, details
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.water.hops import Cause
from weatherlap.water.rain import site_rain
from weatherlap.water.rules import broken, check_rules
from weatherlap.water.trace import FIRST, SECOND, Trace, trace

# What is planted in each wrong version: its cause, and the pieces that the finding must name.
# The openings are as carpenters find them: common practice, no source.
PLANTED: dict[tuple[str, str], tuple[Cause, set[str]]] = {
    ("roof-side-wall", "no-diverter"): (Cause.WRONG_WAY, {"channel"}),
    ("roof-side-wall", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"barrier-upper", "step-1"}),
    ("roof-side-wall", "short-upturn"): (Cause.TOO_SHORT, {"barrier-upper", "step-5"}),
    ("roof-side-wall", "sealed-channel"): (Cause.SEALED, {"barrier-upper", "channel"}),
    ("low-roof-under-wall", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"barrier", "apron"}),
    ("low-roof-under-wall", "no-apron"): (Cause.MISSING, {"barrier", "sheathing"}),
    ("low-roof-under-wall", "short-upturn"): (Cause.TOO_SHORT, {"barrier", "apron"}),
    ("low-roof-under-wall", "sealed-siding"): (Cause.SEALED, {"barrier", "siding-1"}),
    ("chimney-side", "open-top"): (Cause.WRONG_WAY, {"brick"}),
    ("chimney-side", "no-counter"): (Cause.WRONG_WAY, {"brick"}),
    ("chimney-side", "high-counter"): (Cause.WRONG_WAY, {"brick"}),
    ("eave-edge", "no-drip-edge"): (Cause.NO_DRIP, {"shingle-1"}),
    ("eave-edge", "drip-edge-behind-wrap"): (Cause.WRONG_WAY, {"drip-edge", "fascia-wrap"}),
    ("eave-edge", "no-drip-on-wrap"): (Cause.NO_DRIP, {"fascia-wrap"}),
    ("eave-edge", "no-wrap"): (Cause.MISSING, {"sub-fascia"}),
    ("beam-into-wall", "no-saddle"): (Cause.TOO_SHORT, {"barrier-upper", "cap"}),
    ("beam-into-wall", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"barrier-upper", "saddle"}),
    ("beam-into-wall", "level-top"): (Cause.LEVEL, {"cap"}),
    ("beam-into-wall", "no-drip"): (Cause.NO_DRIP, {"wrap"}),
    ("beam-into-wall", "sealed-siding"): (Cause.SEALED, {"barrier-upper", "bead"}),
    ("wrapped-beam-on-post", "beam-wrap-behind-post-wrap"): (
        Cause.WRONG_WAY,
        {"beam-wrap-right", "post-wrap"},
    ),
    ("wrapped-beam-on-post", "cap-behind-wrap"): (Cause.WRONG_WAY, {"cap", "beam-wrap-right"}),
    ("wrapped-beam-on-post", "open-joint"): (Cause.MISSING, {"beam"}),
    ("wrapped-beam-on-post", "no-drip"): (Cause.NO_DRIP, {"beam-wrap-right"}),
    ("window", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"barrier-upper", "head-flashing"}),
    ("window", "sealed-head"): (Cause.SEALED, {"head-flashing", "bead"}),
    ("window", "no-pan"): (Cause.MISSING, {"window-frame"}),
    ("window", "no-drip"): (Cause.NO_DRIP, {"sill"}),
    ("deck-ledger", "no-flashing"): (Cause.MISSING, {"ledger"}),
    ("deck-ledger", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"ledger-flashing"}),
    ("deck-ledger", "level-flashing"): (Cause.LEVEL, {"ledger-flashing"}),
    ("deck-ledger", "no-drip"): (Cause.NO_DRIP, {"ledger-flashing"}),
    ("deck-ledger", "sealed-siding"): (Cause.SEALED, {"barrier-upper", "siding-above-1"}),
    ("wall-foot", "barrier-behind-flashing"): (Cause.WRONG_WAY, {"barrier", "starter-flashing"}),
    ("wall-foot", "short-barrier"): (Cause.TOO_SHORT, {"barrier", "starter-flashing"}),
    ("wall-foot", "sealed-siding"): (Cause.SEALED, {"siding-1"}),
    ("wall-foot", "slab-falls-to-wall"): (Cause.LEVEL, {"foundation"}),
}
WRONG = [(d, v.id) for d in details() for v in d.variants if v.id != RIGHT]
each_detail = pytest.mark.parametrize("ready", details(), ids=lambda d: d.id)
each_variant = pytest.mark.parametrize(
    ("ready", "variant"),
    [pytest.param(d, v.id, id=f"{d.id}-{v.id}") for d in details() for v in d.variants],
)


def traced(ready: Detail, variant: str) -> Trace:
    """The trace of a detail at its usual sizes; what falls must equal what ends."""
    job = ready.job(variant=variant)
    result = trace(build_corner(job), site_rain(job.site))
    assert result.out_lph == pytest.approx(result.in_lph, rel=1e-9)
    return result


@each_detail
def test_the_right_way_is_clean_in_both_layers(ready: Detail) -> None:
    """All water of both layers ends clear or in a gutter, and nothing is found."""
    result = traced(ready, RIGHT)
    trouble = [row for row in result.ends if row.end.is_trouble]
    assert not trouble
    assert not result.findings
    assert {row.layer for row in result.ends} == {FIRST, SECOND} or ready.id in NO_SECOND


# Nothing but unjointed metal is out in the rain there: no share gets past it.
NO_SECOND = {"wrapped-beam-on-post"}


@pytest.mark.parametrize(
    ("ready", "variant"), [pytest.param(d, v, id=f"{d.id}-{v}") for d, v in WRONG]
)
def test_the_planted_cause_is_found(ready: Detail, variant: str) -> None:
    """Each wrong version is not clean, and a finding names the cause and pieces planted."""
    result = traced(ready, variant)
    cause, pieces = PLANTED[ready.id, variant]
    assert not result.clean
    found = [_named(result, f.upper, f.lower) for f in result.findings if f.cause is cause]
    assert any(pieces <= names for names in found), found


def _named(result: Trace, *pieces: int | None) -> set[str]:
    return {result.corner.pieces[p].id for p in pieces if p is not None}


@pytest.mark.parametrize(
    ("ready", "variant"), [pytest.param(d, v, id=f"{d.id}-{v}") for d, v in WRONG]
)
def test_a_wrong_version_is_a_small_difference(ready: Detail, variant: str) -> None:
    """It has the right version's faces and at most four other pieces, or turns a face."""
    good, bad = ready.job(), ready.job(variant=variant)
    assert (good.face != bad.face) == ((ready.id, variant) in OTHER_FACES)
    right, wrong = {p.id: p for p in good.piece}, {p.id: p for p in bad.piece}
    changed = [n for n in right.keys() | wrong.keys() if right.get(n) != wrong.get(n)]
    if (ready.id, variant) not in OTHER_FACES:
        assert 0 < len(changed) <= MOST_CHANGED.get((ready.id, variant), 4), changed


# Every step flashing is another one there.
MOST_CHANGED = {("roof-side-wall", "short-upturn"): 9}
OTHER_FACES = {
    ("roof-side-wall", "no-diverter"),
    ("beam-into-wall", "level-top"),
    ("deck-ledger", "no-flashing"),
    ("deck-ledger", "level-flashing"),
    ("wall-foot", "slab-falls-to-wall"),
}


@each_detail
def test_the_right_way_keeps_every_lap_rule(ready: Detail) -> None:
    """At its usual sizes no lap, clearance or flashing rule is broken."""
    job = ready.job()
    results = check_rules(build_corner(job), rain=site_rain(job.site))
    assert results
    assert [r.text for r in broken(results)] == []


@each_variant
def test_the_job_file_reads_back_as_the_same_job(ready: Detail, variant: str) -> None:
    """The written file is a whole job file and describes the very job that was drawn."""
    assert read_job(ready.toml(variant=variant)) == ready.job(variant=variant)


@each_variant
def test_the_job_file_says_what_it_is(ready: Detail, variant: str) -> None:
    """Its head names the detail, what the carpenter sees, and every size as a tape reads."""
    head, _, rest = ready.toml(variant=variant).partition("[job]")
    plain = " ".join(head.replace("#", " ").split())
    assert ready.title in plain
    assert ready.variant(variant).sees in plain
    assert all(f"{d.name} = " in head for d in ready.dimensions)
    assert rest.count("\n# ") >= 4


def test_there_are_at_least_eight_details_with_two_wrong_versions() -> None:
    """The shelf holds what was promised: eight corners or more, two wrong versions each."""
    assert len(details()) >= 8
    assert all(len(d.variants) >= 3 and d.variants[0].id == RIGHT for d in details())
    assert {(d.id, v) for d, v in WRONG} == PLANTED.keys()


def test_ids_are_used_once() -> None:
    """No two details, and no two variants or sizes of one detail, have the same name."""
    assert len({d.id for d in details()}) == len(details())
    for ready in details():
        assert len({v.id for v in ready.variants}) == len(ready.variants)
        assert len({d.name for d in ready.dimensions}) == len(ready.dimensions)


def test_a_detail_is_found_by_its_id() -> None:
    """The shelf gives a detail by its id and names the nearest where there is none."""
    assert detail("window").title == "Window in lap siding"
    with pytest.raises(InputError, match=r"there is no 'windows'.*Did you mean 'window'\?"):
        detail("windows")


def test_a_wrong_version_carries_what_is_seen_as_its_symptom() -> None:
    """A job of a wrong version says what the carpenter sees; the right one has no symptom."""
    assert "pan" in detail("window").variant("no-pan").title
    assert detail("window").job(variant="no-pan").job.symptom.startswith("What gets in")
    assert detail("window").job().job.symptom == ""
