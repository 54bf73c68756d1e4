"""A detail: a ready corner with a few dimensions, the right way and as usually found wrong."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from textwrap import wrap

from weatherlap.building.details.parts import Drawn, sixteenth
from weatherlap.errors import InputError
from weatherlap.job.model import About, CutLine, FaceRecord, Job, PieceRecord
from weatherlap.job.writing import plain_row, table_text
from weatherlap.units import UnitError, parse_length, tape

RIGHT = "right"
COMMENT_WIDTH = 96

Sizes = Mapping[str, float]
Build = Callable[[Sizes, str], Sequence[Drawn]]


@dataclass(frozen=True, slots=True)
class Dimension:
    """A size of a detail that the user gives, in inches, and the range in which it is drawn."""

    name: str
    default_in: float
    least_in: float
    most_in: float
    words: str


@dataclass(frozen=True, slots=True)
class Variant:
    """One way in which a detail is built: its name and what the carpenter sees of it."""

    id: str
    title: str
    sees: str


@dataclass(frozen=True, slots=True)
class Detail:
    """A ready corner; ``variants`` begin with the right one, ``draw`` makes the records."""

    id: str
    title: str
    use: str
    dimensions: tuple[Dimension, ...]
    variants: tuple[Variant, ...]
    draw: Build

    def sizes(self, dimensions: Mapping[str, float | str] | None = None) -> dict[str, float]:
        """Every dimension of the detail, those not given at their default. [in]

        Parameters
        ----------
        dimensions : mapping
            Sizes by name: inches, or text as a tape reads. [in]

        Raises
        ------
        InputError
            If a name is unknown, or a size is no length or outside its range.
        """
        given = dict(dimensions or {})
        known = {d.name: d for d in self.dimensions}
        for name in given:
            if name not in known:
                raise _unknown(f"detail {self.id!r}", "dimension", name, list(known))
        return {
            d.name: _size(self.id, d, given[d.name]) if d.name in given else float(d.default_in)
            for d in self.dimensions
        }

    def variant(self, variant: str = RIGHT) -> Variant:
        """The variant of an id.

        Raises
        ------
        InputError
            If the detail has none of that id.
        """
        for known in self.variants:
            if known.id == variant:
                return known
        names = [v.id for v in self.variants]
        raise _unknown(f"detail {self.id!r}", "variant", variant, names)

    def drawn(
        self, dimensions: Mapping[str, float | str] | None = None, variant: str = RIGHT
    ) -> tuple[Drawn, ...]:
        """The records of the corner with a comment each, faces first, then pieces, then cuts."""
        lines = self.draw(self.sizes(dimensions), self.variant(variant).id)
        return tuple(sorted(lines, key=lambda line: _TABLES.index(_table(line))))

    def job(self, dimensions: Mapping[str, float | str] | None = None, variant: str = RIGHT) -> Job:
        """The corner as a job.

        Parameters
        ----------
        dimensions : mapping
            Sizes by name: inches, or text as a tape reads; the rest at their default. [in]
        variant : str
            "right", or one of the ways in which it is found wrong.

        Raises
        ------
        InputError
            If there is no such dimension or variant, or a size is outside its range.
        """
        records = [line.record for line in self.drawn(dimensions, variant)]
        return Job(
            job=self._about(self.variant(variant)),
            face=tuple(r for r in records if isinstance(r, FaceRecord)),
            piece=tuple(r for r in records if isinstance(r, PieceRecord)),
            cut=tuple(r for r in records if isinstance(r, CutLine)),
        )

    def toml(
        self, dimensions: Mapping[str, float | str] | None = None, variant: str = RIGHT
    ) -> str:
        """The corner as a commented job file, which reads back as the same job.

        Takes the same as ``job`` and raises the same.
        """
        about = self._about(self.variant(variant))
        blocks = [self._head(self.sizes(dimensions), self.variant(variant))]
        blocks.append(table_text("[job]", plain_row(about)))
        before = ""
        for line in self.drawn(dimensions, variant):
            name = _table(line)
            comments = [_SAYS[name]] if name != before else []
            comments += [line.comment] if line.comment else []
            before = name
            text = "".join(f"{row}\n" for c in comments for row in comment_rows(c))
            blocks.append(text + table_text(f"[[{name}]]", plain_row(line.record)))
        return "\n".join(blocks)

    def _about(self, variant: Variant) -> About:
        if variant.id == RIGHT:
            return About(title=self.title, notes=self.use)
        title = f"{self.title}: {variant.title[:1].lower()}{variant.title[1:]}"
        return About(title=title, symptom=variant.sees, notes=self.use)

    def _head(self, sizes: Sizes, variant: Variant) -> str:
        """The comment on top of the file."""
        rows = [*comment_rows(f"{self.title}. {self.use}")]
        rows += comment_rows(f"{variant.title}: {variant.sees}")
        rows.append("#")
        rows += [f"#   {d.name} = {tape(sizes[d.name])}, {d.words}" for d in self.dimensions]
        return "\n".join([*rows, ""])


_TABLES = ("face", "piece", "cut")
_SAYS = {
    "face": "The faces: origin is the lower left corner, seen from outside, as [east, north, up].",
    "piece": "The pieces in the order of laying, the innermost first. A rect is [left, bottom, "
    "right, top] on its face.",
    "cut": "Where a section is drawn.",
}


def comment_rows(text: str) -> list[str]:
    """A text as comment lines of a job file."""
    return wrap(text, COMMENT_WIDTH, initial_indent="# ", subsequent_indent="# ")


def _table(line: Drawn) -> str:
    if isinstance(line.record, FaceRecord):
        return "face"
    return "piece" if isinstance(line.record, PieceRecord) else "cut"


def _size(detail: str, dimension: Dimension, value: float | str) -> float:
    """A size that was given, to the sixteenth. [in]"""
    where = f"detail {detail!r}, {dimension.name}"
    want = f"{tape(dimension.least_in)} to {tape(dimension.most_in)} ({dimension.words})"
    try:
        size = parse_length(value)
    except UnitError as error:
        raise InputError(where, error.found, want) from None
    if not dimension.least_in <= size <= dimension.most_in:
        raise InputError(where, f"found {tape(size)}", want)
    return sixteenth(size)


def _unknown(where: str, kind: str, name: str, known: list[str]) -> InputError:
    close = get_close_matches(name, known, n=1)
    do = f"Did you mean {close[0]!r}?" if close else ""
    return InputError(where, f"there is no {kind} {name!r}", f"one of {', '.join(known)}", do)
