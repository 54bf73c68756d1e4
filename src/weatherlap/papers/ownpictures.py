"""Small pictures of a job's photos, carried to the papers along with the firm's own tables."""

from __future__ import annotations

import base64
import binascii
from collections.abc import Mapping

MOST_PICTURES = 120
"""Photos of a job that are set as pictures; the others stand in the list only."""
PICTURE_PX = 560
"""How wide or high such a picture is at most. [px]"""
JPEG_HEAD = b"\xff\xd8"


def picture_name(sha256: str) -> str:
    """The name under which the picture of a photo is carried."""
    return f"picture-{sha256}"


def picture_text(jpeg: bytes) -> str:
    """A picture as it is carried."""
    return base64.b64encode(jpeg).decode("ascii")


def picture_of(own: Mapping[str, str], sha256: str) -> bytes | None:
    """The picture of a photo, or None if it is not at hand or no JPEG."""
    try:
        data = base64.b64decode(own.get(picture_name(sha256), ""), validate=True)
    except binascii.Error:
        return None
    return data if data.startswith(JPEG_HEAD) else None
