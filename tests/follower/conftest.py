"""The follower and the random corners stand beside the tests, in tests/support."""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "support"))
