"""The clerk: makes what takes long beside the pages, once for each state of a job."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from hashlib import sha256
from threading import Event, Lock
from typing import Any, Generic, Protocol, TypeVar

from weatherlap.web.helper import HelperGone, Say, Work

KEPT = 16
MOST_SAID = 40

Made = TypeVar("Made")


@dataclass(slots=True)
class Order(Generic[Made]):
    """Something that is being made: what was said on the way, and what it gave or why it failed."""

    said: list[str] = field(default_factory=list)
    done: Event = field(default_factory=Event)
    made: Made | None = None
    fault: BaseException | None = None

    def say(self, words: str) -> None:
        """Note what is being done."""
        self.said = [*self.said, words][-MOST_SAID:]

    def result(self) -> Made:
        """What was made.

        Raises
        ------
        BaseException
            What stopped it.
        """
        if self.fault is not None:
            raise self.fault
        assert self.made is not None
        return self.made


class Hand(Protocol):
    """Who does the work that a clerk takes in."""

    def __call__(self, work: Work[Made], say: Say) -> Made:
        """What the work gives, or an error that says why not."""
        ...

    def close(self) -> None:
        """Begin nothing more."""
        ...


class Own:
    """A hand that does the work in this process."""

    def __call__(self, work: Work[Made], say: Say) -> Made:
        """What the work gives."""
        return work(say)

    def close(self) -> None:
        """There is nothing to let go of."""


class Clerk:
    """Keeps what was made last; the same thing is never made twice at once."""

    def __init__(self, most: int = KEPT, *, hand: Hand | None = None) -> None:
        self._most = most
        self._hand = hand or Own()
        self._orders: OrderedDict[tuple[str, ...], Order[Any]] = OrderedDict()
        self._lock = Lock()
        self._hands = ThreadPoolExecutor(max_workers=1, thread_name_prefix="clerk")

    def ask(self, key: tuple[str, ...], work: Work[Made]) -> Order[Made]:
        """The order of a key, begun if need be; the work is given a way to say its steps."""
        with self._lock:
            order = self._orders.get(key)
            if order is None or isinstance(order.fault, HelperGone):
                order = self._orders[key] = Order()
                self._hands.submit(_make, order, work, self._hand)
            self._orders.move_to_end(key)
            for old in [k for k, o in self._orders.items() if o.done.is_set()][: self._over()]:
                del self._orders[old]
        return order

    def _over(self) -> int:
        return max(0, len(self._orders) - self._most)

    def close(self) -> None:
        """Begin nothing more."""
        self._hands.shutdown(wait=False, cancel_futures=True)
        self._hand.close()


def _make(order: Order[Made], work: Work[Made], hand: Hand) -> None:
    try:
        order.made = hand(work, order.say)
    except BaseException as error:
        order.fault = error
    finally:
        order.done.set()


def print_of(text: str, own: Mapping[str, str]) -> str:
    """What tells one state of a job, with the firm's tables, from another."""
    made = sha256(text.encode("utf-8"))
    for name, table in sorted(own.items()):
        made.update(f"\0{name}\0{table}".encode())
    return made.hexdigest()
