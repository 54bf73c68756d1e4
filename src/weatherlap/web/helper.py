"""The helper: a process of its own for what takes long, so that no tap waits for it.

It begins with the first work, does one thing after another, and ends when it has had nothing to
do for a while; with it goes the memory of the large packages that only such work needs.
"""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
from collections.abc import Callable
from queue import SimpleQueue
from threading import Lock, Thread, Timer
from typing import IO, Any, TypeVar

from weatherlap.errors import WeatherlapError

IDLE_S = 60.0
"""Without work for so long the helper ends. [s]"""
NICE = 5
"""Answers to taps go first where the machine is busy."""
PROGRAM = "from weatherlap.web.helper import serve_work; serve_work()"

Made = TypeVar("Made")
Say = Callable[[str], None]
Work = Callable[[Say], Made]


class HelperGone(WeatherlapError):
    """The helper ended in the middle of its work."""

    def __init__(self) -> None:
        super().__init__(
            "What works this out was ended from outside, perhaps for want of memory. Ask once more."
        )


class Helper:
    """Does work in a process beside this one; called by one thread at a time."""

    def __init__(self, idle_s: float = IDLE_S) -> None:
        self._idle_s = idle_s
        self._child: subprocess.Popen[bytes] | None = None
        self._rest: Timer | None = None
        self._lock = Lock()
        self._closed = self._asking = False

    def __call__(self, work: Work[Made], say: Say) -> Made:
        """What the work gives.

        Raises
        ------
        HelperGone
            If the process ended before it was done.
        Exception
            Whatever the work raised.
        """
        with self._lock:
            if self._rest is not None:
                self._rest.cancel()
            if self._closed:
                raise HelperGone
            child = self._at_work()
            self._asking = True
        try:
            made: Made = _asked(child, work, say)
        except (EOFError, BrokenPipeError, pickle.UnpicklingError):
            self._let_go()
            _end(child)
            raise HelperGone from None
        finally:
            self._rest_later()
        return made

    def _at_work(self) -> subprocess.Popen[bytes]:
        if self._child is None or self._child.poll() is not None:
            command = [sys.executable, "-c", PROGRAM]
            pipe = subprocess.PIPE
            self._child = subprocess.Popen(command, stdin=pipe, stdout=pipe)
        return self._child

    def _rest_later(self) -> None:
        with self._lock:
            self._asking = False
            if not self._closed:
                self._rest = Timer(self._idle_s, self._let_go, [True])
                self._rest.daemon = True
                self._rest.start()

    def _let_go(self, if_idle: bool = False) -> None:
        """End the process; who waits for its answer closes the pipes."""
        with self._lock:
            if if_idle and self._asking:
                return
            child, self._child = self._child, None
            asking = self._asking
        if child is not None and asking:
            child.kill()
            child.wait()
        elif child is not None:
            _end(child)

    def close(self) -> None:
        """End the process, whatever it does."""
        with self._lock:
            self._closed = True
            if self._rest is not None:
                self._rest.cancel()
        self._let_go()


def _end(child: subprocess.Popen[bytes]) -> None:
    child.kill()
    child.wait()
    for pipe in (child.stdin, child.stdout):
        try:
            assert pipe is not None
            pipe.close()
        except OSError:
            continue  # what was not sent any more is of no use to anybody


def _asked(child: subprocess.Popen[bytes], work: Work[Any], say: Say) -> Any:
    assert child.stdin is not None and child.stdout is not None
    pickle.dump(work, child.stdin)
    child.stdin.flush()
    while True:
        kind, what = pickle.load(child.stdout)
        if kind == "made":
            return what
        if kind == "fault":
            raise what
        say(what)


def serve_work() -> None:
    """Do what comes in, one thing after another, until the one who asks is gone."""
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    os.nice(NICE)
    inbox: SimpleQueue[Work[Any]] = SimpleQueue()
    Thread(target=_listen, args=(sys.stdin.buffer, inbox), daemon=True).start()
    while True:
        _answer(out, inbox.get())


def _listen(door: IO[bytes], inbox: SimpleQueue[Work[Any]]) -> None:
    """Take in work; end at once, in the middle of anything, when nobody is there any more."""
    while True:
        try:
            inbox.put(pickle.load(door))
        except EOFError:
            os._exit(0)


def _answer(out: IO[bytes], work: Work[Any]) -> None:
    one_at_a_time = Lock()

    def say(words: str) -> None:
        """Tell a step; several threads of the work may do so."""
        with one_at_a_time:
            _send(out, pickle.dumps(("say", words)))

    try:
        told = pickle.dumps(("made", work(say)))
    except Exception as error:
        told = _as_fault(error)
    with one_at_a_time:
        _send(out, told)


def _as_fault(error: Exception) -> bytes:
    """An error as it can be sent; one that cannot be is told by its name."""
    try:
        told = pickle.dumps(("fault", error))
        pickle.loads(told)
    except Exception:
        return pickle.dumps(("fault", RuntimeError(f"{type(error).__name__}: {error}")))
    return told


def _send(out: IO[bytes], told: bytes) -> None:
    out.write(told)
    out.flush()
