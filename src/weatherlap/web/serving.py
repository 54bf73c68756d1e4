"""Serving the app: on this machine only, or shared with the network that it is on."""

from __future__ import annotations

import os
import socket
from collections.abc import Callable
from ipaddress import ip_address
from pathlib import Path

import uvicorn

from weatherlap.errors import InputError
from weatherlap.web.app import make_app, site_at

PORT = 8740


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


def serve(folder: Path, *, port: int, share: bool, url: str, say: Callable[[str], None]) -> None:
    """Serve the jobs of a folder until it is stopped.

    Parameters
    ----------
    share : bool
        Let devices of the network in; each has to be paired first.
    url : str
        A database other than the folder's own, as a URL.
    say : callable
        Told where the app is, once it can be reached.

    Raises
    ------
    InputError
        If the port is taken or the store cannot be opened.
    """
    addresses = own_addresses() if share else ()
    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as listening:
        listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            listening.bind(("0.0.0.0" if share else "127.0.0.1", port))
        except OSError as error:
            raise InputError(
                "--port", f"{port}: {(error.strerror or 'taken').lower()}", "a free port"
            ) from None
        port = listening.getsockname()[1]
        links = [f"http://{a}:{port}" for a in addresses]
        site = site_at(folder, url=url, links=links)
        app = make_app(site, hosts=[*addresses, socket.gethostname().lower()])
        say(f"http://127.0.0.1:{port}/")
        if share:
            for link in links:
                say(f"{link}/pair   code {site.pairing.code()}")
        config = uvicorn.Config(
            app, log_level="warning", access_log=False, server_header=False, proxy_headers=False
        )
        try:
            uvicorn.Server(config).run(sockets=[listening])
        finally:
            site.close()
