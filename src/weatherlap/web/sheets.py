"""Pages from their templates, and files to take away."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fastapi import Response
from fastapi.responses import HTMLResponse
from jinja2 import Environment, FileSystemLoader, select_autoescape

from weatherlap import __version__
from weatherlap.units import tape

KINDS = {
    ".pdf": "application/pdf",
    ".svg": "image/svg+xml",
    ".json": "application/json",
    ".dxf": "image/vnd.dxf",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
    ".csv": "text/csv; charset=utf-8",
    ".ics": "text/calendar; charset=utf-8",
    ".crt": "application/x-x509-ca-cert",
    ".zip": "application/zip",
    ".html": "text/html; charset=utf-8",
    ".toml": "application/toml",
}
_PAGES = Environment(
    loader=FileSystemLoader(Path(__file__).parent / "templates"),
    autoescape=select_autoescape(("html",)),
    trim_blocks=True,
    lstrip_blocks=True,
)


def day_words(seconds: float) -> str:
    """A moment as a list shows it, in the time of this machine. [s since 1970]"""
    return datetime.fromtimestamp(seconds, UTC).astimezone().strftime("%b %d, %Y %H:%M")


_PAGES.filters |= {"day": day_words, "tape": tape}


def page(name: str, status: int = 200, **values: Any) -> HTMLResponse:
    """A page from its template."""
    text = _PAGES.get_template(name).render(version=__version__, **values)
    return HTMLResponse(text, status_code=status)


def download(data: bytes, name: str) -> Response:
    """A file to keep; its kind follows from its name's ending."""
    kind = KINDS.get(Path(name).suffix, "application/octet-stream")
    headers = {"content-disposition": f'attachment; filename="{name}"'}
    return Response(data, media_type=kind, headers=headers)
