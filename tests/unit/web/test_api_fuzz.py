"""The API against what its own description allows: no answer is a fault of the program."""

from __future__ import annotations

import pytest
import schemathesis
from hypothesis import HealthCheck, given, settings

from weatherlap.building.details.shelf import detail
from weatherlap.web.app import make_app, site_at


@pytest.fixture(scope="module")
def api_schema(tmp_path_factory):
    """The description as the app gives it, with one job on the shelf."""
    site = site_at(tmp_path_factory.mktemp("fuzz"))
    site.shelf.begin(detail("wall-foot").toml())
    app = make_app(site, hosts=["testserver", "localhost"])

    async def asked_from_here(scope, receive, send):
        here = {**scope, "client": ("127.0.0.1", 5000)} if scope["type"] == "http" else scope
        await app(here, receive, send)

    return schemathesis.openapi.from_asgi("/api/openapi.json", asked_from_here)


def try_all(operation, examples):
    """Send requests that an operation's description allows; none may be a fault of the program."""

    @settings(max_examples=examples, deadline=None, suppress_health_check=list(HealthCheck))
    @given(operation.as_strategy())
    def run(case):
        answer = case.call()
        assert answer.status_code < 500, f"{operation.label}: {answer.text}"
        if answer.status_code >= 400 and "json" in answer.headers.get("content-type", [""])[0]:
            assert answer.json()["problems"]

    run()


def test_no_request_makes_the_program_fail(api_schema):
    """Whatever is sent on any way of the API, no answer is over 499, and errors have one shape."""
    operations = [found.ok() for found in api_schema.get_all_operations()]
    assert len(operations) > 18
    for operation in operations:
        try_all(operation, 12)
