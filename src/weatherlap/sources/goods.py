"""What the counters sell: lengths, coils, sheets, rolls and packs, and how each thing is fixed.

The tool's own table has invented prices (M-302); a firm's own copy takes its place.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, fields
from enum import StrEnum
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any, TypeVar

from weatherlap.errors import InputError
from weatherlap.sources.catalogue import catalogue
from weatherlap.sources.register import sources

_FIT_IN = 0.01


class Form(StrEnum):
    """How a thing is sold, which says how it is cut."""

    BAR = "bar"
    COIL = "coil"
    SHEET = "sheet"
    ROLL = "roll"
    EACH = "each"


class Per(StrEnum):
    """What one of a pack is counted by."""

    PIECE = "piece"
    COURSE = "course"
    BEAD = "bead"
    AREA = "area"
    VOLUME = "volume"


class By(StrEnum):
    """How it is counted what holds, seals or paints a thing."""

    EDGES = "edges"
    RUN = "run"
    AREA = "area"
    PIECE = "piece"
    ENDS = "ends"
    SEAMS = "seams"
    FACE = "face"


class Counter(StrEnum):
    """Where in the shops it is bought, in the order of the buy list."""

    LUMBER = "lumber"
    MASONRY = "masonry"
    MILLWORK = "millwork"
    ROOFING = "roofing"
    SIDING = "siding"
    METAL = "metal"
    HARDWARE = "hardware"
    PAINT = "paint"


class CutBy(StrEnum):
    """What cuts a bar."""

    SAW = "saw"
    SHEAR = "shear"


@dataclass(frozen=True, slots=True)
class Good:
    """One thing that is sold. [in, US$, lb]

    ``usd`` and ``lb`` are those of a sold unit, of a bar those of a foot; ``usd_invented`` says
    whether the price is the tool's own. ``gives`` is what one of ``pack`` gives, by ``per``.
    """

    id: str
    name: str
    form: Form
    counter: Counter
    unit: str
    material: str
    usd: float
    usd_invented: bool
    lb: float
    makes: tuple[str, ...] = ()
    thickness_in: float = 0.0
    width_in: float = 0.0
    length_in: float = 0.0
    lengths_in: tuple[float, ...] = ()
    joint_in: float = 0.0
    course_lap_in: float = 0.0
    end_lap_in: float = 1.0
    per: Per = Per.PIECE
    gives: float = 1.0
    pack: int = 1
    cut: CutBy = CutBy.SAW
    turns: bool = False
    across: bool = False
    rack: bool = False
    spare: int = 0
    spare_share: float = 0.0
    source_keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Use:
    """How entries of the catalogue are fixed, sealed or painted. [in, in2]

    ``every`` is a spacing (of an area: what one serves; of ends: a bead, or how many coats; of a
    face: how many coats), ``field`` that between edges, on supports ``supports`` apart;
    ``number`` how many a piece takes; ``only`` the material of the goods that it is for;
    ``unless_framed``: not where the framing records say how the piece is fastened.
    """

    of: tuple[str, ...]
    good: str
    by: By
    why: str
    every: float = 0.0
    field: float = 0.0
    supports: float = 16.0
    number: int = 0
    only: str = ""
    unless_framed: bool = False
    source_keys: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Goods:
    """All goods by their names, and how things are fixed."""

    good: Mapping[str, Good]
    use: tuple[Use, ...]

    def named(self, name: str, *, where: str) -> Good:
        """The good of a name.

        Raises
        ------
        InputError
            If there is none.
        """
        if name not in self.good:
            near = [one for one in self.good if name.split("-")[0] in one][:4]
            do = f"Is it one of {', '.join(near)}?" if near else "The shop page lists them all."
            raise InputError(where, f"good = {name!r}", "a good of the catalogue of goods", do)
        return self.good[name]

    def for_entry(self, entry: str, *, width_in: float) -> Good | None:
        """The narrowest good that makes an entry and is wide enough, else the widest."""
        own = [g for g in self.good.values() if entry in g.makes]
        if not own:
            return None
        wide = [g for g in own if g.width_in >= width_in - _FIT_IN or g.width_in == 0]
        if wide:
            return min(wide, key=lambda g: g.width_in)
        return max(own, key=lambda g: g.width_in)

    def uses_of(self, entry: str) -> tuple[Use, ...]:
        """How an entry is fixed."""
        return tuple(u for u in self.use if entry in u.of)


@cache
def own_goods() -> Goods:
    """The goods that come with the tool.

    Sources
    -------
    M-301, M-302, M-303 : sizes and packs, prices (invented), weights.
    """
    place = files("weatherlap.sources") / "data" / "catalogue_goods.toml"
    return read_goods(place.read_text("utf-8"))


@lru_cache(maxsize=8)
def read_goods(text: str) -> Goods:
    """Goods from the text of a TOML file with tables ``good`` and ``use``.

    Raises
    ------
    InputError
        If the text is not TOML, or a key is unknown, missing or cannot be.
    """
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError("catalogue", str(error), "a TOML file") from None
    wrong = sorted(set(tables) - {"good", "use"})
    if wrong:
        raise InputError("catalogue", f"a table {wrong[0]!r}", "the tables [good.*] and [[use]]")
    rows = tables.get("good", {})
    if not isinstance(rows, dict) or not rows:
        raise InputError("catalogue", "no goods", "a table [good.<name>] for each thing sold")
    good = {name: _good(name, row) for name, row in rows.items()}
    use = tuple(_use(n, row, good) for n, row in enumerate(tables.get("use", []), start=1))
    return Goods(good, use)


_SIZES = {
    Form.BAR: ("lengths_in",),
    Form.COIL: ("width_in", "length_in"),
    Form.SHEET: ("width_in", "length_in"),
    Form.ROLL: ("width_in", "length_in"),
    Form.EACH: ("gives", "pack"),
}
_PRICES = ("usd", "invented_usd", "usd_per_ft", "invented_usd_per_ft")
_PLAIN = {f.name for f in fields(Good)} - {"id", "usd", "usd_invented", "lb"}
_NUMBERS = (
    "thickness_in", "width_in", "length_in", "joint_in", "course_lap_in", "end_lap_in", "gives",
    "spare_share",
)  # fmt: skip


def _good(name: str, row: Any) -> Good:
    where = f"catalogue, [good.{name}]"
    if not isinstance(row, dict):
        raise InputError(where, f"{row!r}", "a table")
    wrong = sorted(set(row) - _PLAIN - {*_PRICES, "lb", "lb_per_ft"})
    if wrong:
        raise InputError(where, f"a key {wrong[0]!r}", f"keys {', '.join(sorted(_PLAIN))}")
    form = _choice(where, row, "form", Form)
    for key in ("name", "unit", "material", *_SIZES[form]):
        if key not in row:
            raise InputError(where, f"no `{key}`", f"`{key}`, as a {form.value} needs it")
    per_ft = "_per_ft" if form is Form.BAR else ""
    priced = f"usd{per_ft}" in row
    price_key = f"usd{per_ft}" if priced else f"invented_usd{per_ft}"
    return Good(
        id=name,
        name=str(row["name"]),
        form=form,
        counter=_choice(where, row, "counter", Counter),
        unit=str(row["unit"]),
        material=str(row["material"]),
        usd=_number(where, row, price_key, most=1e5),
        usd_invented=not priced,
        lb=_number(where, row, f"lb{per_ft}", most=1e5),
        makes=tuple(_entry(where, one) for one in row.get("makes", [])),
        lengths_in=tuple(_long(where, one) for one in row.get("lengths_in", [])),
        per=_choice(where, row, "per", Per) if "per" in row else Per.PIECE,
        pack=_whole(where, row, "pack", least=1) if "pack" in row else 1,
        cut=_choice(where, row, "cut", CutBy) if "cut" in row else CutBy.SAW,
        turns=row.get("turns", False) is True,
        across=row.get("across", False) is True,
        rack=row.get("rack", False) is True,
        spare=_whole(where, row, "spare", least=0) if "spare" in row else 0,
        source_keys=_keys(where, row),
        **{key: _number(where, row, key) for key in _NUMBERS if key in row},
    )


def _use(number: int, row: Any, good: Mapping[str, Good]) -> Use:
    where = f"catalogue, use {number}"
    if not isinstance(row, dict) or not isinstance(row.get("of"), list):
        raise InputError(where, f"{row!r}"[:80], "a table with `of`, a list of entries")
    wrong = sorted(set(row) - {f.name for f in fields(Use)})
    if wrong:
        raise InputError(where, f"a key {wrong[0]!r}", "of, good, by, every, field, supports")
    by, name = _choice(where, row, "by", By), str(row.get("good"))
    if name not in good:
        raise InputError(where, f"good = {name!r}", "a good of this file")
    least = {By.PIECE: "number", By.SEAMS: "good"}.get(by, "every")
    if least not in row:
        raise InputError(where, f"no `{least}`", f"`{least}`, as {by.value!r} needs it")
    return Use(
        of=tuple(_entry(where, one) for one in row["of"]),
        good=name,
        by=by,
        why=str(row.get("why", "")),
        only=str(row.get("only", "")),
        unless_framed=row.get("unless_framed", False) is True,
        number=_whole(where, row, "number", least=1) if "number" in row else 0,
        source_keys=_keys(where, row),
        **{
            key: _number(where, row, key, least=0.1)
            for key in ("every", "field", "supports")
            if key in row
        },
    )


Choice = TypeVar("Choice", bound=StrEnum)


def _choice(where: str, row: dict[str, Any], key: str, kind: type[Choice]) -> Choice:
    try:
        return kind(row.get(key, ""))
    except ValueError:
        want = f"one of {', '.join(kind)}"
        raise InputError(where, f"{key} = {row.get(key)!r}", want) from None


def _entry(where: str, name: object) -> str:
    if not isinstance(name, str) or name not in catalogue():
        raise InputError(where, f"the entry {name!r}", "an entry of the catalogue of pieces")
    return name


def _keys(where: str, row: dict[str, Any]) -> tuple[str, ...]:
    """Keys of the register; a firm's own table needs none."""
    keys = tuple(str(one) for one in row.get("source_keys", []))
    for key in keys:
        if key not in sources():
            raise InputError(where, f"the source {key!r}", "a key of the register of sources")
    return keys


def _long(where: str, value: object) -> float:
    return _number(where, {"lengths_in": value}, "lengths_in", least=1.0, most=3600.0)


def _number(
    where: str, row: Mapping[str, Any], key: str, *, least: float = 0.0, most: float = 1e6
) -> float:
    value = row.get(key)
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not (is_number and least <= float(value or 0) <= most):
        raise InputError(where, f"{key} = {value!r}", f"{key}, a number of {least:g} to {most:g}")
    return float(value or 0)


def _whole(where: str, row: Mapping[str, Any], key: str, *, least: int) -> int:
    value = row.get(key)
    if not isinstance(value, int) or isinstance(value, bool) or not least <= value <= 100_000:
        raise InputError(where, f"{key} = {value!r}", f"{key}, a whole number from {least}")
    return value
