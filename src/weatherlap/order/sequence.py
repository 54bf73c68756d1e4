"""An order that keeps what must come first, with hands kept on one task."""

from __future__ import annotations

import heapq
from collections.abc import Collection, Mapping
from dataclasses import dataclass

Group = tuple[int, int]
"""A task: rank of the trade and number of the face, or the other way round."""


@dataclass(frozen=True, slots=True)
class Turn:
    """Where a piece stands among those that could be next: its task, then its rank in it."""

    task: Group
    rank: tuple[float, int]


class StuckError(Exception):
    """Pieces that wait for one another in a circle."""

    def __init__(self, circle: list[int]) -> None:
        self.circle = circle
        super().__init__(f"{circle}")


def in_order(
    must: Mapping[int, Collection[int]],
    may: Mapping[int, Collection[int]],
    turns: Mapping[int, Turn],
) -> list[int]:
    """Pieces one after another, each after all that it must wait for.

    What it may wait for (``may``) goes before it too wherever nothing else stands still for it.
    Among those that could be next the task at hand goes on, then its trade on another face.

    Raises
    ------
    StuckError
        If pieces wait for one another in a circle.
    """
    queue = _Queue(must, may, turns)
    done: list[int] = []
    while len(done) < len(turns):
        done.append(queue.take())
    return done


class _Queue:
    def __init__(
        self,
        must: Mapping[int, Collection[int]],
        may: Mapping[int, Collection[int]],
        turns: Mapping[int, Turn],
    ) -> None:
        self._turns = turns
        self._must = {p: set(must.get(p, ())) for p in turns}
        self._may = {p: set(may.get(p, ())) - self._must[p] for p in turns}
        self._waiting: dict[int, list[int]] = {p: [] for p in turns}
        for p in turns:
            for before in self._must[p] | self._may[p]:
                self._waiting[before].append(p)
        self._tasks: dict[Group, list[tuple[float, int, int]]] = {}
        self._loose = {p for p in turns if not self._must[p] and self._may[p]}
        self._hand: Group | None = None
        for p in sorted(turns):
            if not self._must[p] and not self._may[p]:
                self._push(p)

    def _push(self, piece: int) -> None:
        turn = self._turns[piece]
        heapq.heappush(self._tasks.setdefault(turn.task, []), (*turn.rank, piece))

    def take(self) -> int:
        """The next piece; it is done then."""
        piece = self._next()
        self._hand = self._turns[piece].task
        self._loose.discard(piece)
        del self._must[piece], self._may[piece]
        for p in self._waiting[piece]:
            if p in self._must:
                self._must[p].discard(piece)
                self._may[p].discard(piece)
                if not self._must[p]:
                    self._freed(p)
        return piece

    def _freed(self, piece: int) -> None:
        if self._may[piece]:
            self._loose.add(piece)
        else:
            self._loose.discard(piece)
            self._push(piece)

    def _next(self) -> int:
        if self._tasks:
            task = min(self._tasks, key=self._task_key)
            rows = self._tasks[task]
            piece = heapq.heappop(rows)[-1]
            if not rows:
                del self._tasks[task]
            return piece
        if self._loose:
            return min(self._loose, key=lambda p: (self._turns[p].task, self._turns[p].rank, p))
        raise StuckError(self._circle())

    def _task_key(self, task: Group) -> tuple[bool, bool, Group]:
        hand = self._hand
        return task != hand, hand is None or task[0] != hand[0], task

    def _circle(self) -> list[int]:
        """Pieces of which each waits for the next."""
        piece = min(self._must)
        seen: list[int] = []
        while piece not in seen:
            seen.append(piece)
            piece = min(self._must[piece])
        return seen[seen.index(piece) :]
