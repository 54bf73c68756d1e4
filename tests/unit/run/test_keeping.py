"""What was made last is kept as far as its weight allows."""

from __future__ import annotations

import pytest

from weatherlap.run.keeping import Keeping


def _fill(keeping: Keeping[str, str], names: str, weight: int = 1) -> None:
    for name in names:
        keeping.get(name, name.upper, weight=weight)


def _is_kept(keeping: Keeping[str, str], name: str) -> bool:
    found: list[str] = []
    keeping.get(name, lambda: found.append(name) or name.upper(), weight=1)
    return not found


def test_what_is_kept_is_not_made_again() -> None:
    """A thing asked for twice must be the same thing."""
    keeping: Keeping[str, list[int]] = Keeping(10)
    assert keeping.get("a", list, weight=3) is keeping.get("a", list, weight=3)


def test_what_was_asked_for_longest_ago_goes_first() -> None:
    """Asking for a thing keeps it, and what nobody asks for makes room."""
    keeping: Keeping[str, str] = Keeping(3)
    _fill(keeping, "abcad")
    assert [key for key, _ in keeping.last(9)] == ["d", "a", "c"]
    assert _is_kept(keeping, "a")
    assert not _is_kept(keeping, "b")


def test_heavy_things_leave_less_room() -> None:
    """Of large jobs fewer are kept, but always the last one."""
    keeping: Keeping[str, str] = Keeping(10)
    _fill(keeping, "abcde", weight=4)
    assert [key for key, _ in keeping.last(9)] == ["e", "d"]
    _fill(keeping, "x", weight=99)
    assert [key for key, _ in keeping.last(9)] == ["x"]


def test_the_last_few_are_told_the_last_first() -> None:
    """No more are told than are asked for."""
    keeping: Keeping[str, str] = Keeping(10)
    _fill(keeping, "abc")
    assert keeping.last(2) == [("c", "C"), ("b", "B")]
    assert keeping.last(0) == []


def test_what_cannot_be_made_is_not_kept() -> None:
    """A thing that failed is tried again when it is asked for again."""
    keeping: Keeping[str, str] = Keeping(10)

    def fail() -> str:
        raise ValueError("no")

    with pytest.raises(ValueError, match="no"):
        keeping.get("a", fail, weight=1)
    assert keeping.get("a", lambda: "A", weight=1) == "A"
