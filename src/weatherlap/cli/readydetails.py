"""Ready details on the terminal: the list, one of them, and a new job from one."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from weatherlap.building.details.model import Detail
from weatherlap.building.details.shelf import detail, details
from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside
from weatherlap.errors import InputError
from weatherlap.units import tape


def detail_table(known: Detail) -> dict[str, object]:
    """A ready detail with its sizes and the ways in which it is built. [in]"""
    return {
        "id": known.id,
        "title": known.title,
        "use": known.use,
        "sizes": [
            {
                "name": d.name,
                "default_in": d.default_in,
                "least_in": d.least_in,
                "most_in": d.most_in,
                "words": d.words,
            }
            for d in known.dimensions
        ],
        "variants": [{"id": v.id, "title": v.title, "sees": v.sees} for v in known.variants],
    }


def print_details(only: str | None, *, as_json: bool) -> None:
    """Print all ready details in short, or one with its sizes and variants."""
    if only is not None:
        known = detail(only)
        print_json(detail_table(known)) if as_json else _print_one(known)
        return
    if as_json:
        print_json([detail_table(d) for d in details()])
        return
    for known in details():
        say(f"{known.id}: {known.title}", hang="    ")
        say(known.use, indent="    ")
        names = ", ".join(v.id for v in known.variants)
        say(f"Built or found: {names}", indent="    ")
        print()
    say("More on one:  weatherlap details DETAIL")
    say("A job from it:  weatherlap new DETAIL --variant VARIANT > my-job.toml")


def _print_one(known: Detail) -> None:
    say(f"{known.id}: {known.title}")
    say(known.use)
    print("\nSizes, with what is taken if you give none (--set NAME=LENGTH):")
    for d in known.dimensions:
        between = f"{tape(d.least_in)} to {tape(d.most_in)}"
        say(f"{d.name} = {tape(d.default_in)}: {d.words} ({between})", indent="  ", hang="      ")
    print("\nWays in which it is built or found (--variant ID):")
    for v in known.variants:
        say(f"{v.id}: {v.title}. {v.sees}", indent="  ", hang="      ")


def print_new(
    name: str,
    *,
    sizes: Sequence[str],
    variant: str,
    out: Path | None,
    over: bool,
    as_json: bool,
) -> None:
    """Print or write a commented job file from a ready detail."""
    known = detail(name)
    given = dict(_size(text) for text in sizes)
    text = known.toml(given, variant)
    if out is not None:
        if out.exists() and not over:
            raise InputError(
                str(out),
                "there is a file of that name already",
                "a new name",
                "Or add --over to write over it.",
            )
        write_beside(out, text.encode("utf-8"))
    if as_json:
        print_json(
            {
                "detail": known.id,
                "variant": variant,
                "sizes_in": known.sizes(given),
                "file": str(out) if out is not None else None,
                "toml": text,
            }
        )
    elif out is None:
        print(text, end="")
    else:
        say(f"Wrote {out}. Check it with:  weatherlap check {out}")


def _size(text: str) -> tuple[str, str]:
    """The name and length of ``name=length``."""
    name, equals, length = text.partition("=")
    if not (equals and name.strip() and length.strip()):
        raise InputError(
            "--set",
            f"found {text[:60]!r}",
            'NAME=LENGTH, such as --set roof_run="6\' 4\\"" or --set roof_run=76',
        )
    return name.strip(), length.strip()
