"""Random corners: the trace must tell of every drop what the follower finds out drop by drop."""

from __future__ import annotations

import pytest
from cornerscenes import SCENES
from dropcompare import TraceEnds, area_error, differences, flow_error, traced
from dropfollower import Follower
from hypothesis import Phase, assume, given, settings
from randomcorners import corners

from weatherlap.errors import JobError

BOXES = ("wall", "wall_over_roof", "deck", "against_wall")
"""Scenes whose folds run the whole width: a fold reaches 1/16 in past an end in mid-rim."""

PHASES = (Phase.explicit, Phase.reuse, Phase.generate)
"""A corner found is shown as it is: to make it smaller takes minutes."""


def trace_of(job):
    """The trace of a job whose pieces do not go round in a circle."""
    try:
        return traced(job)
    except JobError:
        assume(False)


@pytest.mark.parametrize("scene", sorted(SCENES))
def test_every_drop_ends_where_the_trace_says(scene):
    """Kind, piece, face and share of each end agree for every drop of a grid, on both layers."""

    @settings(max_examples=15, phases=PHASES)
    @given(corners(scenes=(scene,)))
    def compare(job):
        found = differences(Follower(job), TraceEnds(trace_of(job)), step=1.0)
        assert not found, "\n".join(map(str, found[:5]))

    compare()


@settings(max_examples=20, phases=PHASES)
@given(corners(slanted=False, trough_sizes=(0,), gutters=False, scenes=BOXES))
def test_areas_of_boxes_agree_to_rounding(job):
    """With boxes alone a grid of 1/2 in is exact: area by area, end by end."""
    assert area_error(job, trace_of(job), step=0.5, jitter=False) < 1e-7


@settings(max_examples=10, phases=PHASES)
@given(corners())
def test_areas_agree_within_one_percent(job):
    """Slanting edges, troughs and falls: no end's area is out by 1 % of the rained area."""
    assert area_error(job, trace_of(job), step=0.25, jitter=True) < 0.01


@settings(max_examples=15, phases=PHASES)
@given(corners(slanted=False, trough_sizes=(0.02, 0.03, 0.05), scenes=BOXES))
def test_flows_of_overfull_troughs_agree(job):
    """What small troughs and gutters cannot carry goes on: no end's flow is out by 1 %."""
    assert flow_error(job, trace_of(job), step=0.5) < 0.01
