"""A job as one file to hand out: read anywhere, with no network and no script."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from html import escape
from pathlib import Path
from typing import Any

from weatherlap.papers.pictures import Picture
from weatherlap.store.photos import Photo, Photos

MOST_PHOTOS = 40
PHOTO_PX = 1000
_STYLE = Path(__file__).parent / "static" / "handout.css"


def handout(said: dict[str, Any], drawn: Sequence[Picture], photos: Photos) -> str:
    """The page: verdict, findings, drawings, photos with their marks.

    Parameters
    ----------
    said : dict
        The summary of the job in the state that is handed out.
    drawn : sequence of Picture
        Its drawings.
    photos : Photos
        Where the photos of the job are.
    """
    style = _STYLE.read_text("utf-8")
    title = escape(said["title"])
    found = "".join(_finding(f) for f in said["findings"])
    drawings = "".join(f"<figure>{d.svg}</figure>" for d in drawn)
    shots = "".join(_photo(p, photos) for p in photos.of(said["job"])[:MOST_PHOTOS])
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width, initial-scale=1">'
        '<meta http-equiv="Content-Security-Policy" content="default-src \'none\'; '
        "img-src data:; style-src 'unsafe-inline'\">"
        f"<title>{title}</title><style>{style}</style></head><body>"
        f"<h1>{title}, as {escape(said['state'])}</h1>"
        f"<p class='verdict'>{escape(said['verdict'])}</p>"
        f"<h2>Findings</h2><ol>{found or '<li>None: the water runs off clear.</li>'}</ol>"
        f"<h2>Drawings</h2>{drawings}"
        f"{'<h2>Photos</h2>' + shots if shots else ''}"
        "<p>Local code and licensed practice decide what is built.</p></body></html>\n"
    )


def _finding(finding: dict[str, Any]) -> str:
    place = f"{finding['place']}; {finding['per_year']} a year."
    return (
        f"<li><b class='ring'>{escape(finding['letter'])}</b> <b>{escape(finding['title'])}.</b> "
        f"{escape(finding['text'])} <span>{escape(place)}</span></li>"
    )


def _photo(photo: Photo, photos: Photos) -> str:
    data = base64.b64encode(photos.small(photo, PHOTO_PX)).decode("ascii")
    words = escape(photo.words or "Photo")
    return (
        f"<figure class='photo'><div><img alt='{words}' src='data:image/jpeg;base64,{data}'>"
        f"{marks_svg(photo)}</div><figcaption>{words}</figcaption></figure>"
    )


def marks_svg(photo: Photo) -> str:
    """What is drawn over a photo, as SVG that lies on it."""
    high = 1000.0 * photo.height / photo.width
    rows = "".join(_mark(m, high) for m in photo.marks)
    return (
        f'<svg viewBox="0 0 1000 {high:.0f}" fill="none" stroke="#8d1a12" '
        f'stroke-width="7">{rows}</svg>'
    )


def _mark(mark: dict[str, Any], high: float) -> str:
    spots = [(1000.0 * x, high * y) for x, y in mark["spots"]]
    (x1, y1), (x2, y2) = spots[0], spots[-1]
    if mark["kind"] == "text":
        words = escape(mark["words"])
        return (
            f'<text x="{x1:.1f}" y="{y1:.1f}" font-size="44" fill="#8d1a12" stroke="#fff" '
            f'stroke-width="9" paint-order="stroke">{words}</text>'
        )
    if mark["kind"] == "ring":
        rx, ry = max(14.0, abs(x2 - x1) / 2), max(14.0, abs(y2 - y1) / 2)
        return (
            f'<ellipse cx="{(x1 + x2) / 2:.1f}" cy="{(y1 + y2) / 2:.1f}" '
            f'rx="{rx:.1f}" ry="{ry:.1f}"/>'
        )
    line = " ".join(f"{x:.1f},{y:.1f}" for x, y in spots)
    head = f'<circle cx="{x2:.1f}" cy="{y2:.1f}" r="14" fill="#8d1a12"/>'
    return f'<polyline points="{line}"/>{head if mark["kind"] == "arrow" else ""}'
