"""Garbage is looked for when nobody waits, and only then."""

from __future__ import annotations

import asyncio
import gc
import time
import weakref
from collections.abc import Iterator

import pytest

from weatherlap.web.guard import Receive, Scope, Send
from weatherlap.web.tidying import Tidying


class _Ring:
    """Something that only a search through all memory finds to be garbage."""

    def __init__(self) -> None:
        self.own = self


async def _answer(_scope: Scope, _receive: Receive, _send: Send) -> None:
    """An answer of an app that has nothing to say."""


async def _receive() -> dict[str, object]:
    return {}


async def _send(_message: object) -> None:
    return None


def _asked(app: Tidying) -> None:
    asyncio.run(app({}, _receive, _send))


@pytest.fixture
def quick() -> Iterator[Tidying]:
    """An app that tidies after a twentieth of a second."""
    app = Tidying(_answer, rest_s=0.05)
    app.begin()
    yield app
    app.close()


def _old_ring() -> weakref.ref[_Ring]:
    """A ring that has outlived the quick searches, and that nobody holds any more."""
    ring = _Ring()
    gc.collect(1)
    gc.collect(1)
    return weakref.ref(ring)


def _gone(ring: weakref.ref[_Ring], within_s: float) -> bool:
    until = time.monotonic() + within_s
    while ring() is not None and time.monotonic() < until:
        time.sleep(0.01)
    return ring() is None


def test_after_an_answer_garbage_goes(quick: Tidying) -> None:
    """What an answer left behind must be gone soon after."""
    ring = _old_ring()
    _asked(quick)
    assert _gone(ring, 20.0)


def test_while_nobody_asks_nothing_is_done(quick: Tidying) -> None:
    """A machine that lies idle must be left in peace."""
    ring = _old_ring()
    assert not _gone(ring, 0.4)
    _asked(quick)
    assert _gone(ring, 20.0)


def test_somebody_who_asks_all_the_time_is_not_waited_for_for_ever() -> None:
    """Memory may not grow without end because of a page that never rests."""
    app = Tidying(_answer, rest_s=5.0, longest_s=0.1)
    app.begin()
    try:
        ring = _old_ring()
        until = time.monotonic() + 20.0
        while ring() is not None and time.monotonic() < until:
            _asked(app)
        assert ring() is None
    finally:
        app.close()


def test_when_it_ends_all_is_as_it_was() -> None:
    """Python's own settings must be put back."""
    before, frozen = gc.get_threshold(), gc.get_freeze_count()
    app = Tidying(_answer)
    app.begin()
    assert gc.get_threshold() != before
    app.close()
    assert gc.get_threshold() == before
    assert gc.get_freeze_count() == frozen
