"""The app: API, pages and files that pages load, behind the guard."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from fastapi import FastAPI
from fastapi.staticfiles import StaticFiles

from weatherlap import __version__
from weatherlap.store.owntables import OwnTables
from weatherlap.store.photos import Photos
from weatherlap.store.shelf import Shelf
from weatherlap.web import answers
from weatherlap.web.actways import act_router
from weatherlap.web.agreedways import agreed_router
from weatherlap.web.api import api_router
from weatherlap.web.clerk import Clerk
from weatherlap.web.desk import Desk
from weatherlap.web.doneways import done_router
from weatherlap.web.guard import LOOPBACK_NAMES, Guard, Pairing, Sessions
from weatherlap.web.mendways import mend_router
from weatherlap.web.ownways import own_router
from weatherlap.web.pages import page_router
from weatherlap.web.partways import part_router
from weatherlap.web.photoways import photo_router
from weatherlap.web.site import Site

STATIC = Path(__file__).parent / "static"


def site_at(
    folder: Path, *, url: str = "", links: Sequence[str] = (), clerk: Clerk | None = None
) -> Site:
    """The parts of an app whose jobs lie in a folder, or in the database that a URL names."""
    desk = Desk()
    shelf = Shelf(folder, url, check=desk.check)
    sessions = Sessions(folder / "session-key")
    own = OwnTables(shelf)
    photos, pairing = Photos(shelf), Pairing()
    return Site(shelf, desk, photos, sessions, pairing, own, tuple(links), clerk=clerk or Clerk())


def make_app(site: Site, *, hosts: Sequence[str] = ()) -> Guard:
    """The whole app; it answers to this machine's own names and to ``hosts``."""
    app = FastAPI(
        title="Weatherlap",
        version=__version__,
        summary="Jobs, what is done to them, and where the water goes.",
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
    )
    answers.install(app)
    app.include_router(api_router(site))
    app.include_router(act_router(site))
    app.include_router(photo_router(site))
    app.include_router(part_router(site))
    app.include_router(mend_router(site))
    app.include_router(done_router(site))
    app.include_router(agreed_router(site))
    app.include_router(own_router(site))
    app.include_router(page_router(site))
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    return Guard(app, site.sessions, frozenset((*LOOPBACK_NAMES, *hosts)))
