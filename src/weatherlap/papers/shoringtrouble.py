"""A leaf that says why the framing cannot be worked out, with the members in heavy line."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

from pydantic import ValidationError

from weatherlap.drawings.stages import trouble_drawing
from weatherlap.job.model import About
from weatherlap.papers.binder import Bound
from weatherlap.papers.cautions import Caution
from weatherlap.papers.leaf import Block, Box, Drawn, Leaf, Part
from weatherlap.run.framingdrawn import readable_members
from weatherlap.structure.model import Member

KIND = "Shoring"
WIDE_IN = 5.5
STANDING = (
    Caution("Holding up", "Nothing is lifted or cut before this is worked out. Local code and "
            "licensed practice decide.", "S-061"),
)  # fmt: skip
_QUOTED = re.compile(r"(?<!\w)'([^'\s]+)'")
_NUMBER = re.compile(r"-[0-9]+$")


def trouble(about: About, members: tuple[Member, ...], said: str) -> Bound:
    """The leaf of what was said, the members that it names drawn in heavy line."""
    blocks: list[Block] = [Box("This cannot be worked out", tuple(said.splitlines()))]
    if members:
        svg = trouble_drawing(members, named_in(said, (m.id for m in members)), said)
        blocks.append(Drawn("shoring-trouble", "Where it is", svg, WIDE_IN))
    leaf = Leaf(
        "shoring", KIND, about.title, about,
        ("The framing could not be worked out as it stands in the job file.",),
        (Part("What is wrong", tuple(blocks)),), STANDING,
    )  # fmt: skip
    files = {f"{d.name}.svg": d.svg.encode("utf-8") for d in leaf.drawings()}
    return Bound((leaf,), {"ok": False, "problems": said.splitlines()}, files)


def trouble_of_file(data: Mapping[str, Any], said: str) -> Bound | None:
    """The same for a file whose framing has mistakes; None where none of them is in its members."""
    members = readable_members(data)
    if not named_in(said, (m.id for m in members)):
        return None
    try:
        about = About.model_validate(data.get("job", {}))
    except ValidationError:
        about = About(title="Framing")
    return trouble(about, members, said)


def named_in(said: str, names: Iterable[str]) -> frozenset[str]:
    """Ids of members that sentences name in quotes: alone, by row, in a joint or a support."""
    quoted = {part for word in _QUOTED.findall(said) for part in word.split("-on-")}
    quoted |= {word.removesuffix("-new") for word in quoted}
    return frozenset(
        name for name in names
        if name in quoted or _NUMBER.sub("", name) in quoted
        or any(word.endswith((f"-{name}", f"-{name}-new")) for word in quoted)
    )  # fmt: skip
