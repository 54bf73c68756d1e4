"""The firm's own name and mark, from its settings."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping

from weatherlap.errors import InputError
from weatherlap.papers.leaf import Firm

KEYS = ("name", "address", "phone", "email", "licence", "mark")
LARGEST_MARK = 200_000
_BARRED = re.compile(
    r"<\s*(script|foreignObject|iframe|image|use|style|a)\b|<!DOCTYPE|<!ENTITY|<\?xml-stylesheet"
    r"|\bon[a-z]+\s*=|href\s*=|url\s*\(\s*['\"]?\s*(?!#)|javascript:",
    re.I,
)


def firm_of(own: Mapping[str, str]) -> Firm | None:
    """The firm, from its table ``firm``; None where it has none.

    Raises
    ------
    InputError
        If the table cannot be read, holds no name, or the mark is no plain drawing.
    """
    if "firm" not in own:
        return None
    try:
        data = tomllib.loads(own["firm"])
    except tomllib.TOMLDecodeError as error:
        raise InputError("firm", str(error), "TOML that can be read") from None
    for key, value in data.items():
        if key not in KEYS:
            raise InputError(f"firm: {key}", "no such key", f"one of {', '.join(KEYS)}")
        if not isinstance(value, str):
            raise InputError(f"firm: {key}", f"found {value!r}", "a text")
    if not data.get("name", "").strip():
        raise InputError("firm: name", "it is missing", "the firm's exact legal name")
    address = [t for t in data.get("address", "").splitlines() if t]
    lines = [*address, data.get("phone", ""), data.get("email", "")]
    licence = data.get("licence", "")
    lines += [f"Licence no. {licence}"] if licence else []
    return Firm(
        name=data["name"].strip(),
        lines=tuple(t for t in lines if t),
        mark=checked_mark(data.get("mark", "")),
        address=tuple(address),
    )


def checked_mark(svg: str) -> str:
    """A mark that is a plain drawing: nothing in it runs or is fetched.

    Raises
    ------
    InputError
        If it is too large, no SVG, or holds anything that runs or is fetched.
    """
    text = svg.strip()
    if not text:
        return ""
    if len(text) > LARGEST_MARK:
        raise InputError("firm: mark", f"it has {len(text)} letters", f"at most {LARGEST_MARK}")
    if "<svg" not in text or "viewBox" not in text:
        raise InputError("firm: mark", "it is no SVG with a viewBox", "the text of an SVG file")
    barred = _BARRED.search(text)
    if barred:
        found = f"it holds {barred[0].strip()[:30]!r}"
        raise InputError("firm: mark", found, "a plain drawing of shapes, without links or scripts")
    return text
