"""The guard at the door: who may ask, from where, how much, and what a page may load."""

from __future__ import annotations

import hmac
import secrets
import time
from collections import deque
from collections.abc import Awaitable, Callable, Collection, MutableMapping
from dataclasses import dataclass, field
from hashlib import sha256
from http.cookies import CookieError, SimpleCookie
from ipaddress import ip_address
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Scope, Receive, Send], Awaitable[None]]

COOKIE = "weatherlap"
SESSION_S = 30 * 24 * 3600.0
CODE_S = 600.0
CODE_SIGNS = "23456789ABCDEFGHJKMNPQRTUVWXYZ"
CODE_LENGTH = 8
MOST_TRIES, TRIES_S = 5, 60.0
MOST_WRONG = 20
"""After so many wrong codes from anywhere a new code is made."""
LARGEST_BODY = 25_000_000
LOOPBACK_NAMES = ("localhost", "127.0.0.1", "[::1]")
OPEN_WAYS = ("/pair", "/static/")
_CHANGING = ("POST", "PUT", "PATCH", "DELETE")
HEADERS = (
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; "
        b"font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; "
        b"frame-ancestors 'none'",
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"x-frame-options", b"DENY"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"geolocation=(), microphone=(), camera=(self)"),
)


def is_loopback(address: str) -> bool:
    """Whether an address is this machine's own."""
    try:
        return ip_address(address.split("%")[0]).is_loopback
    except ValueError:
        return False


@dataclass(slots=True)
class Sessions:
    """Signed sessions; the key lives in the store's folder, readable by its owner only."""

    place: Path
    _key: bytes = b""

    def __post_init__(self) -> None:
        if not self.place.exists():
            self._write()
        self._key = self.place.read_bytes()

    def _write(self) -> None:
        beside = self.place.with_name(f".{self.place.name}.{secrets.token_hex(4)}")
        beside.touch(mode=0o600)
        beside.write_bytes(secrets.token_bytes(32))
        beside.replace(self.place)

    def new(self, now_s: float) -> str:
        """A session for a device, as its cookie holds it."""
        said = f"{secrets.token_hex(8)}.{int(now_s)}"
        return f"{said}.{self._signed(said)}"

    def holds(self, cookie: str, now_s: float) -> bool:
        """Whether a cookie was signed here and is not too old."""
        said, _, sign = cookie.rpartition(".")
        if not hmac.compare_digest(sign.encode(), self._signed(said).encode()):
            return False
        age_s = now_s - int(said.rpartition(".")[2])
        return -60.0 <= age_s <= SESSION_S

    def forget_all(self) -> None:
        """End every session: all devices have to pair again."""
        self._write()
        self._key = self.place.read_bytes()

    def _signed(self, said: str) -> str:
        return hmac.new(self._key, said.encode(), sha256).hexdigest()


@dataclass(slots=True)
class Pairing:
    """One code at a time: used once, good for ten minutes, few tries a minute."""

    clock: Callable[[], float] = time.time
    _code: str = ""
    _made_s: float = 0.0
    _wrong: int = 0
    _tries: dict[str, deque[float]] = field(default_factory=dict)

    def code(self) -> str:
        """The code that pairs the next device."""
        if not self._code or self.clock() - self._made_s > CODE_S:
            self._renew()
        return self._code

    def _renew(self) -> None:
        self._code = "".join(secrets.choice(CODE_SIGNS) for _ in range(CODE_LENGTH))
        self._made_s, self._wrong = self.clock(), 0

    def may_try(self, address: str) -> bool:
        """Whether an address may try a code now; counts the try."""
        now = self.clock()
        if len(self._tries) > 1000:
            self._tries = {a: t for a, t in self._tries.items() if t and now - t[-1] < TRIES_S}
        tries = self._tries.setdefault(address, deque())
        while tries and now - tries[0] > TRIES_S:
            tries.popleft()
        if len(tries) >= MOST_TRIES:
            return False
        tries.append(now)
        return True

    def takes(self, code: str) -> bool:
        """Whether a code is the right one; the right one is used up."""
        plain = "".join(s for s in code.upper() if s.isalnum())
        if hmac.compare_digest(plain.encode(), self.code().encode()):
            self._code = ""
            return True
        self._wrong += 1
        if self._wrong >= MOST_WRONG:
            self._renew()
        return False


