"""The database: its tables, and how it is opened so that nothing acknowledged is lost."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Float,
    ForeignKey,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    create_engine,
    event,
    select,
)
from sqlalchemy.exc import ArgumentError, OperationalError, SQLAlchemyError

from weatherlap.errors import InputError

FORMAT = "1"
"""The shape of the tables; a store of another shape is not opened."""
READING = {"weatherlap_reading": True}
BUSY_MS = 10_000

metadata = MetaData()

about_store = Table(
    "about_store",
    metadata,
    Column("name", String(40), primary_key=True),
    Column("value", Text, nullable=False),
)

jobs = Table(
    "job",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("title", String(200), nullable=False),
    Column("place", String(300), nullable=False, default=""),
    Column("pieces", Integer, nullable=False, default=0),
    Column("head", Integer, nullable=False),
    Column("changed_at", Float, nullable=False, index=True),
)

revisions = Table(
    "revision",
    metadata,
    Column("job", ForeignKey("job.id"), primary_key=True),
    Column("number", Integer, primary_key=True, autoincrement=False),
    Column("stands_at", Integer, nullable=False),
    Column("below", Integer, nullable=False),
    Column("ahead", Text, nullable=False, default=""),
    Column("text", Text, nullable=False),
    Column("words", String(300), nullable=False, default=""),
    Column("by", String(100), nullable=False, default=""),
    Column("at", Float, nullable=False),
)

entries = Table(
    "entry",
    metadata,
    Column("job", ForeignKey("job.id"), primary_key=True),
    Column("key", String(64), primary_key=True),
    Column("revision", Integer, nullable=False),
)

photos = Table(
    "photo",
    metadata,
    Column("id", String(32), primary_key=True),
    Column("job", ForeignKey("job.id"), nullable=False, index=True),
    Column("sha256", String(64), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("face", String(100), nullable=False, default=""),
    Column("u", Float),
    Column("v", Float),
    Column("words", String(500), nullable=False, default=""),
    Column("marks", Text, nullable=False, default="[]"),
    Column("at", Float, nullable=False),
)

own_tables = Table(
    "own_table",
    metadata,
    Column("name", String(60), primary_key=True),
    Column("text", Text, nullable=False),
    Column("at", Float, nullable=False),
)

ALL = (jobs, revisions, entries, photos, own_tables)


def open_database(folder: Path, url: str = "") -> Engine:
    """The database of a folder, or the one that a URL names; its tables are made if missing.

    Raises
    ------
    InputError
        If it cannot be opened, or holds a store of another shape.
    """
    where = url or f"sqlite:///{folder / 'jobs.sqlite3'}"
    try:
        engine = create_engine(where, pool_pre_ping=bool(url))
    except (ArgumentError, ImportError) as error:
        raise InputError("database", str(error).splitlines()[0], "a database URL") from None
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    elif engine.dialect.name != "postgresql":
        raise InputError("database", f"found {engine.dialect.name}", "sqlite or postgresql")
    try:
        metadata.create_all(engine)
        _check_format(engine)
    except SQLAlchemyError as error:
        found = str(getattr(error, "orig", error)).strip().splitlines()[0]
        raise InputError("database", found, "a database that can be opened") from None
    return engine


class CannotKeep(InputError):
    """The store cannot write: the disk is full, or out of reach. What was kept before stays."""


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """A transaction that is on the disk when it is left; all of it, or nothing.

    Raises
    ------
    CannotKeep
        If the disk is full or cannot be written.
    """
    try:
        with engine.begin() as connection:
            yield connection
    except OperationalError as error:
        raise _cannot(str(error.orig)) from error
    except OSError as error:
        raise _cannot(error.strerror or str(error)) from error


def _cannot(found: str) -> CannotKeep:
    do = "Nothing was changed. Make room on the disk of the machine that serves, then do it again."
    return CannotKeep("store", f"it cannot be written ({found.lower()})", "a disk with room", do)


def _set_up_sqlite(connection: sqlite3.Connection, _record: Any) -> None:
    connection.isolation_level = None
    cursor = connection.cursor()
    for pragma in (
        "journal_mode=WAL",
        "synchronous=FULL",
        "foreign_keys=ON",
        f"busy_timeout={BUSY_MS}",
    ):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin_sqlite(connection: Connection) -> None:
    """Writers queue from the start: no transaction reads first and finds itself too late."""
    reads = connection.get_execution_options().get("weatherlap_reading", False)
    connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")


def _check_format(engine: Engine) -> None:
    with engine.begin() as connection:
        query = select(about_store.c.value).where(about_store.c.name == "format")
        found = connection.execute(query).scalar()
        if found is None:
            connection.execute(about_store.insert().values(name="format", value=FORMAT))
        elif found != FORMAT:
            raise InputError(
                "database",
                f"it holds a store of shape {found}",
                f"shape {FORMAT}",
                "Open it with the version that wrote it, back it up and restore it here.",
            )
