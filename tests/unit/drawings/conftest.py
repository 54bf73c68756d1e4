"""Jobs that the drawings are tried on, and what a drawing is asked in every test."""

from __future__ import annotations

import math
from collections.abc import Callable
from xml.etree import ElementTree

import pytest

from weatherlap.building.corner import build_corner
from weatherlap.drawings.lettering import text_width
from weatherlap.drawings.shown import Shown, show
from weatherlap.job.reading import read_job
from weatherlap.water.rain import site_rain
from weatherlap.water.trace import trace

SVG = "{http://www.w3.org/2000/svg}"

WRONG_LAP = """
[job]
title = "Laps the wrong way round"

[[face]]
id = "wall"
facing = 180
tilt = 90
origin = [0, 0, 0]
width = 96
height = 96

[[piece]]
id = "sheathing"
sheet = "absorbs"
on = [{ face = "wall", rect = [0, 0, 96, 96] }]

[[piece]]
id = "barrier-upper"
sheet = "resists"
on = [{ face = "wall", rect = [0, 46, 96, 96] }]

[[piece]]
id = "barrier-lower"
sheet = "resists"
on = [{ face = "wall", rect = [0, 0, 96, 52] }]

[[cut]]
id = "A"
face = "wall"
at = 40
"""


def face_text(name: str, facing: float, tilt: float, origin: tuple[float, ...], size: tuple) -> str:
    """A face of a job file."""
    return (
        f'[[face]]\nid = "{name}"\nfacing = {facing}\ntilt = {tilt}\n'
        f"origin = {list(origin)}\nwidth = {size[0]}\nheight = {size[1]}\n"
    )


def piece_text(name: str, sheet: str, on: list[tuple[str, tuple]], more: str = "") -> str:
    """A piece of a job file, with a rectangle on each face."""
    panels = ", ".join(f'{{ face = "{f}", rect = {list(r)} }}' for f, r in on)
    return f'[[piece]]\nid = "{name}"\nsheet = "{sheet}"\non = [{panels}]\n{more}\n'


def porch_text(*, reverse: bool = False, courses: int = 8, title: str = "Porch roof") -> str:
    """A porch roof that runs into a wall, with its fascia, ceiling and gutter."""
    fall = math.atan2(4, 12)
    long = 48 / math.cos(fall)
    rows = [
        f'[job]\ntitle = "{title}"\n',
        face_text("wall", 180, 90, (0, 0, 0), (96, 120)),
        face_text("roof", 180, round(math.degrees(fall), 4), (0, -48, 56), (96, long)),
        face_text("fascia", 180, 90, (0, -48, 48), (96, 8)),
        face_text("ceiling", 180, 180, (0, 0, 48), (96, 48)),
        piece_text("wall-sheathing", "absorbs", [("wall", (0, 0, 96, 120))]),
        piece_text("roof-deck", "absorbs", [("roof", (0, 0, 96, long))]),
        piece_text("fascia-board", "absorbs", [("fascia", (0, 0, 96, 8))]),
        piece_text("ceiling-boards", "absorbs", [("ceiling", (0, 0, 96, 48))]),
        piece_text(
            "drip-edge", "sheds", [("roof", (0, 0, 96, 4)), ("fascia", (0, 6, 96, 8))],
            "drip = true",
        ),
        piece_text("roof-felt", "resists", [("roof", (0, 0, 96, long))]),
    ]  # fmt: skip
    step = long / 8
    rows += [
        piece_text(
            f"shingle-{i + 1}", "sheds", [("roof", (0, i * step, 96, min(long, i * step + 12)))]
        )
        for i in range(8)
    ]
    rows.append(
        piece_text(
            "apron", "sheds", [("wall", (0, 72, 96, 77)), ("roof", (0, long - 5, 96, long))],
            "passes = 0",
        )
    )  # fmt: skip
    behind = 'behind = ["apron"]' if reverse else ""
    rows.append(piece_text("barrier", "resists", [("wall", (0, 72, 96, 120))], behind))
    step = 46 / courses
    rows += [
        piece_text(
            f"siding-{i + 1}", "sheds",
            [("wall", (0, 74 + i * step, 96, min(120, 75.25 + (i + 1) * step)))],
        )
        for i in range(courses)
    ]  # fmt: skip
    rows.append(
        '[[piece]]\nid = "gutter"\n'
        "gutter = { line = [[0, -50.5, 55], [96, -50.5, 54.5]], width = 5 }\n"
        '[[cut]]\nid = "A"\nface = "wall"\nat = 40\ntitle = "Through the porch"\n'
        '[[reading]]\nface = "wall"\nat = [30, 60]\npercent = 27\n'
        '[[damage]]\nface = "ceiling"\nat = [50, 40]\ntext = "stain"\n'
    )
    return "\n".join(rows)


