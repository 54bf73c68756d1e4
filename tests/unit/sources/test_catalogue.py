"""The catalogue: every entry whole, sourced and usable."""

from __future__ import annotations

import pytest

from weatherlap.errors import InputError
from weatherlap.job.model import Sheet
from weatherlap.sources.catalogue import Entry, Role, catalogue, entry
from weatherlap.sources.register import source

ENTRIES = list(catalogue().values())


def test_the_catalogue_covers_the_trade() -> None:
    """Every role and every class of sheet must have entries, some 60 in all."""
    assert len(ENTRIES) >= 60
    assert {e.role for e in ENTRIES} == set(Role)
    assert {e.sheet for e in ENTRIES} == {s.value for s in Sheet}


@pytest.mark.parametrize("one", ENTRIES, ids=lambda e: e.id)
def test_an_entry_is_whole(one: Entry) -> None:
    """An entry must have possible sizes, a rising permeance, a cost, and sources that exist."""
    assert one.name and one.material and one.unit
    assert 0.004 <= one.thickness_in <= 8
    assert 0 <= one.passes <= 0.05
    assert one.sheet == "sheds" or one.passes == 0
    assert one.permeance_perm is None or 0 <= one.permeance_perm[0] < one.permeance_perm[1] <= 100
    assert (one.permeance_perm is None) == (one.sheet == "open")
    assert all(width >= 0 and length > 0 for width, length in one.stock_in)
    assert one.exposure_in is None or one.exposure_in > 0
    assert one.invented_cost_usd > 0
    assert one.source_keys
    assert all(source(key) for key in one.source_keys)


@pytest.mark.parametrize(
    ("what", "sheet", "passes"),
    [
        ("osb", "absorbs", 0),
        ("housewrap", "resists", 0),
        ("felt-15", "resists", 0),
        ("wood-siding", "sheds", 0.01),
        ("vinyl-siding", "sheds", 0.01),
        ("step-flashing", "sheds", 0),
        ("coil-wrap", "sheds", 0),
        ("receiving-channel", "sheds", 0),
        ("soffit-vented", "open", 0),
        ("bare-trim", "absorbs", 0),
    ],
)
def test_entries_do_what_the_trade_knows(what: str, sheet: str, passes: float) -> None:
    """Sheet classes must be those of the trade (common practice, no source)."""
    assert (entry(what).sheet, entry(what).passes) == (sheet, passes)


def test_flashing_metal_is_as_thick_as_the_code_asks() -> None:
    """Metal flashings must be 0.019 in or more (IRC R903.2.1, R507.2.4)."""
    metals = {"aluminium", "steel", "copper", "lead-coated-copper"}
    flashings = [e for e in ENTRIES if e.role is Role.FLASHING and e.material in metals]
    assert len(flashings) >= 8
    assert all(e.thickness_in >= 0.019 for e in flashings)


def test_dressed_lumber_has_its_dressed_size() -> None:
    """A 2x is 1 1/2 in thick and a 1x 3/4 in (PS 20)."""
    assert entry("ledger").thickness_in == 1.5
    assert entry("trim-board").thickness_in == 0.75
    assert (9.25, 144.0) in entry("ledger").stock_in


def test_an_unknown_entry_is_refused_with_the_nearest() -> None:
    """A misspelt entry must be answered with the one that was meant."""
    with pytest.raises(InputError, match="Did you mean 'housewrap'"):
        entry("house-wrap")


def test_the_catalogue_cannot_be_changed() -> None:
    """Nobody may alter the catalogue for the others."""
    with pytest.raises(TypeError):
        catalogue()["osb"] = ENTRIES[0]  # type: ignore[index]
