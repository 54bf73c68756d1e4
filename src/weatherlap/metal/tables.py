"""The crew's own tables: brakes and metals, read from text; the ones that come with the tool."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib.resources import files
from typing import TypeVar

from weatherlap.errors import InputError
from weatherlap.metal.bending import k_from_strip
from weatherlap.metal.brake import Brake
from weatherlap.metal.model import Metal, checked

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

    In place of `k_factor` a metal may have a `test_strip`, from which K is solved back.

    Raises
    ------
    InputError
        If the text is not TOML, a size is missing, unknown or cannot be.
    """
    return {key: _record(Metal, key, _with_k(key, row)) for key, row in _rows("metals", text)}


@cache
def brakes() -> dict[str, Brake]:
    """The brakes that come with the tool: one, invented and marked so."""
    return read_brakes(_own("brakes"))


@cache
def metals() -> dict[str, Metal]:
    """The metals that come with the tool."""
    return read_metals(_own("metals"))


def _with_k(key: str, row: dict[str, object]) -> dict[str, object]:
    """The row with K from its test strip, where it has one."""
    if "test_strip" not in row:
        return row
    where, strip = f"[{key}] test_strip", row["test_strip"]
    want = "{ flat_in = 12.0, legs_in = [6.01, 6.02], angle_deg = 90 }"
    if "k_factor" in row:
        raise InputError(where, "`k_factor` is given too", "one of the two")
    if not isinstance(strip, dict) or strip.keys() != {"flat_in", "legs_in", "angle_deg"}:
        raise InputError(where, f"{strip!r}"[:80], want)
    legs = strip["legs_in"]
    legs = legs if isinstance(legs, list) else [legs]
    flat, angle, *sizes = (
        checked(where, x, least=0.001, most=1000.0)
        for x in (strip["flat_in"], strip["angle_deg"], row.get("thickness_in"), *legs)
    )
    radius = checked(where, row.get("radius_in", 0.0), least=0.0, most=12.0)  # type: ignore[arg-type]
    checked(f"{where}, angle_deg", angle, least=10.0, most=170.0, unit="degrees")
    k = k_from_strip(
        flat, legs_in=sizes[1:], angle_deg=angle, radius_in=radius, thickness_in=sizes[0]
    )
    rest = {name: value for name, value in row.items() if name != "test_strip"}
    return {**rest, "k_factor": k}


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
