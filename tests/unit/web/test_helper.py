"""Work in a process of its own: what it gives, what it says, what goes wrong."""

from __future__ import annotations

import importlib
import os
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

from weatherlap.errors import InputError, JobError, NoSolution, Problem
from weatherlap.web.clerk import Clerk
from weatherlap.web.helper import Helper, HelperGone

WORKS = """
import os, time
from concurrent.futures import ThreadPoolExecutor
from weatherlap.errors import InputError, JobError, NoSolution, Problem

def counts(say):
    say("one")
    print("this is no answer")
    say("two")
    return os.getpid(), bytes(3_000_000)

def says_from_many_threads(say):
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(say, [str(n) * 2000 for n in range(400)]))
    return 7

def no_plan(say):
    raise NoSolution("no shore stands there")

def no_value(say):
    raise InputError("face", "none", "a face", "Name one.", key=("face", 0))

def no_job(say):
    raise JobError([Problem("a", "b", "c", file="x.toml", line=3), Problem("d", "e", "f")])

def breaks(say):
    return {}["key"]

def cannot_be_told(say):
    raise ValueError(lambda: 0)

def gives_what_cannot_be_told(say):
    return lambda: 0

def dies(say):
    os._exit(9)

def lasts(say):
    say("begun")
    time.sleep(600)
"""


@pytest.fixture
def works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """Works that both processes can load."""
    (tmp_path / "helperworks.py").write_text(WORKS, "utf-8")
    ways = [str(tmp_path), *filter(None, [os.environ.get("PYTHONPATH")])]
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(ways))
    monkeypatch.syspath_prepend(str(tmp_path))
    return importlib.import_module("helperworks")


@pytest.fixture
def helper() -> Iterator[Helper]:
    """A helper that is let go of at the end."""
    made = Helper()
    yield made
    made.close()


def _until(holds: Callable[[], bool], within_s: float = 60.0) -> bool:
    end = time.monotonic() + within_s
    while not holds() and time.monotonic() < end:
        time.sleep(0.02)
    return holds()


def test_work_is_done_in_one_other_process(works: ModuleType, helper: Helper) -> None:
    """Its steps are said in turn, what it prints is no answer, and the process stays."""
    said: list[str] = []
    first, much = helper(works.counts, said.append)
    second, _ = helper(works.counts, said.append)
    assert said == ["one", "two", "one", "two"]
    assert first == second != os.getpid()
    assert much == bytes(3_000_000)


def test_steps_said_by_many_threads_come_whole(works: ModuleType, helper: Helper) -> None:
    """Papers that are made beside each other must not break into each other's words."""
    said: list[str] = []
    assert helper(works.says_from_many_threads, said.append) == 7
    assert sorted(said) == sorted(str(n) * 2000 for n in range(400))


@pytest.mark.parametrize(
    ("name", "kind", "words"),
    [
        ("no_plan", NoSolution, "no shore stands there"),
        ("no_value", InputError, "face: none; expected a face. Name one."),
        ("no_job", JobError, "x.toml:3: a: b; expected c."),
        ("breaks", KeyError, "key"),
        ("cannot_be_told", RuntimeError, "ValueError"),
        ("gives_what_cannot_be_told", Exception, "lambda"),
    ],
)
def test_an_error_is_told_as_it_was(
    works: ModuleType, helper: Helper, name: str, kind: type[Exception], words: str
) -> None:
    """What stopped the work must be raised here as there, and the next work goes on."""
    with pytest.raises(kind, match=words):
        helper(getattr(works, name), print)
    assert helper(works.counts, print)[0] != os.getpid()


def test_an_error_keeps_what_it_carries(works: ModuleType, helper: Helper) -> None:
    """Every problem with its place must come over."""
    with pytest.raises(JobError) as many:
        helper(works.no_job, print)
    told = [(p.where, p.file, p.line) for p in many.value.problems]
    assert told == [("a", "x.toml", 3), ("d", "", 0)]
    with pytest.raises(InputError) as one:
        helper(works.no_value, print)
    assert one.value.problems == (Problem("face", "none", "a face", "Name one.", key=("face", 0)),)


def test_a_helper_that_dies_is_said_and_another_begins(works: ModuleType) -> None:
    """Killed for want of memory, it must not take the next question with it."""
    clerk = Clerk(hand=Helper())
    try:
        lost = clerk.ask(("a",), works.dies)
        assert lost.done.wait(60)
        with pytest.raises(HelperGone, match="Ask once more"):
            lost.result()
        again: Any = clerk.ask(("a",), works.counts)
        assert again.done.wait(60)
        assert again.result()[0] != os.getpid()
    finally:
        clerk.close()


def test_closing_ends_work_that_lasts(works: ModuleType) -> None:
    """Who stops the app must not wait for a plan that is being worked out."""
    helper = Helper()
    clerk = Clerk(hand=helper)
    order = clerk.ask(("a",), works.lasts)
    assert _until(lambda: order.said == ["begun"])
    child = helper._child
    clerk.close()
    assert child is not None and child.poll() is not None
    assert order.done.wait(60) and isinstance(order.fault, HelperGone)


def test_without_work_it_ends(works: ModuleType) -> None:
    """The memory of large packages must be given back, and the next work begins anew."""
    helper = Helper(idle_s=0.2)
    try:
        first, _ = helper(works.counts, print)
        assert _until(lambda: helper._child is None)
        assert helper(works.counts, print)[0] != first
    finally:
        helper.close()


def test_it_ends_with_the_one_who_asks(works: ModuleType, helper: Helper) -> None:
    """An app that is killed must leave no process behind."""
    helper(works.counts, print)
    child = helper._child
    assert child is not None and child.stdin is not None
    child.stdin.close()
    assert child.wait(60) == 0
