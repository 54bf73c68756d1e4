"""The crew's own tables: brakes and metals, read from text; the ones that come with the tool."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import TypeVar

from weatherlap.errors import InputError
from weatherlap.metal.brake import Brake
from weatherlap.metal.model import Metal

DEFAULT_BRAKE = "example"

_T = TypeVar("_T", Brake, Metal)


def read_brakes(text: str) -> dict[str, Brake]:
    """Brakes from the text of a TOML file: one table a brake, sizes named as in `Brake`.

    Raises
    ------
    InputError
        If the text is not TOML, a size is missing, unknown or cannot be.
    """
    return {key: _record(Brake, key, row) for key, row in _rows("brakes", text)}


def read_metals(text: str) -> dict[str, Metal]:
    """Metals from the text of a TOML file: one table a metal, sizes named as in `Metal`.

    Raises
    ------
    InputError
        If the text is not TOML, a size is missing, unknown or cannot be.
    """
    return {key: _record(Metal, key, row) for key, row in _rows("metals", text)}


@cache
def brakes() -> dict[str, Brake]:
    """The brakes that come with the tool: one, invented and marked so."""
    return read_brakes(_own("brakes"))


@cache
def metals() -> dict[str, Metal]:
    """The metals that come with the tool."""
    return read_metals(_own("metals"))


def _own(name: str) -> str:
    return (files("weatherlap.metal") / "data" / f"{name}.toml").read_text("utf-8")


def _rows(where: str, text: str) -> list[tuple[str, dict[str, object]]]:
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError(where, str(error), "a TOML file") from None
    wrong = [key for key, row in tables.items() if not isinstance(row, dict)]
    if wrong:
        raise InputError(
            where, f"{wrong[0]!r} outside a table", f"tables such as [my-{where[:-1]}]"
        )
    return list(tables.items())


def _record(kind: type[_T], key: str, row: dict[str, object]) -> _T:
    """A record from a row, each field by its name."""
    values = {k: tuple(v) if isinstance(v, list) else v for k, v in row.items()}
    try:
        return kind(**values)  # type: ignore[arg-type]
    except TypeError as error:
        words = str(error).split("() ", 1)[-1]
        raise InputError(f"[{key}]", words, f"the fields of {kind.__name__}") from None
