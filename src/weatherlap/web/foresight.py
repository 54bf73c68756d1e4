"""Foresight: what the thumb is likely to do next is worked out while it decides."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import Lock

from weatherlap.errors import WeatherlapError
from weatherlap.job.model import Job
from weatherlap.run.states import State
from weatherlap.store.shelf import Revision
from weatherlap.web.acts import Act, Turn, acted
from weatherlap.web.desk import Desk

MOST_ACTS = 16


class Foresight:
    """Works out likely acts one by one in the background; whatever really happens goes first."""

    def __init__(self, desk: Desk) -> None:
        self._desk = desk
        self._turn = 0
        self._lock = Lock()
        self._hands = ThreadPoolExecutor(max_workers=1, thread_name_prefix="foresight")

    def stop(self) -> int:
        """Drop what was foreseen and not yet begun; gives the number of the new turn."""
        with self._lock:
            self._turn += 1
            return self._turn

    def foresee(
        self, head: Revision, acts: Sequence[Act], state: State, face: str, *, ready: Ready
    ) -> None:
        """Work out what each of some acts on a revision would give, the likeliest first."""
        turn = self.stop()
        for act in acts[:MOST_ACTS]:
            self._hands.submit(self._one, turn, head, act, state, face, ready)

    def _one(
        self, turn: int, head: Revision, act: Act, state: State, face: str, ready: Ready
    ) -> None:
        try:
            if turn == self._turn:
                text, _ = done(self._desk, head.text, act, state)
            if turn == self._turn:
                self._desk.check(text)
            if turn == self._turn:
                ready(text, state, face)
        except WeatherlapError:
            return  # an act that cannot be done is answered when it is really asked for

    def close(self) -> None:
        """Begin nothing more."""
        self.stop()
        self._hands.shutdown(wait=False, cancel_futures=True)


Ready = Callable[[str, State, str], object]


def done(desk: Desk, text: str, act: Act, state: State) -> tuple[str, str]:
    """The text after an act on the state that is seen, and what was done in a few words.

    Raises
    ------
    InputError
        If the act cannot be done to this job.
    """
    job = desk.job(text)

    def make() -> tuple[str, str]:
        turns = isinstance(act, Turn)
        corner = desk.worked(text, seen_state(job, state)).corner if turns else None
        return acted(job, text, act, state, corner=corner)

    return desk.acted(text, f"{state.value} {act.model_dump_json()}", make)


def seen_state(job: Job, state: State) -> State:
    """The state that can be shown: as found while there is no change."""
    return state if job.change else State.FOUND
