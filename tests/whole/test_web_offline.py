"""By https with a trusted certificate: pages reopen without a signal, acts wait and are sent."""

from __future__ import annotations

import base64
import shutil
import subprocess
import sys
from hashlib import sha256

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat
from playwright.sync_api import sync_playwright

CHROMIUM = shutil.which("chromium") or "chromium"
ARGS = ["--no-sandbox", "--disable-background-networking", "--disable-component-update"]
PROGRAM = """
import sys
from pathlib import Path
from weatherlap.web import serving
serving.own_addresses = lambda: ("127.0.0.1",)
serving.serve(Path(sys.argv[1]), port=0, share=True, https=True, url="",
              say=lambda words: print(words, flush=True))
"""


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """Addresses of a shared app: plain on this machine, by https, and its folder."""
    folder = tmp_path_factory.mktemp("jobs")
    command = [sys.executable, "-c", PROGRAM, str(folder)]
    child = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    assert child.stdout is not None
    own, secure, _ = (child.stdout.readline().split()[0] for _ in range(3))
    yield own.rstrip("/"), secure.removesuffix("/pair"), folder
    child.terminate()
    child.wait(20)


@pytest.fixture
def phone(served, tmp_path):
    """A browser that trusts the certificate of the machine that serves."""
    made = x509.load_pem_x509_certificate((served[2] / "authority" / "server.pem").read_bytes())
    public = made.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    pin = base64.b64encode(sha256(public).digest()).decode()
    with sync_playwright() as play:
        context = play.chromium.launch_persistent_context(
            str(tmp_path / "phone"),
            executable_path=CHROMIUM,
            args=[*ARGS, f"--ignore-certificate-errors-spki-list={pin}"],
            viewport={"width": 360, "height": 740},
        )
        yield context
        context.close()


def test_a_page_reopens_offline_and_acts_are_sent_later(phone, served):
    """Offline the job page opens again, an act waits with its words, and is kept once sent."""
    _, secure, _ = served
    page = phone.new_page()
    page.goto(f"{secure}/begin/roof-side-wall")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    page.get_by_role("button", name="Begin this job").click()
    page.wait_for_url("**/job/*")
    page.locator("#findings li").first.wait_for()
    page.reload()
    page.locator("#findings li").first.wait_for()
    job = page.url.rsplit("/", 1)[1]
    phone.set_offline(True)
    page.reload()
    page.locator("#findings li").first.wait_for()
    page.locator("#piece-list summary").click()
    page.locator("#pieces button").nth(3).click()
    page.get_by_role("button", name="Top open").click()
    page.locator("#hand-body button", has_text="a drip edge").click()
    page.locator("#waits", has_text="2 waiting to be sent").wait_for()
    assert page.locator("#pending-list li").count() == 2
    assert "sealed" in page.locator("#pending-list").inner_text()
    page.reload()
    page.locator("#waits", has_text="2 waiting to be sent").wait_for()
    phone.set_offline(False)
    page.locator("#waits").wait_for(state="hidden", timeout=40_000)
    rows = phone.request.get(f"{secure}/api/jobs/{job}/history", ignore_https_errors=True).json()
    assert [r["number"] for r in rows] == [3, 2, 1]


def test_a_page_never_opened_says_so_offline(phone, served):
    """Without a signal a page that was not open before says that there is none."""
    _, secure, _ = served
    page = phone.new_page()
    page.goto(f"{secure}/")
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    page.reload()
    phone.set_offline(True)
    page.goto(f"{secure}/job/0123456789abcdef")
    assert page.inner_text("h1") == "No signal"
