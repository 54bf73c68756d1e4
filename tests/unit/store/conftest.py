"""A shelf in a folder of its own, and a small job to put on it."""

from __future__ import annotations

import pytest

from weatherlap.store.shelf import Shelf

TEXT = """# One wall.
[job]
title = "One wall"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = "8'"
height = "8'"

[[piece]]
id = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]
"""


@pytest.fixture
def text():
    """The text of a small job."""
    return TEXT


@pytest.fixture
def shelf(tmp_path):
    """An empty shelf."""
    made = Shelf(tmp_path / "store")
    yield made
    made.close()
