"""A whole store as one file, and back: the same for every database."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, Table, insert, select

from weatherlap.errors import InputError
from weatherlap.store.database import ALL, FORMAT, READING, own_tables
from weatherlap.store.photos import LARGEST_BYTES, Photos
from weatherlap.store.shelf import Shelf

ABOUT = "about.json"
PHOTOS = "photos/"
ROWS_AT_ONCE = 200
LARGEST_ROW = 30_000_000


def pack(shelf: Shelf, out: IO[bytes]) -> None:
    """Write every job, revision and photo into one zip file, as of one moment."""
    photos = Photos(shelf)
    with (
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed,
        shelf.engine.connect().execution_options(**READING) as connection,
    ):
        if connection.dialect.name == "postgresql":
            connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")
        names: set[str] = set()
        for table in ALL:
            with packed.open(f"{table.name}.jsonl", "w", force_zip64=True) as rows:
                for row in _rows(connection, table):
                    names |= {row["sha256"]} if "sha256" in row else set()
                    rows.write(json.dumps(row, ensure_ascii=False).encode() + b"\n")
        for name in sorted(names):
            packed.write(photos.place(name), PHOTOS + name, zipfile.ZIP_STORED)
        packed.writestr(ABOUT, json.dumps({"weatherlap_store": FORMAT}))


def _rows(connection: Connection, table: Table) -> Iterator[dict[str, Any]]:
    found = connection.execution_options(yield_per=ROWS_AT_ONCE).execute(select(table))
    return (dict(row) for row in found.mappings())


def unpack(shelf: Shelf, place: Path) -> int:
    """Fill an empty store from a packed one; gives the number of jobs. All of it or nothing.

    Raises
    ------
    InputError
        If the store holds jobs already, or the file is not whole.
    """
    if shelf.jobs():
        raise InputError("store", "it holds jobs already", "an empty one", "Name another folder.")
    try:
        with zipfile.ZipFile(place) as packed:
            _check(packed)
            _photos_in(packed, Photos(shelf))
            with shelf.engine.begin() as connection:
                for table in ALL:
                    _rows_in(connection, packed, table)
    except (OSError, zipfile.BadZipFile, KeyError, ValueError, TypeError) as error:
        raise InputError("backup", f"it is not whole ({error})", "a backup file") from None
    return len(shelf.jobs())


def _check(packed: zipfile.ZipFile) -> None:
    about = json.loads(packed.read(ABOUT))
    if about.get("weatherlap_store") != FORMAT:
        raise ValueError("it is of another shape")


def _photos_in(packed: zipfile.ZipFile, photos: Photos) -> None:
    for info in packed.infolist():
        if not info.filename.startswith(PHOTOS):
            continue
        name = info.filename.removeprefix(PHOTOS)
        if info.file_size > LARGEST_BYTES:
            raise ValueError("a photo is too large")
        data = packed.read(info)
        if sha256(data).hexdigest() != name:
            raise ValueError("a photo is damaged")
        photos.put_file(name, data)


def _rows_in(connection: Connection, packed: zipfile.ZipFile, table: Table) -> None:
    columns = {c.name for c in table.columns}
    if table is own_tables and f"{table.name}.jsonl" not in packed.namelist():
        return  # a backup from before a firm could keep its own tables here
    with packed.open(f"{table.name}.jsonl") as rows:
        while line := rows.readline(LARGEST_ROW):
            row = json.loads(line)
            if not isinstance(row, dict) or row.keys() != columns:
                raise ValueError(f"a row of {table.name} has other columns")
            connection.execute(insert(table).values(row))
