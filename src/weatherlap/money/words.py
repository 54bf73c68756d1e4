"""The firm's words on its papers: a plain table of texts with names to be filled in."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from importlib.resources import files

from weatherlap.errors import InputError

FIELDS = (
    "firm", "client", "place", "price", "days", "cancel_by", "cancel_days", "warranty_years",
    "offer_days",
)  # fmt: skip
LONGEST = 4000
_FIELD = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class FirmWords:
    """The texts by their names."""

    texts: Mapping[str, str]

    def said(self, name: str, filled: Mapping[str, str]) -> str:
        """A text with its names filled in."""
        return _FIELD.sub(lambda found: filled[found[1]], self.texts[name])


@cache
def invented_words() -> FirmWords:
    """The texts that come with the program."""
    return FirmWords(_read((files("weatherlap.money") / "data" / "words.toml").read_text("utf-8")))


def read_words(text: str) -> FirmWords:
    """The texts of a firm; those that it leaves out are the ones that come with the program.

    Raises
    ------
    InputError
        If a name is not known, a text is none or too long, or a brace holds no known name.
    """
    shipped, own = invented_words().texts, _read(text)
    for name in own:
        if name not in shipped:
            near = get_close_matches(name, shipped, n=1)
            do = f"Did you mean {near[0]!r}?" if near else ""
            raise InputError(f"words: {name}", "no such text", f"one of {', '.join(shipped)}", do)
    return FirmWords({**shipped, **own})


def _read(text: str) -> dict[str, str]:
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("words", str(error), "TOML that can be read") from None
    for name, value in data.items():
        if not isinstance(value, str) or not value.strip() or len(value) > LONGEST:
            raise InputError(f"words: {name}", f"found {str(value)[:40]!r}", "a text")
        for field in _FIELD.findall(value):
            if field not in FIELDS:
                found = f"{{{field}}} cannot be filled in"
                raise InputError(f"words: {name}", found, f"one of {', '.join(FIELDS)}")
    return {str(k): str(v) for k, v in data.items()}
