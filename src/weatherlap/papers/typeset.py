"""Typesetting: a template and its data to a PDF, the same bytes for the same input."""

from __future__ import annotations

import datetime
import json
import re
from collections.abc import Mapping
from functools import cache
from importlib.resources import as_file, files
from typing import Any

import typst

LONGEST_RUN = 24
_LONG_RUN = re.compile(rf"(\S{{{LONGEST_RUN}}})(?=\S)")
_NOT_PRINTED = re.compile("[\x00-\x08\x0b-\x1f\x7f\u2028\u2029\ufeff]")
NO_DAY = datetime.datetime(2000, 1, 1, 12, tzinfo=datetime.UTC)
"""The day of papers whose job names none."""


def typeset(
    template: str,
    data: Mapping[str, Any],
    *,
    drawings: Mapping[str, str] | None = None,
    stamp: datetime.datetime = NO_DAY,
) -> bytes:
    """The PDF of a template with its data.

    Text in the data is only ever set as text; nothing in it is taken for a command.

    Parameters
    ----------
    template : str
        Name of a template, without its ending.
    data : mapping
        What the template shows, as JSON can hold it.
    drawings : mapping
        SVG texts by the file name that the data gives them.
    stamp : datetime
        Time that the PDF says it was made at.
    """
    folder = files("weatherlap.papers")
    sources = {
        "main": (folder / "templates" / f"{template}.typ").read_bytes(),
        "sheet.typ": (folder / "templates" / "sheet.typ").read_bytes(),
        "data.json": json.dumps(_plain(data), ensure_ascii=False).encode("utf-8"),
    }
    sources |= {name: svg.encode("utf-8") for name, svg in (drawings or {}).items()}
    compiler: Any = typst  # its types leave out several files at once
    pdf = compiler.compile(sources, format="pdf", font_paths=_fonts(), timestamp=stamp)
    assert isinstance(pdf, bytes)
    return pdf


@cache
def _fonts() -> typst.Fonts:
    """Our own fonts and no others, loaded once."""
    with as_file(files("weatherlap.papers") / "fonts") as folder:
        return typst.Fonts(include_system_fonts=False, font_paths=[str(folder)])


def _plain(value: Any) -> Any:
    """Data whose texts hold no control signs and no runs too long to break."""
    if isinstance(value, str):
        return _LONG_RUN.sub("\\1\u200b", _NOT_PRINTED.sub("", value))
    if isinstance(value, Mapping):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    return value
