"""The page of the cheapest mend says what no change cures, and claims no cure."""

import pytest

from weatherlap.building.details.shelf import detail


@pytest.mark.parametrize(
    ("which", "variant", "words"),
    [
        pytest.param("deck-ledger", "level-flashing", "needed or helps", id="level"),
        pytest.param("deck-ledger", "no-flashing", "that come nearest", id="none-found"),
    ],
)
def test_a_face_without_fall_is_said(own, which, variant, words):
    """What stays wrong stands on the page with what is done about it; nothing is called right."""
    text = detail(which).toml(variant=variant)
    job = own.post("/api/jobs", json={"text": text}).json()["id"]
    page = own.get(f"/job/{job}/mend").text
    assert words in page and "has no fall" in page and "tapered strips" in page
    assert "Nothing has to be done" not in page
