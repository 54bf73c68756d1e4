"""Settings that every test runs under."""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

settings.register_profile(
    "weatherlap", deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
settings.register_profile("again", settings.get_profile("weatherlap"), derandomize=True)
settings.load_profile("weatherlap" if os.environ.get("NEW_CASES") else "again")

# Help and messages are compared as plain text of one width, whatever the terminal.
os.environ["COLUMNS"] = "100"
os.environ["NO_COLOR"] = "1"
os.environ.pop("FORCE_COLOR", None)