@dataclass(slots=True)
class Guard:
    """Wraps the app: checks host, origin, session and size, and adds the headers."""

    app: App
    sessions: Sessions
    hosts: Collection[str]
    clock: Callable[[], float] = time.time

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Let a request in, or answer why not."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return
        refused = self._refused(scope)
        if refused is not None:
            await _answer(_with_headers(send), *refused, head=scope["method"] == "HEAD")
            return
        await self.app(scope, _limited(receive), _with_headers(send))

    def _refused(self, scope: Scope) -> tuple[int, str, tuple[tuple[bytes, bytes], ...]] | None:
        headers = {k.decode("latin-1").lower(): v.decode("latin-1") for k, v in scope["headers"]}
        host = headers.get("host", "")
        if _name_of(host) not in self.hosts:
            return 421, "This name does not lead here.", ()
        if scope["method"] in _CHANGING and not _same_origin(headers, host):
            return 403, "This came from another site.", ()
        length = headers.get("content-length", "0")
        if not length.isdigit() or int(length) > LARGEST_BODY:
            return 413, "This is too large: 25 MB at most.", ()
        if not self._is_known(scope, headers):
            wants_page = "text/html" in headers.get("accept", "")
            if wants_page:
                return 303, "Pair this device first.", ((b"location", b"/pair"),)
            return 401, "Pair this device first.", ()
        return None

    def _is_known(self, scope: Scope, headers: dict[str, str]) -> bool:
        client = scope.get("client")
        if client is not None and is_loopback(client[0]):
            return True
        way = scope["path"]
        if way == OPEN_WAYS[0] or way.startswith(OPEN_WAYS[1]):
            return True
        return self.sessions.holds(_cookie(headers.get("cookie", "")), self.clock())


def _name_of(host: str) -> str:
    """A host without its port."""
    name = host.rpartition(":")[0] if host.rpartition(":")[2].isdigit() else host
    return (name or host).lower()


def _cookie(header: str) -> str:
    try:
        found = SimpleCookie(header).get(COOKIE)
    except CookieError:
        return ""
    return found.value if found is not None else ""


def _same_origin(headers: dict[str, str], host: str) -> bool:
    """Whether a changing request was made by a page of this app, or by no page at all."""
    if headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = headers.get("origin")
    if origin is None:
        return True
    try:
        return urlsplit(origin).netloc.lower() == host.lower()
    except ValueError:
        return False


def _limited(receive: Receive) -> Receive:
    """Stop reading a body that grows too large, whatever its length said."""
    seen = 0

    async def read() -> Message:
        nonlocal seen
        message = await receive()
        seen += len(message.get("body", b""))
        if seen > LARGEST_BODY:
            return {"type": "http.disconnect"}
        return message

    return read


def _with_headers(send: Send) -> Send:
    async def sent(message: Message) -> None:
        if message["type"] == "http.response.start":
            own = [(k, v) for k, v in message.get("headers", []) if k.lower() != b"server"]
            names = {k.lower() for k, _ in own}
            extra = [(k, v) for k, v in HEADERS if k not in names]
            if b"cache-control" not in names:
                extra.append((b"cache-control", b"no-store"))
            message = {**message, "headers": [*own, *extra]}
        await send(message)

    return sent


async def _answer(
    send: Send, status: int, words: str, extra: tuple[tuple[bytes, bytes], ...], *, head: bool
) -> None:
    body = b"" if head else f"{words}\n".encode()
    headers = [(b"content-type", b"text/plain; charset=utf-8"), *extra]
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body})
