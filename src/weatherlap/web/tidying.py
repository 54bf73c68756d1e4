"""Tidying: what is no longer needed is looked for while nobody waits for an answer."""

from __future__ import annotations

import ctypes
import gc
import time
from threading import Event, Thread

from weatherlap.web.guard import App, Receive, Scope, Send

REST_S = 2.0
"""When nobody has asked for anything for so long, there is time to tidy. [s]"""
LONGEST_S = 60.0
"""After so long it is tidied even if somebody asks all the time. [s]"""
_YOUNG, _MIDDLE, _NEVER = 5_000, 20, 2**30


class Tidying:
    """An app that tidies up after itself, once after each time that it was busy.

    Only then is everything in memory searched for garbage. Python would do it in the middle of
    an answer, and one tap in a few would take half as long again.
    """

    def __init__(self, app: App, *, rest_s: float = REST_S, longest_s: float = LONGEST_S) -> None:
        self._app = app
        self._rest_s, self._longest_s = rest_s, longest_s
        self._last_s = 0.0
        self._stirred, self._ended = Event(), Event()
        self._thread = Thread(target=self._run, name="tidying", daemon=True)
        self._before = gc.get_threshold()

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, and note when somebody asked last."""
        try:
            await self._app(scope, receive, send)
        finally:
            self._last_s = time.monotonic()
            self._stirred.set()

    def begin(self) -> None:
        """Keep for good what is there now, and tidy from now on."""
        gc.collect()
        gc.freeze()
        gc.set_threshold(_YOUNG, _MIDDLE, _NEVER)
        self._thread.start()

    def close(self) -> None:
        """Leave tidying to Python again."""
        self._ended.set()
        self._stirred.set()
        self._thread.join()
        gc.set_threshold(*self._before)
        gc.unfreeze()

    def _run(self) -> None:
        while self._stirred.wait() and not self._ended.is_set():
            self._stirred.clear()
            latest = time.monotonic() + self._longest_s
            while (due := min(self._last_s + self._rest_s, latest)) > time.monotonic():
                self._ended.wait(due - time.monotonic())
                if self._ended.is_set():
                    return
            self._stirred.clear()
            tidy()


def tidy() -> None:
    """Let go of garbage, and give the memory that it took back to the machine."""
    gc.collect()
    try:
        trim = ctypes.CDLL(None).malloc_trim
    except (AttributeError, OSError, TypeError):
        return  # only some C libraries know it
    trim(0)
