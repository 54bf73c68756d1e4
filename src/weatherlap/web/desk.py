"""The desk: jobs that were worked out lately, kept so that the next tap need not wait."""

from __future__ import annotations

import json
from collections import OrderedDict
from collections.abc import Callable
from hashlib import sha256
from threading import Event, Lock
from typing import Any, Generic, TypeVar

from weatherlap.drawings.shown import Shown, show
from weatherlap.job.model import CutLine, Job
from weatherlap.job.reading import read_job
from weatherlap.run.states import State
from weatherlap.run.worked import Worked, in_state, work_out
from weatherlap.web.board import board

KEPT = 10
"""Jobs worked out that are kept; each holds every way of its water."""
LIGHT = 48
"""Jobs as read, and faces as the page takes them, that are kept."""
MOST_TRAILS = 40

_Made = TypeVar("_Made")


class _Kept(Generic[_Made]):
    """The things made last, by what they were made from; nobody makes what another is making."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[tuple[str, ...], _Made] = OrderedDict()
        self._making: dict[tuple[str, ...], Event] = {}
        self._lock = Lock()

    def get(self, key: tuple[str, ...], make: Callable[[], _Made]) -> _Made:
        while True:
            with self._lock:
                if key in self._things:
                    self._things.move_to_end(key)
                    return self._things[key]
                others = self._making.get(key)
                if others is None:
                    mine = self._making[key] = Event()
                    break
            others.wait()
        try:
            made = make()
            with self._lock:
                self._things[key] = made
                while len(self._things) > self._most:
                    self._things.popitem(last=False)
            return made
        finally:
            with self._lock:
                del self._making[key]
            mine.set()


class Desk:
    """Worked-out jobs by the text of their file."""

    def __init__(self, most: int = KEPT, light: int = LIGHT) -> None:
        self._jobs: _Kept[Job] = _Kept(light)
        self._whole: _Kept[Job] = _Kept(light)
        self._worked: _Kept[Worked] = _Kept(most)
        self._shown: _Kept[Shown] = _Kept(most)
        self._boards: _Kept[bytes] = _Kept(light)
        self._acted: _Kept[tuple[str, str]] = _Kept(light)
        self._told: _Kept[dict[str, Any]] = _Kept(light)

    def job(self, text: str) -> Job:
        """The job of a text.

        Raises
        ------
        JobError
            If it needs mending.
        """
        return self._jobs.get((_print_of(text),), lambda: read_job(text))

    def check(self, text: str) -> Job:
        """The job of a text whose laps can be laid and whose water was followed.

        Raises
        ------
        JobError
            If it needs mending.
        """
        return self._whole.get((_print_of(text),), lambda: self.worked(text, State.FOUND).job)

    def worked(self, text: str, state: State) -> Worked:
        """A job worked out in one state.

        Raises
        ------
        InputError
            If the repaired state is asked for and there is no change, or a change cannot be made.
        """
        key = (_print_of(text), state.value)
        return self._worked.get(key, lambda: work_out(in_state(self.job(text), state)))

    def shown(self, text: str, state: State, cuts: tuple[CutLine, ...] = ()) -> Shown:
        """What the drawings of a job show in one state."""

        def make() -> Shown:
            worked = self.worked(text, state)
            job = worked.job
            return show(
                f"{job.job.title}, {state.words}",
                worked.corner,
                trace=worked.trace,
                readings=job.reading,
                damages=job.damage,
                cuts=cuts or job.cut,
                most_trails=MOST_TRAILS,
            )

        places = [f"{c.face} {c.at}" for c in cuts]
        return self._shown.get((_print_of(text), state.value, *places), make)

    def board(self, text: str, state: State, face: str, *, without: tuple[str, ...] = ()) -> bytes:
        """A face to touch, as JSON; ``without`` names pieces that are lifted off.

        Raises
        ------
        InputError
            If the corner has no such face.
        """

        def make() -> bytes:
            made = board(self.shown(text, state), face, without=without, name=state.value)
            table = {"svg": made.svg, "touch": made.touch}
            return json.dumps(table, ensure_ascii=False, separators=(",", ":")).encode("utf-8")

        key = (_print_of(text), state.value, face, *sorted(without))
        return self._boards.get(key, make)

    def acted(self, text: str, act: str, make: Callable[[], tuple[str, str]]) -> tuple[str, str]:
        """The text after an act and what was done, made once by ``make``."""
        return self._acted.get((_print_of(text), act), make)

    def told(
        self, text: str, state: State, make: Callable[[Worked], dict[str, Any]]
    ) -> dict[str, Any]:
        """What is said of a job in one state, made once by ``make``."""
        key = (_print_of(text), state.value)
        return self._told.get(key, lambda: make(self.worked(text, state)))


def _print_of(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()
