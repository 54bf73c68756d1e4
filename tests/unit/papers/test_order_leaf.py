"""Putting right as a leaf says what the sheets say."""

from pathlib import Path

import pytest

from weatherlap.job.reading import read_job
from weatherlap.papers.leaf import Drawn, Grid
from weatherlap.papers.orderleaf import BINDER, bind

DEMO = Path(__file__).parents[3] / "demo" / "window-sill.toml"


@pytest.fixture(scope="module")
def made():
    """The papers of a demo job, and what was said on the way."""
    said = []
    job = read_job(DEMO.read_text("utf-8"))
    assert BINDER.holds(job)
    return bind(job, own={}, on_the_way=said.append), said


def test_every_step_of_the_order_is_on_it(made):
    """Take-down rows and put-back steps are as many as the figures have."""
    bound, said = made
    (leaf,) = bound.leaves
    down = next(p for p in leaf.parts if p.head == "Take-down").blocks[0]
    assert isinstance(down, Grid)
    assert len(down.rows) == len(bound.table["take_down"])
    assert sum(isinstance(b, Drawn) for p in leaf.parts for b in p.blocks) == sum(
        name.startswith("step-") for name in bound.files
    )
    assert said


def test_the_sheets_and_the_small_sections_go_with_it(made):
    """The files are those of the packet."""
    assert made[0].files["putting-right.pdf"].startswith(b"%PDF")


def test_hours_that_cannot_be_read_are_said(made):
    """A broken table of hours does not spoil the rest: the leaf says so."""
    job = read_job(DEMO.read_text("utf-8"))
    bound = bind(job, own={"rates": "x = 1"}, on_the_way=lambda _: None)
    assert bound.leaves[0].parts[0].head == "Not worked out"
    assert made[0].leaves[0].parts[0].head != "Not worked out"