def wall_of_pieces(count: int) -> str:
    """A wall of sheathing, barrier and short lengths of siding, so many pieces in all."""
    rows = (count - 2) // 4
    high = 240 / rows
    text = [
        '[job]\ntitle = "Many pieces"\n',
        face_text("wall", 180, 90, (0, 0, 0), (480, 240)),
        piece_text("sheathing", "absorbs", [("wall", (0, 0, 480, 240))]),
        piece_text("barrier", "resists", [("wall", (0, 0, 480, 240))]),
    ]
    for r in range(rows):
        for k in range(4):
            rect = (k * 120, r * high, k * 120 + 120, min(240, (r + 1) * high + 1))
            text.append(piece_text(f"siding-{4 * r + k + 1}", "sheds", [("wall", rect)]))
    return "\n".join(text)


def shown_of(text: str) -> Shown:
    """What the drawings of a job file's text show, with its water."""
    job = read_job(text)
    corner = build_corner(job)
    return show(
        job.job.title,
        corner,
        trace=trace(corner, site_rain(job.site)),
        readings=job.reading,
        damages=job.damage,
        cuts=job.cut,
    )


@pytest.fixture(scope="session")
def wrong_lap() -> Shown:
    """A wall whose lower barrier sheet laps over the upper one."""
    return shown_of(WRONG_LAP)


@pytest.fixture(scope="session")
def porch() -> Shown:
    """A porch roof under a wall, the barrier over the apron."""
    return shown_of(porch_text())


@pytest.fixture(scope="session")
def porch_reversed() -> Shown:
    """The same with the barrier behind the apron."""
    return shown_of(porch_text(reverse=True))


@pytest.fixture(scope="session")
def draw_text() -> Callable[[str], Shown]:
    """Makes what is shown from a job file's text."""
    return shown_of


@pytest.fixture(scope="session")
def porch_job() -> Callable[..., str]:
    """Makes the text of a porch."""
    return porch_text


@pytest.fixture(scope="session")
def many_pieces() -> Shown:
    """A wall of 198 pieces."""
    return shown_of(wall_of_pieces(200))


class Seen:
    """A drawing read back: its tree, words, ringed letters and everything's numbers."""

    def __init__(self, svg: str) -> None:
        self.tree = ElementTree.fromstring(svg)
        self.words = " ".join(t.text or "" for t in self.tree.iter(f"{SVG}text"))
        self.rings = [
            (c.get("data-finding"), float(c.get("cx")), float(c.get("cy")), float(c.get("r")))
            for c in self.tree.iter(f"{SVG}circle")
            if c.get("data-finding")
        ]

    @property
    def letters(self) -> list[str]:
        """The letters in rings."""
        return sorted(letter for letter, *_ in self.rings)

    def overlapping_rings(self) -> list[tuple[str, str]]:
        """Pairs of ringed letters that touch."""
        return [
            (a[0], b[0])
            for i, a in enumerate(self.rings)
            for b in self.rings[:i]
            if math.dist(a[1:3], b[1:3]) < a[3] + b[3]
        ]

    def outside(self) -> list[str]:
        """Ends of lines and texts that lie beyond the drawing's edge."""
        _, _, width, height = map(float, self.tree.get("viewBox").split())
        found = []
        for t in self.tree.iter(f"{SVG}text"):
            x, y = float(t.get("x")), float(t.get("y"))
            wide = text_width(t.text or "", float(t.get("font-size")))
            before = {"middle": 0.5, "end": 1.0}.get(t.get("text-anchor"), 0.0) * wide
            if t.get("transform"):
                before = wide = 0.0
            if not (x - before >= -2 and x - before + wide <= width + 2 and 0 <= y <= height):
                found.append(t.text or "")
        for tag in ("polyline", "polygon"):
            for e in self.tree.iter(f"{SVG}{tag}"):
                for pair in e.get("points").split():
                    x, y = map(float, pair.split(","))
                    if not (-1 <= x <= width + 1 and -1 <= y <= height + 1):
                        found.append(pair)
        return found

    def pieces(self) -> set[str]:
        """Ids of the pieces that are drawn."""
        return {e.get("data-piece") for e in self.tree.iter() if e.get("data-piece")}


@pytest.fixture(scope="session")
def seen() -> type[Seen]:
    """Reads a drawing back."""
    return Seen
