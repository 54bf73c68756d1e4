"""The three demo jobs: whole, readable, and traced to what was planted in them."""

from __future__ import annotations

from pathlib import Path

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.job.model import Job
from weatherlap.job.reading import read_job
from weatherlap.water.findings import Finding
from weatherlap.water.hops import Cause
from weatherlap.water.rain import site_rain
from weatherlap.water.rules import broken, check_rules
from weatherlap.water.trace import Trace, trace

DEMO = Path(__file__).parents[2] / "demo"
NAMES = ("porch-corner", "window-sill", "deck-ledger")


def demo(name: str) -> Job:
    """A demo job."""
    file = DEMO / f"{name}.toml"
    return read_job(file.read_text("utf-8"), file=file.name)


def traced(name: str) -> Trace:
    """The trace of a demo job; what falls must equal what ends."""
    job = demo(name)
    result = trace(build_corner(job), site_rain(job.site))
    assert result.out_lph == pytest.approx(result.in_lph, rel=1e-9)
    return result


def between(result: Trace, upper: str | None, lower: str) -> Finding:
    """The finding where one piece ends at another."""
    ids = {p.index: p.id for p in result.corner.pieces}
    found = [
        f
        for f in result.findings
        if (None if f.upper is None else ids[f.upper]) == upper
        and f.lower is not None
        and ids[f.lower] == lower
    ]
    assert len(found) == 1, [f.text for f in result.findings]
    return found[0]


def wets(result: Trace, finding: Finding) -> set[str]:
    """The ids of what a finding soaks."""
    return {result.corner.pieces[w].id for w in finding.wets}


@pytest.mark.parametrize("name", NAMES)
def test_demo_jobs_carry_what_the_carpenter_noted(name: str) -> None:
    """Each has a symptom, readings, damage, cut lines and suspects with odds, and comments."""
    job = demo(name)
    assert job.job.symptom and job.job.client and job.job.place
    assert len(job.reading) >= 3
    assert len(job.damage) >= 2
    assert len(job.cut) >= 2
    assert len(job.suspect) >= 3
    assert len({s.odds for s in job.suspect}) > 1
    text = (DEMO / f"{name}.toml").read_text("utf-8")
    assert text.startswith("# ")
    assert text.count("\n# ") >= 12


@pytest.mark.parametrize("name", NAMES)
def test_demo_jobs_are_not_clean(name: str) -> None:
    """Each has findings, told with the place and the pieces."""
    result = traced(name)
    assert not result.clean
    assert len(result.findings) >= 3
    assert all(f.text and f.per_year_l > 0 for f in result.findings)


@pytest.mark.parametrize("name", NAMES)
def test_suspected_findings_are_among_those_found(name: str) -> None:
    """Where a suspect names two pieces, the trace has a finding between them."""
    result = traced(name)
    pairs = {(f.upper, f.lower) for f in result.findings}
    number = {p.id: p.index for p in result.corner.pieces}
    named = [s.finding for s in demo(name).suspect if s.finding]
    assert named
    assert all((number[upper], number[lower]) in pairs for upper, lower in named)


def test_the_porch_is_big() -> None:
    """Sixty pieces or more on several faces."""
    job = demo("porch-corner")
    assert len(job.piece) >= 60
    assert len(job.face) >= 8


def test_the_porch_channels_lead_the_water_into_beam_and_post() -> None:
    """The roof-wall channel empties behind the wrap, and its water ends in beam and post."""
    result = traced("porch-corner")
    channel = between(result, "channel", "fascia-wrap")
    assert channel.cause is Cause.WRONG_WAY
    assert wets(result, channel) == {"beam", "post"}
    inner = between(result, "soffit-channel", "beam-wrap-end")
    assert inner.cause is Cause.WRONG_WAY
    assert inner.per_year_l == pytest.approx(channel.per_year_l, rel=0.02)


def test_the_obvious_cause_of_the_porch_is_not_the_worst() -> None:
    """The open joint that everybody sees lets in a hundredth of what the channel does."""
    result = traced("porch-corner")
    joint = between(result, None, "beam")
    assert joint.cause is Cause.MISSING
    channel = between(result, "channel", "fascia-wrap")
    assert joint.per_year_l < channel.per_year_l / 100
    worst = [result.corner.pieces[f.upper].id for f in result.findings[:2] if f.upper is not None]
    assert set(worst) == {"channel", "soffit-channel"}


def test_the_porch_patch_and_the_sealed_edge_are_found() -> None:
    """The patch over the old sheet soaks the sheathing; the caulked course holds water."""
    result = traced("porch-corner")
    patch = between(result, "barrier-upper", "barrier-patch")
    assert patch.cause is Cause.WRONG_WAY
    assert wets(result, patch) == {"sheathing"}
    assert between(result, "barrier-lower", "siding-1").cause is Cause.SEALED


def test_the_porch_breaks_the_rules_that_it_should() -> None:
    """No diverter, a lap the wrong way round and sealed lower edges stand beside the trace."""
    job = demo("porch-corner")
    found = {r.rule for r in broken(check_rules(build_corner(job), rain=site_rain(job.site)))}
    assert {"diverter", "lap-way", "lower-edge-sealed"} <= found


def test_the_window_sill_drips_back_and_soaks() -> None:
    """The sill has no drip, its wood takes water through the paint, the caulked head holds it."""
    result = traced("window-sill")
    assert between(result, "sill-paint", "sill-paint").cause is Cause.NO_DRIP
    soaked = [f for f in result.findings if "sill-wood" in wets(result, f)]
    assert [f.cause for f in soaked] == [Cause.MISSING] * len(soaked)
    assert soaked
    assert between(result, "head-flashing", "bead").cause is Cause.SEALED


def test_the_deck_ledger_is_soaked_beside_and_behind_its_flashing() -> None:
    """Where the flashing stops the door's water soaks rim joist and ledger; the felt too."""
    result = traced("deck-ledger")
    door = between(result, "door", "rim-joist")
    assert door.cause is Cause.MISSING
    assert wets(result, door) == {"rim-joist", "ledger"}
    assert result.findings[0] is door
    assert between(result, "barrier-upper", "ledger-flashing").cause is Cause.WRONG_WAY
