"""Drawings of a large corner are quick beside plain arithmetic on the same machine."""

from __future__ import annotations

import time

import pytest

from weatherlap.drawings.elevation import elevation
from weatherlap.drawings.exploded import exploded
from weatherlap.drawings.section import section
from weatherlap.job.model import CutLine


def processor_seconds(work):
    """Processor time of one run. [s]"""
    start = time.process_time()
    work()
    return time.process_time() - start


def a_million_products():
    """Plain arithmetic: about 65 ms on a machine of 2020."""
    return sum(i * i for i in range(1_000_000))


@pytest.mark.parametrize(
    "draw",
    [
        pytest.param(lambda s: elevation(s, "wall"), id="elevation"),
        pytest.param(lambda s: section(s, CutLine(id="A", face="wall", at=100)), id="section"),
        pytest.param(exploded, id="exploded"),
    ],
)
def test_two_hundred_pieces_are_drawn_quickly(many_pieces, draw):
    """A corner of 198 pieces is drawn in less than the time of two million products."""
    draw(many_pieces)
    runs = [
        (processor_seconds(lambda: draw(many_pieces)), processor_seconds(a_million_products))
        for _ in range(7)
    ]
    assert min(mine for mine, _ in runs) < 2.0 * min(plain for _, plain in runs)
