"""The guard keeps out other names, other sites, unpaired devices and bodies that are too large."""

from __future__ import annotations

import pytest

from weatherlap.web.guard import (
    CODE_LENGTH,
    CODE_S,
    LARGEST_BODY,
    MOST_TRIES,
    MOST_WRONG,
    SESSION_S,
    TRIES_S,
    Pairing,
    Sessions,
    is_loopback,
)


class Clock:
    """A clock that is set by hand."""

    def __init__(self):
        self.now = 1_000_000.0

    def __call__(self):
        return self.now


@pytest.mark.parametrize("host", ["evil.example", "localhost.evil.example", "", "10.0.0.9:8740"])
def test_another_name_does_not_lead_here(own, host):
    """A name that somebody points at this machine is refused (the DNS rebinding trick)."""
    assert own.get("/", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "http://localhost:1"},
        {"origin": "null"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_a_change_from_another_site_is_refused(own, job, headers):
    """A page of another site cannot make this browser change a job."""
    answer = own.post(f"/api/jobs/{job}/undo", json={}, headers=headers)
    assert answer.status_code == 403
    assert own.get(f"/api/jobs/{job}").json()["revision"] == 1


def test_a_change_from_its_own_page_is_taken(own, job):
    """The app's own page may change a job."""
    act = {"do": "about", "key": "client", "text": "A. Reed"}
    headers = {"origin": "http://localhost", "sec-fetch-site": "same-origin"}
    body = {"base": 1, "act": act}
    assert own.post(f"/api/jobs/{job}/acts", json=body, headers=headers).status_code == 200


def test_an_unpaired_device_sees_nothing(phone, job):
    """Without a pairing API, pages and backup are closed; a page leads to pairing."""
    for way in ("/", f"/job/{job}", "/api/jobs", "/backup.zip", f"/api/jobs/{job}/file", "/share"):
        assert phone.get(way, headers={"accept": "*/*"}).status_code == 401, way
    assert phone.get("/", headers={"accept": "text/html"}).headers["location"] == "/pair"
    assert phone.get("/pair").status_code == 200
    assert phone.get("/static/sheet.css").status_code == 200


def test_a_device_pairs_once_with_a_code(site, phone, job):
    """The code lets a device in, is used up, and does not show the pairing page's secrets."""
    code = site.pairing.code()
    answer = phone.post("/pair", data={"code": f"{code[:4]} {code[4:].lower()}"})
    assert answer.status_code == 303
    assert "httponly" in answer.headers["set-cookie"].lower()
    assert "samesite=strict" in answer.headers["set-cookie"].lower()
    assert phone.get(f"/api/jobs/{job}").status_code == 200
    assert phone.get("/share").status_code == 403
    assert phone.get("/share/code.svg").status_code == 403
    phone.cookies.clear()
    assert phone.post("/pair", data={"code": code}).status_code == 403
    assert phone.get("/api/jobs").status_code == 401


def test_guessing_is_stopped(site, phone):
    """After five wrong codes in a minute even the right one is refused."""
    for _ in range(MOST_TRIES):
        assert phone.post("/pair", data={"code": "AAAA AAAA"}).status_code == 403
    assert phone.post("/pair", data={"code": site.pairing.code()}).status_code == 429


def test_codes_age_and_change():
    """A code is good for ten minutes; many wrong ones bring a new one; tries count by address."""
    clock = Clock()
    pairing = Pairing(clock)
    first = pairing.code()
    assert len(first) == CODE_LENGTH
    assert pairing.code() == first
    clock.now += CODE_S + 1
    second = pairing.code()
    assert second != first
    assert not pairing.takes(first)
    for _ in range(MOST_WRONG):
        pairing.takes("nothing")
    assert pairing.code() != second
    assert all(pairing.may_try("a") for _ in range(MOST_TRIES))
    assert not pairing.may_try("a")
    assert pairing.may_try("b")
    clock.now += TRIES_S + 1
    assert pairing.may_try("a")


def test_sessions_are_signed_and_end(tmp_path):
    """Only what was signed here holds, for 30 days, until all are ended; the key is the owner's."""
    sessions = Sessions(tmp_path / "key")
    cookie = sessions.new(0.0)
    assert sessions.holds(cookie, 10.0)
    assert not sessions.holds(cookie, SESSION_S + 1)
    name, day, sign = cookie.split(".")
    for forged in ("", ".", f"{name}.9.{sign}", f"x.{day}.{sign}", f"{name}.{day}.{sign[:-1]}é"):
        assert not sessions.holds(forged, 10.0)
    assert Sessions(tmp_path / "key").holds(cookie, 10.0)
    assert (tmp_path / "key").stat().st_mode & 0o077 == 0
    sessions.forget_all()
    assert not sessions.holds(cookie, 10.0)


def test_large_bodies_are_refused(own, job):
    """A body over the limit is refused, whether it says its length or not."""
    big = b"x" * (LARGEST_BODY + 1)
    assert own.put(f"/api/jobs/{job}/file", content=big).status_code == 413
    parts = (big[k : k + 1_000_000] for k in range(0, len(big), 1_000_000))
    answer = own.put(f"/api/jobs/{job}/file", content=parts)
    assert answer.status_code >= 400
    assert own.get(f"/api/jobs/{job}").json()["revision"] == 1


def test_every_answer_carries_the_headers(own, phone, job):
    """Pages, answers and refusals say what may be loaded, and are not kept by caches."""
    for answer in (own.get("/"), own.get(f"/api/jobs/{job}"), phone.get("/"), own.get("/none")):
        assert "script-src 'self'" in answer.headers["content-security-policy"]
        assert "unsafe" not in answer.headers["content-security-policy"]
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"] == "no-store"


def test_only_this_machine_is_loopback():
    """Names and outer addresses are not taken for this machine."""
    assert is_loopback("127.0.0.1") and is_loopback("::1") and is_loopback("127.9.9.9")
    assert not any(is_loopback(a) for a in ("192.168.0.1", "localhost", "", "::ffff:8.8.8.8"))
