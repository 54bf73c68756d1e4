"""A word on the way: what is being done, on a terminal only."""

from __future__ import annotations

import os
import sys

_CLEAR = "\r\x1b[2K"


class OnTheWay:
    """Says on stderr what is being done; silent where nobody watches."""

    def __init__(self) -> None:
        self.is_watched = sys.stderr.isatty() and os.environ.get("TERM") != "dumb"

    def __call__(self, text: str) -> None:
        """Say what is done next, over what was said before."""
        if self.is_watched:
            sys.stderr.write(f"{_CLEAR}{text[:76]} ...")
            sys.stderr.flush()

    def done(self) -> None:
        """Take the last word away."""
        if self.is_watched:
            sys.stderr.write(_CLEAR)
            sys.stderr.flush()
