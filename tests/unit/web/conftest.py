"""The app on a folder of its own, asked as if from this machine or from the network."""

from __future__ import annotations

import pickle
import warnings
from pathlib import Path

import pytest

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

from weatherlap.building.details.shelf import detail
from weatherlap.web.app import make_app, site_at
from weatherlap.web.clerk import Clerk

HOST = "192.168.7.20"
DEMO = Path(__file__).parents[3] / "demo" / "porch-corner.toml"


class Copying:
    """A hand that is handed its work, and hands over what it made, as another process would be."""

    def __call__(self, work, say):
        """What the work gives, through the same bytes."""
        return pickle.loads(pickle.dumps(pickle.loads(pickle.dumps(work))(say)))

    def close(self):
        """There is nothing to let go of."""


@pytest.fixture
def hand():
    """Who does what takes long."""
    return Copying()


@pytest.fixture
def site(tmp_path, hand):
    """The parts of a shared app."""
    made = site_at(tmp_path, links=[f"http://{HOST}:8740"], clerk=Clerk(hand=hand))
    yield made
    made.close()


def client_of(site, address, name):
    """A browser at an address that calls the app by a name."""
    app = make_app(site, hosts=[HOST])
    return TestClient(
        app, base_url=f"http://{name}", client=(address, 5000), follow_redirects=False
    )


@pytest.fixture
def own(site):
    """A browser on the serving machine."""
    return client_of(site, "127.0.0.1", "localhost")


@pytest.fixture
def phone(site):
    """A browser of another device on the network."""
    return client_of(site, "192.168.7.31", HOST)


@pytest.fixture
def text():
    """A roof against a wall, found without a diverter."""
    return detail("roof-side-wall").toml(variant="no-diverter")


@pytest.fixture
def job(own, text):
    """The id of a job on the shelf."""
    return own.post("/api/jobs", json={"text": text}).json()["id"]


@pytest.fixture(scope="session")
def demo_text():
    """The big demo job."""
    return DEMO.read_text("utf-8")
