"""Materials: every range is usable, every figure has its source."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from weatherlap.drying.materials import (
    DRAWN,
    Kind,
    Range,
    material,
    materials,
    middle_properties,
    properties_at,
    wetting_curves,
)
from weatherlap.errors import InputError
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.register import sources

KEYS = sorted(materials())


@pytest.mark.parametrize("key", KEYS)
def test_sources_are_in_the_register(key: str) -> None:
    """Each material names sources, and the register holds them."""
    keys = material(key).source_keys
    assert keys and set(keys) <= sources().keys()


@pytest.mark.parametrize("key", KEYS)
def test_ranges_rise(key: str) -> None:
    """Low, middle and high of every property are in order, and wet is never tighter than dry."""
    of = material(key)
    for name in ("density_kg_m3", "heat_j_kg_k", "conducts_w_m_k", "dry", "wet", "full_kg_m3"):
        found = getattr(of, name)
        assert 0.0 < found.low <= found.middle <= found.high, name
    assert of.wet.middle >= of.dry.middle


@settings(max_examples=60, deadline=None)
@given(
    key=st.sampled_from(KEYS),
    shares=st.tuples(*[st.floats(0.0, 1.0)] * DRAWN),
)
def test_any_draw_makes_curves(key: str, shares: tuple[float, ...]) -> None:
    """Wherever in its ranges a material is, it has a wetting path that rises."""
    curves = wetting_curves(properties_at(key, shares=shares))
    assert curves.full_kg_m3 > 0.0
    assert (curves.table[:-1, 4] > 0.0).all()


def test_every_material_of_the_catalogue_is_known() -> None:
    """The drying run knows the material of each entry of the catalogue but the ground."""
    used = {entry.material for entry in catalogue().values()} - {"soil"}
    assert used <= set(KEYS), f"no drying data for {sorted(used - set(KEYS))}"


def test_unknown_material_names_a_near_one() -> None:
    """A wrong key is refused and a near one named."""
    with pytest.raises(InputError, match=r"Did you mean .*plywood"):
        material("plywod")


def test_range_between_its_values() -> None:
    """Shares 0, a half and 1 are low, middle and high; between positive ends by equal ratios."""
    known = Range(1.0, 10.0, 1000.0)
    assert [known.at(s) for s in (0.0, 0.5, 1.0)] == pytest.approx([1.0, 10.0, 1000.0])
    assert known.at(0.75) == pytest.approx(100.0)
    assert Range(0.0, 2.0, 4.0).at(0.25) == pytest.approx(1.0)


def test_wood_at_rest_with_80_pct_air() -> None:
    """Softwood in 80 % air at 20 C holds 16 % by the equation."""
    chosen = middle_properties("softwood")
    curves = wetting_curves(chosen)
    at = curves.position_of_humidity(0.8)
    row = curves.table[int(at)]
    assert row[0] / chosen.density_kg_m3 * 100.0 == pytest.approx(16.0, abs=0.2)


def test_plywood_opens_when_wet() -> None:
    """Vapour resistance of plywood falls as it gets wet."""
    curves = wetting_curves(middle_properties("plywood"))
    dry, wet = (int(curves.position_of_humidity(h)) for h in (0.2, 0.9))
    assert curves.table[wet, 3] < 0.1 * curves.table[dry, 3]


def test_shares_of_another_number_are_refused() -> None:
    """A draw needs one share for each property."""
    with pytest.raises(InputError, match="8 numbers from 0 to 1"):
        properties_at("osb", shares=(0.5,))


def test_kinds_of_the_table() -> None:
    """Wood is what can rot, air is what can be vented."""
    assert material("osb").kind is Kind.WOOD
    assert material("air").kind is Kind.AIR
    assert material("aluminium").kind is Kind.METAL
