"""The plain page from which a phone takes this machine's authority, before it can trust it."""

from __future__ import annotations

from html import escape
from typing import Any

from weatherlap.web.certificate import Certificate
from weatherlap.web.guard import HEADERS, App, Receive, Scope, Send
from weatherlap.web.sheets import page

FILE = "weatherlap-authority.crt"


def trusting_app(made: Certificate, secure: str) -> App:
    """An app that gives the authority and says how it is installed, and nothing else.

    Parameters
    ----------
    secure : str
        Where the app itself is, by https.
    """

    async def answer(scope: Scope, _receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            return
        kind, status, body = "text/html; charset=utf-8", 200, b""
        if scope["path"] == f"/{FILE}":
            kind, body = "application/x-x509-ca-cert", made.authority_der
        elif scope["path"] == "/":
            said = page("trust.html", secure=secure, print=made.fingerprint, file=FILE)
            body = bytes(said.body)
        else:
            status, body = 404, f"Nothing here. Go to {escape(secure)}".encode()
        headers: list[Any] = [(b"content-type", kind.encode()), *HEADERS]
        await send({"type": "http.response.start", "status": status, "headers": headers})
        await send({"type": "http.response.body", "body": b"" if _is_head(scope) else body})

    return answer


def _is_head(scope: Scope) -> bool:
    return bool(scope["method"] == "HEAD")
