"""The certificate for the local network, and the door that gives the authority."""

import socket
import ssl
import stat
import threading
import time
from datetime import UTC, datetime, timedelta

import httpx
import pytest
import uvicorn
from starlette.testclient import TestClient

from weatherlap.errors import InputError
from weatherlap.web.certificate import AUTHORITY_DAYS, OWN_KEY, SERVER, SERVER_DAYS, certificate
from weatherlap.web.serving import open_doors
from weatherlap.web.trusting import FILE, trusting_app

NAMES = ["192.168.7.20", "shop-laptop"]


async def hello(scope, _receive, send):
    """Say hello."""
    if scope["type"] == "http":
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"hello"})


@pytest.fixture
def served(tmp_path):
    """A server with the certificate; gives its port and the authority."""
    made = certificate(tmp_path, NAMES)
    door = socket.create_server(("127.0.0.1", 0))
    config = uvicorn.Config(hello, ssl_certfile=made.chain, log_level="error", lifespan="off")
    server = uvicorn.Server(config)
    thread = threading.Thread(target=server.run, kwargs={"sockets": [door]}, daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.02)
    yield door.getsockname()[1], made
    server.should_exit = True
    thread.join(10)


def trust_of(made):
    """A client's trust in this authority alone, as strict as Python can be."""
    trust = ssl.create_default_context(cadata=made.authority_der)
    trust.verify_flags |= ssl.VERIFY_X509_STRICT
    return trust


def test_who_trusts_the_authority_trusts_the_server(served):
    """A strict client with the authority is answered; one without it is not."""
    port, made = served
    way = f"https://127.0.0.1:{port}/"
    assert httpx.get(way, verify=trust_of(made), trust_env=False).text == "hello"
    with pytest.raises(httpx.ConnectError, match=r"(?i)certificate"):
        httpx.get(way, verify=ssl.create_default_context(), trust_env=False)


def test_the_authority_is_no_good_for_other_names(tmp_path, served):
    """A server of a name out of the private ones is refused even by who trusts the authority."""
    _, made = served
    other = certificate(tmp_path, [*NAMES, "bank.example"])
    door = socket.create_server(("127.0.0.1", 0))
    context = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    context.load_cert_chain(other.chain)

    def one():
        plain, _ = door.accept()
        try:
            context.wrap_socket(plain, server_side=True).close()
        except OSError:
            plain.close()

    thread = threading.Thread(target=one, daemon=True)
    thread.start()
    with (
        socket.create_connection(door.getsockname()) as plain,
        pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"),
    ):
        trust_of(made).wrap_socket(plain, server_hostname="bank.example")
    thread.join(5)
    door.close()


def test_keys_are_for_their_owner_only_and_certificates_are_kept(tmp_path):
    """Keys are not readable by others; the same names get the same files."""
    first = certificate(tmp_path, NAMES)
    for name in (OWN_KEY, SERVER):
        assert stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600
    before = first.chain.read_bytes()
    again = certificate(tmp_path, NAMES)
    assert again.chain.read_bytes() == before and again.fingerprint == first.fingerprint


def test_a_new_address_or_an_old_certificate_is_signed_anew(tmp_path):
    """The authority stays, so that phones need nothing new; only at its end a new one is made."""
    now = datetime.now(UTC)
    first = certificate(tmp_path, NAMES, now)
    before = first.chain.read_bytes()
    moved = certificate(tmp_path, ["192.168.9.9", "shop-laptop"], now)
    assert moved.chain.read_bytes() != before and moved.fingerprint == first.fingerprint
    before = moved.chain.read_bytes()
    later = certificate(tmp_path, ["192.168.9.9"], now + timedelta(days=SERVER_DAYS - 5))
    assert later.chain.read_bytes() != before and later.fingerprint == first.fingerprint
    end = certificate(tmp_path, NAMES, now + timedelta(days=AUTHORITY_DAYS - 5))
    assert end.fingerprint != first.fingerprint


def test_the_plain_door_gives_the_authority_and_nothing_else(tmp_path):
    """The page has the steps and the fingerprint; the file is the authority; no job is there."""
    made = certificate(tmp_path, NAMES)
    door = TestClient(trusting_app(made, "https://192.168.7.20:8741"))
    page = door.get("/")
    assert made.fingerprint in page.text and "https://192.168.7.20:8741/pair" in page.text
    assert door.get(f"/{FILE}").content == made.authority_der
    assert door.get("/api/jobs").status_code == 404
    assert "default-src 'none'" in page.headers["content-security-policy"]


def test_all_doors_are_opened_or_none():
    """Where one of the three ports is taken the others are let go of again."""
    with socket.create_server(("0.0.0.0", 0)) as taken:
        port = taken.getsockname()[1] - 2
        with pytest.raises(InputError, match="free port"):
            open_doors(port, share=True, https=True)
        open_doors(port, share=False, https=False).close()


def test_who_comes_before_the_app_is_up_waits():
    """A door that is open takes a call at once, though nobody answers it yet."""
    doors = open_doors(0, share=False, https=False)
    try:
        socket.create_connection(doors.own.getsockname(), timeout=5).close()
    finally:
        doors.close()
