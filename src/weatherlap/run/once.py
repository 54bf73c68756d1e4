"""Once: a question that is asked again, here or in another thread, is not worked out again."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from concurrent.futures import Future
from functools import wraps
from threading import Lock
from typing import TypeVar

Q = TypeVar("Q", bound=Hashable)
A = TypeVar("A")


def once(most: int) -> Callable[[Callable[[Q], A]], Callable[[Q], A]]:
    """Keep the last ``most`` answers of a function, each by all that its question holds.

    A question that another thread is working out is waited for. What ended in an error is not
    kept.
    """

    def wrapped(work: Callable[[Q], A]) -> Callable[[Q], A]:
        answers: OrderedDict[Q, Future[A]] = OrderedDict()
        lock = Lock()

        @wraps(work)
        def ask(question: Q) -> A:
            with lock:
                answer = answers.get(question)
                if answer is not None:
                    answers.move_to_end(question)
                else:
                    mine = answers[question] = Future()
                    while len(answers) > most:
                        answers.popitem(last=False)
            if answer is not None:
                return answer.result()
            try:
                mine.set_result(work(question))
            except BaseException as error:
                with lock:
                    answers.pop(question, None)
                mine.set_exception(error)
                raise
            return mine.result()

        return ask

    return wrapped
