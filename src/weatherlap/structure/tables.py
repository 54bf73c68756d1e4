"""The room's own tables, read once from the package."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import Any


@cache
def table(name: str) -> dict[str, Any]:
    """One of the tables in ``data/``, by its name without ending."""
    path = files("weatherlap.structure") / "data" / f"{name}.toml"
    return tomllib.loads(path.read_text("utf-8"))
