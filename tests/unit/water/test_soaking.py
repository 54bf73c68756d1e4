"""Soaking: every litre that soaks is counted once in the piece that it comes to first."""

from __future__ import annotations

import pytest

from weatherlap.job.reading import read_job
from weatherlap.run.worked import work_out
from weatherlap.water.hops import EndKind
from weatherlap.water.soaking import soaked_pieces


@pytest.fixture(scope="module", params=["porch-corner", "deck-ledger", "window-sill"])
def trace(request):
    """The trace of a demo as found."""
    place = request.config.rootpath / f"demo/{request.param}.toml"
    return work_out(read_job(place.read_text("utf-8"))).trace


def test_first_pieces_hold_what_soaks(trace):
    """With nothing going on, the pieces take exactly the litres that end in soaking."""
    ends = sum(row.per_year_l for row in trace.ends if row.end is EndKind.SOAK)
    taken = sum(row.litres for row in soaked_pieces(trace, goes_on=0.0).values())
    assert taken == pytest.approx(ends, rel=1e-9)


def test_more_goes_on_the_more_is_taken(trace):
    """The first piece takes no less, later ones take their share of what goes on."""
    none, half = soaked_pieces(trace, goes_on=0.0), soaked_pieces(trace, goes_on=0.5)
    assert none.keys() == half.keys()
    assert all(half[piece].litres >= none[piece].litres for piece in none)


def test_no_piece_takes_more_than_all_that_soaks(trace):
    """A piece that several findings wet does not take their litres twice."""
    ends = sum(row.per_year_l for row in trace.ends if row.end is EndKind.SOAK)
    whole = soaked_pieces(trace, goes_on=1.0)
    assert max(row.litres for row in whole.values()) <= ends * (1 + 1e-9)


def test_places_lie_on_faces(trace):
    """Where the water comes in is a place on a face of the corner."""
    for row in soaked_pieces(trace, goes_on=0.5).values():
        assert row.places
        assert all(0 <= face < len(trace.corner.faces) for face, _, _ in row.places)
