"""Sweeps: the search for dead circles of values waits while a great many values are made."""

from __future__ import annotations

import gc
from collections.abc import Callable
from functools import wraps
from typing import ParamSpec, TypeVar

P = ParamSpec("P")
R = TypeVar("R")


def no_sweeps(work: Callable[P, R]) -> Callable[P, R]:
    """A function that makes its values without a sweep of the memory in between.

    A trace makes hundreds of thousands of small values and no circles of them; every sweep walks
    over all that live, so that on a big corner more time goes into sweeps than into the water.
    A value that nothing holds is given back at once, sweeps or not.
    """

    @wraps(work)
    def in_one_go(*args: P.args, **kwargs: P.kwargs) -> R:
        sweeping = gc.isenabled()
        gc.disable()
        try:
            return work(*args, **kwargs)
        finally:
            if sweeping:
                gc.enable()

    return in_one_go
