"""The schema for editors and the reference page."""

from __future__ import annotations

import copy
import tomllib
from typing import Any

import jsonschema
import pytest

from weatherlap.job.schema import DIALECT, catalogue_page, job_schema, reference_page
from weatherlap.job.tables import tables
from weatherlap.sources.catalogue import catalogue

JOB: dict[str, Any] = tomllib.loads(
    """
[job]
title = "x"
[site]
rain_design = "4 in/h"
airfield_index = { "180" = 350 }
[[face]]
id = "wall"
tilt = 90
origin = [0, "1 ft", -3.5]
width = "8'"
height = 96
[[piece]]
id = "p"
what = "osb"
sealed = ["top"]
gutter = { line = [[0, 0, 0], [9, 0, 0]] }
on = [{ face = "wall", rect = [0, 0, "½ in", 96], trough = { line = [[0, 0], [9, "1/2"]] } }]
[[reading]]
face = "wall"
at = [1, 2]
percent = 20
"""
)
CHECK = jsonschema.Draft202012Validator(job_schema())


def test_the_schema_is_a_schema() -> None:
    """The schema must be valid itself, in the 2020-12 dialect."""
    schema = job_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == DIALECT


def test_the_schema_takes_a_good_job() -> None:
    """A job with lengths as numbers and as text must pass."""
    assert list(CHECK.iter_errors(JOB)) == []


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("job", "titel"), "x"),
        (("job", "title"), ""),
        (("site", "rain_design"), 4),
        (("site", "terrain"), "moor"),
        (("face", 0, "tilt"), "90"),
        (("face", 0, "tilt"), 200),
        (("face", 0, "width"), -8),
        (("face", 0, "width"), "wide"),
        (("face", 0, "width"), True),
        (("face", 0, "origin"), [0, 0]),
        (("face", 0, "origin"), [0, 0, 70000]),
        (("piece", 0, "id"), "a b"),
        (("piece", 0, "sealed"), ["side"]),
        (("piece", 0, "drip"), "yes"),
        (("piece", 0, "on", 0, "rect"), [0, 0, 9]),
        (("piece", 0, "on", 0, "trough", "closed"), ["left"]),
        (("reading", 0, "percent"), 120),
        (("roof",), {}),
        (("face",), []),
    ],
)
def test_the_schema_refuses_what_reading_refuses(path: tuple[str | int, ...], value: Any) -> None:
    """A wrong key or value must fail in the editor as it does in the program."""
    bad = copy.deepcopy(JOB)
    at: Any = bad
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] = value
    assert not CHECK.is_valid(bad)


def test_the_schema_has_no_null() -> None:
    """TOML has no null, so the schema must not offer it."""
    assert "null" not in str(job_schema()).replace("None", "null")


def test_every_key_is_explained() -> None:
    """Every table and every key must say what it means, in the records and on the page."""
    page = reference_page()
    for table in tables().values():
        assert table.record.__doc__
        for name, info in table.fields.items():
            assert info.description, f"{table.names} {name}"
            if table.names:
                assert f"| `{name}` |" in page
                assert info.description.replace("|", "\\|") in page


def test_every_table_is_on_the_page() -> None:
    """Repeated tables must be shown in double brackets, the others in single ones."""
    page = reference_page()
    for head in ("[job]", "[[face]]", "[[piece]]", "[[piece.on]]", "[piece.on.trough]",
                 "[piece.gutter]", "[[suspect]]", "[suspect.leak]"):  # fmt: skip
        assert f"## `{head}`" in page


@pytest.mark.parametrize(
    "row",
    [
        '| `rect` | 4 lengths |  | [left, bottom, right, top] in the face\'s own plane |',
        '| `width` | length | `5"` | Across its top |',
        "| `line` | 2 places in space | required | Its two ends in space, each [east, north, up] |",
        '| `sealed` | list: `"top"` or `"bottom"` |  | Edges closed with tape or sealant |',
        "| `tilt` | number | required |",
        "| `drip` | `true` or `false` | `false` |",
        '| `rain_design` | rain |  |',
    ],
)  # fmt: skip
def test_the_page_says_what_a_key_takes(row: str) -> None:
    """The page must tell lengths, places, choices and defaults apart."""
    assert row in reference_page()


def test_the_catalogue_page_has_every_entry() -> None:
    """Every entry of the catalogue must be on its page."""
    page = catalogue_page()
    assert all(f"| `{key}` | {e.name} | {e.sheet} |" in page for key, e in catalogue().items())
