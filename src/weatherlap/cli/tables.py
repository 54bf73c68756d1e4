"""Tables that the firm edits, read at the door."""

from __future__ import annotations

from pathlib import Path

from weatherlap.errors import InputError

LARGEST_BYTES = 1_000_000
MOST_TABLES = 60


def table_text(place: Path, what: str) -> str:
    """The text of a table that the firm keeps.

    Raises
    ------
    InputError
        If the file cannot be read, is no text, or is larger than 1 MB.
    """
    try:
        with place.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except OSError as error:
        why = (error.strerror or "it cannot be opened").lower()
        raise InputError(f"{what} {place.name}", why, "a table that can be read") from None
    if len(data) > LARGEST_BYTES:
        raise InputError(f"{what} {place.name}", "it is larger than 1 MB", "a small table")
    try:
        return data.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(f"{what} {place.name}", "it is no text", "TOML in UTF-8") from None


def own_tables(folder: Path | None) -> dict[str, str]:
    """The firm's own tables, the text of each TOML file of a folder by its name without ending.

    Raises
    ------
    InputError
        If there is no such folder, it holds too many tables, or one cannot be read.
    """
    if folder is None:
        return {}
    if not folder.is_dir():
        raise InputError(f"--own {folder.name}", "there is no such folder", "a folder of tables")
    places = sorted(folder.glob("*.toml"))
    if len(places) > MOST_TABLES:
        raise InputError(
            f"--own {folder.name}", f"it holds {len(places)} tables", f"at most {MOST_TABLES}"
        )
    return {place.stem: table_text(place, "table") for place in places}
