"""Serving the web app, and the store as one file, from the terminal."""

from __future__ import annotations

import io
from pathlib import Path

from weatherlap.cli.answers import say
from weatherlap.cli.files import print_json, write_beside
from weatherlap.errors import InputError
from weatherlap.store.packing import pack, unpack
from weatherlap.store.shelf import Shelf
from weatherlap.web.serving import default_folder, serve


def run_server(folder: Path | None, *, port: int, share: bool, https: bool, url: str) -> None:
    """Serve until it is stopped; say where."""
    if https and not share:
        raise InputError("--https", "it stands alone", "--share --https")
    place = folder or default_folder()
    say(f"Jobs are kept in {place}. Stop with Ctrl+C.")
    serve(
        place,
        port=port,
        share=share,
        https=https,
        url=url,
        say=lambda words: print(words, flush=True),
    )


def write_backup(out: Path, folder: Path | None, *, url: str, over: bool, as_json: bool) -> None:
    """Write a whole store as one file."""
    if out.exists() and not over:
        raise InputError(
            str(out), "there is a file of that name already", "a new name", "Or add --over."
        )
    shelf = Shelf(folder or default_folder(), url)
    packed = io.BytesIO()
    pack(shelf, packed)
    write_beside(out, packed.getvalue())
    count = len(shelf.jobs())
    shelf.close()
    if as_json:
        print_json({"ok": True, "file": str(out), "jobs": count})
    else:
        say(f"Wrote {out}: {count} {'job' if count == 1 else 'jobs'}.")


def read_backup(place: Path, folder: Path | None, *, url: str, as_json: bool) -> None:
    """Fill an empty store from a backup."""
    shelf = Shelf(folder or default_folder(), url)
    count = unpack(shelf, place)
    shelf.close()
    if as_json:
        print_json({"ok": True, "jobs": count})
    else:
        say(f"Read {place}: {count} {'job' if count == 1 else 'jobs'}.")
