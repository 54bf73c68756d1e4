"""The command line."""

from __future__ import annotations

import gc
import os

__all__ = ["main"]

ALLOCATIONS = 200_000
"""New objects between two looks for rings of garbage: a command ends before many are worth it."""
SETTLED = {
    "OPENBLAS_NUM_THREADS": "1",  # small matrices: more threads cost more than they bring
    "PYDANTIC_DISABLE_PLUGINS": "__all__",  # else every installed package is searched for some
}


def main() -> None:
    """Settle what must stand before big packages are loaded; then run the command line."""
    gc.set_threshold(ALLOCATIONS)
    for name, value in SETTLED.items():
        os.environ.setdefault(name, value)
    from weatherlap.cli.app import main as run

    run()
