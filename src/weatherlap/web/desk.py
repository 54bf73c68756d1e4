"""The desk: jobs that were worked out lately, kept so that the next tap need not wait."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable
from hashlib import sha256
from threading import Lock
from typing import TypeVar

from weatherlap.drawings.shown import Shown, show
from weatherlap.job.model import CutLine, Job
from weatherlap.job.reading import read_job
from weatherlap.run.states import State
from weatherlap.run.worked import Worked, in_state, work_out

KEPT = 24
MOST_TRAILS = 40

_Made = TypeVar("_Made")


class _Kept:
    """The things made last, by what they were made from; each is made once."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._things: OrderedDict[tuple[str, ...], object] = OrderedDict()
        self._lock = Lock()

    def get(self, key: tuple[str, ...], make: Callable[[], _Made]) -> _Made:
        with self._lock:
            if key in self._things:
                self._things.move_to_end(key)
                return self._things[key]  # type: ignore[return-value]
        made = make()
        with self._lock:
            self._things[key] = made
            while len(self._things) > self._most:
                self._things.popitem(last=False)
        return made


class Desk:
    """Worked-out jobs by the text of their file."""

    def __init__(self, most: int = KEPT) -> None:
        self._jobs, self._worked, self._shown = _Kept(most), _Kept(most), _Kept(most)

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
        return self.worked(text, State.FOUND).job

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


def _print_of(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()
