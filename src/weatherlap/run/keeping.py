"""Keeping: what was worked out last is kept, as much of it as a number of pieces allows."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Generic, TypeVar

_Key = TypeVar("_Key", bound=Hashable)
_Made = TypeVar("_Made")


class Keeping(Generic[_Key, _Made]):
    """The things made last by what they were made from, of ``most`` weight together.

    The last one is kept whatever it weighs.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[_Key, tuple[_Made, int]] = OrderedDict()
        self._weight = 0
        self._lock = Lock()

    def get(self, key: _Key, make: Callable[[], _Made], *, weight: int) -> _Made:
        """The thing of a key, made if it is not kept."""
        with self._lock:
            if key in self._things:
                self._things.move_to_end(key)
                return self._things[key][0]
        made = make()
        with self._lock:
            if key not in self._things:
                self._things[key] = made, weight
                self._weight += weight
            while self._weight > self._most and len(self._things) > 1:
                _, (_, gone) = self._things.popitem(last=False)
                self._weight -= gone
        return made

    def last(self, count: int) -> list[tuple[_Key, _Made]]:
        """The things asked for last, the very last first."""
        with self._lock:
            keys = list(self._things)[: -count - 1 : -1]
            return [(key, self._things[key][0]) for key in keys]
