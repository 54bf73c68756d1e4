"""Serving the app: on this machine only, or shared with the network that it is on."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial
from ipaddress import ip_address
from pathlib import Path
from threading import Thread
from typing import Any

import uvicorn

from weatherlap.errors import InputError
from weatherlap.web.app import make_app, site_at
from weatherlap.web.certificate import certificate
from weatherlap.web.clerk import Clerk
from weatherlap.web.guard import App
from weatherlap.web.helper import Helper
from weatherlap.web.site import Site
from weatherlap.web.tidying import Tidying
from weatherlap.web.trusting import trusting_app

PORT = 8740
BACKLOG = 256


def default_folder() -> Path:
    """Where jobs are kept if nobody says otherwise."""
    home = os.environ.get("XDG_DATA_HOME") or str(Path.home() / ".local" / "share")
    return Path(home) / "weatherlap"


def own_addresses() -> tuple[str, ...]:
    """This machine's addresses on its networks, the one most used first."""
    found: list[str] = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))
            found.append(probe.getsockname()[0])
        except OSError:
            found.clear()
    try:
        rows = socket.getaddrinfo(socket.gethostname(), None, socket.AF_INET)
    except OSError:
        rows = []
    found += [str(row[4][0]) for row in rows]
    return tuple(a for a in dict.fromkeys(found) if not ip_address(a).is_loopback)


@dataclass(frozen=True, slots=True)
class Doors:
    """Where the app listens: this machine's own door, and those of the network.

    By https the network has two: the app itself, and a plain one that gives the authority.
    """

    own: socket.socket
    secure: socket.socket | None = None
    trust: socket.socket | None = None

    def close(self) -> None:
        """Listen no more."""
        for door in (self.own, self.secure, self.trust):
            if door is not None:
                door.close()


def open_doors(port: int, *, share: bool, https: bool) -> Doors:
    """Listen at every port that is needed, or at none; 0 takes free ones.

    Who comes before the app is up waits at the door.

    Raises
    ------
    InputError
        If one is taken.
    """
    wide = "0.0.0.0"
    wanted = [("127.0.0.1" if https or not share else wide, port)]
    if share and https:
        wanted += [(wide, port and port + 1), (wide, port and port + 2)]
    opened: list[socket.socket] = []
    for address, number in wanted:
        door = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        opened.append(door)
        door.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            door.bind((address, number))
            door.listen(BACKLOG)
        except OSError as error:
            for one in opened:
                one.close()
            found = f"{number}: {(error.strerror or 'taken').lower()}"
            raise InputError("--port", found, "a free port") from None
    return Doors(*opened)


def serve(
    folder: Path,
    *,
    port: int,
    share: bool,
    url: str,
    say: Callable[[str], None],
    https: bool = False,
) -> None:
    """Serve the jobs of a folder until it is stopped.

    Parameters
    ----------
    share : bool
        Let devices of the network in; each has to be paired first.
    url : str
        A database other than the folder's own, as a URL.
    say : callable
        Told where the app is, once it can be reached.
    https : bool
        Encipher what goes over the network, by a certificate of this machine's own authority.

    Raises
    ------
    InputError
        If the port is taken or the store cannot be opened.
    """
    addresses = own_addresses() if share else ()
    doors = open_doors(port, share=share, https=https)
    try:
        names = [*addresses, socket.gethostname().lower()]
        site = _site(folder, url, doors, addresses, names)
        _say_where(site, doors, say)
        app = Tidying(make_app(site, hosts=names))
        app.begin()
        try:
            _beside(site, app, doors)
            uvicorn.Server(_config(app)).run(sockets=[doors.own])
        finally:
            app.close()
            site.close()
    finally:
        doors.close()


def _site(
    folder: Path, url: str, doors: Doors, addresses: Sequence[str], names: Sequence[str]
) -> Site:
    clerk = Clerk(hand=Helper())
    if doors.secure is None or doors.trust is None:
        links = [f"http://{a}:{doors.own.getsockname()[1]}" for a in addresses]
        return site_at(folder, url=url, links=links, clerk=clerk)
    folder.mkdir(parents=True, exist_ok=True)
    links = [f"https://{a}:{doors.secure.getsockname()[1]}" for a in addresses]
    trust = [f"http://{a}:{doors.trust.getsockname()[1]}/" for a in addresses]
    made = certificate(folder / "authority", names)
    site = site_at(folder, url=url, links=links, clerk=clerk)
    return replace(site, certificate=made, trust_link=trust[0] if trust else "")


def _say_where(site: Site, doors: Doors, say: Callable[[str], None]) -> None:
    say(f"http://127.0.0.1:{doors.own.getsockname()[1]}/")
    for link in site.links:
        say(f"{link}/pair   code {site.pairing.code()}")
    if site.trust_link:
        say(f"{site.trust_link}   the certificate, once for each phone")


def _beside(site: Site, app: App, doors: Doors) -> None:
    """Serve the network's doors of https beside this machine's own."""
    if doors.secure is None or doors.trust is None or site.certificate is None:
        return
    secure = site.links[0] if site.links else f"https://127.0.0.1:{doors.secure.getsockname()[1]}"
    plain = _config(trusting_app(site.certificate, secure))
    sealed = _config(app, ssl_certfile=site.certificate.chain)
    for config, door in ((sealed, doors.secure), (plain, doors.trust)):
        run = partial(uvicorn.Server(config).run, sockets=[door])
        Thread(target=run, daemon=True).start()


def _config(app: App, **more: Any) -> uvicorn.Config:
    return uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        **more,
    )
