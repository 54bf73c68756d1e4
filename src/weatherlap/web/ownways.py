"""The firm's own tables: a plain page to read, write and take them out."""

from __future__ import annotations

from typing import Annotated, Any

from fastapi import APIRouter, Path, Response
from fastapi.responses import HTMLResponse
from pydantic import BaseModel, ConfigDict, Field

from weatherlap.store.owntables import LARGEST_CHARS
from weatherlap.web.api import ERRORS
from weatherlap.web.sheets import page
from weatherlap.web.site import Site

TableName = Annotated[str, Path(pattern=r"^[a-z][a-z0-9-]{0,59}$")]


class TableText(BaseModel):
    """The text of a table, TOML."""

    model_config = ConfigDict(extra="forbid")
    text: str = Field(max_length=LARGEST_CHARS)


def own_ways(ways: APIRouter, site: Site) -> None:
    """The page of the firm's own tables."""

    @ways.get("/own")
    def own_page() -> HTMLResponse:
        return page("own.html", tables=site.own.all())


def own_router(site: Site) -> APIRouter:
    """The firm's own tables over the API."""
    api = APIRouter(prefix="/api", responses=ERRORS)

    @api.get("/own")
    def list_tables() -> dict[str, str]:
        """Every table that is kept in place of a built-in one, by its name."""
        return site.own.all()

    @api.put("/own/{name}")
    def put_table(name: TableName, body: TableText) -> dict[str, Any]:
        """Keep a table; it counts from the next page on."""
        site.own.put(name, body.text)
        return {"ok": True, "name": name}

    @api.delete("/own/{name}", status_code=204, response_class=Response)
    def take_table_out(name: TableName) -> Response:
        """Take a table out; the built-in one counts again."""
        site.own.take_out(name)
        return Response(status_code=204)

    return api
