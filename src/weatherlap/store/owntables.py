"""The firm's own tables, kept beside its jobs."""

from __future__ import annotations

import re
import time
import tomllib

from sqlalchemy import delete, insert, select

from weatherlap.errors import InputError
from weatherlap.store.database import READING, writing
from weatherlap.store.database import own_tables as table
from weatherlap.store.shelf import Shelf

LARGEST_CHARS = 1_000_000
MOST_TABLES = 60
_NAME = re.compile(r"[a-z][a-z0-9-]{0,59}")


class OwnTables:
    """The tables of a firm (costs, brake, rates ...), each the text of a TOML file by its name."""

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf

    def all(self) -> dict[str, str]:
        """Every table by its name."""
        query = select(table).order_by(table.c.name)
        with self._shelf.engine.connect().execution_options(**READING) as connection:
            return {row["name"]: row["text"] for row in connection.execute(query).mappings()}

    def put(self, name: str, text: str) -> None:
        """Keep a table in place of the one of that name.

        Raises
        ------
        InputError
            If the name or the text cannot be a table's, or there are too many.
        """
        if not _NAME.fullmatch(name):
            raise InputError("table", f"found the name {name!r}", "small letters, such as costs")
        if len(text) > LARGEST_CHARS:
            raise InputError(f"table {name}", "it is larger than 1 MB", "a small table")
        try:
            tomllib.loads(text)
        except tomllib.TOMLDecodeError as error:
            raise InputError(f"table {name}", str(error).lower(), "a TOML file") from None
        if len({*self.all(), name}) > MOST_TABLES:
            raise InputError("table", "there are too many", f"at most {MOST_TABLES}")
        values = {"name": name, "text": text, "at": time.time()}
        with writing(self._shelf.engine) as connection:
            connection.execute(delete(table).where(table.c.name == name))
            connection.execute(insert(table).values(values))

    def take_out(self, name: str) -> None:
        """Take a table out, so that the built-in one counts again."""
        with writing(self._shelf.engine) as connection:
            connection.execute(delete(table).where(table.c.name == name))
