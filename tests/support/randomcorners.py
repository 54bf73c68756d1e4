"""Random corners for the drop follower: pieces laid anyhow on the faces of a scene."""

from __future__ import annotations

from cornerscenes import SCENES
from dropgeometry import Point
from hypothesis import strategies as st

from weatherlap.job.model import Job

SHEETS = ("sheds", "sheds", "resists", "absorbs", "resists", "open")
_OFF = 0.07
"""Troughs lie off the half inches by this, once to six times: more than 1/16 in apart. [in]"""
_APART = 0.02
"""Troughs of one piece lie off each other by this, so that none ends where another does. [in]"""
NEVER_FULL = 20.0
"""Width and depth of a lip that no rain fills. [in]"""
PASSES = (None, None, 0, 0.25)


def _outline(face: dict) -> list[Point]:
    if "outline" in face:
        return [(float(u), float(v)) for u, v in face["outline"]]
    w, h = face["width"], face["height"]
    return [(0.0, 0.0), (w, 0.0), (w, h), (0.0, h)]


def clipped(shape: list[Point], outline: list[Point]) -> list[Point]:
    """The part of a polygon inside a convex one whose corners go round to the left. [in]"""
    for (ax, ay), (bx, by) in zip(outline, outline[1:] + outline[:1], strict=True):
        kept: list[Point] = []
        sides = [(bx - ax) * (y - ay) - (by - ay) * (x - ax) for x, y in shape]
        for k, (x, y) in enumerate(shape):
            (px, py), before, now = shape[k - 1], sides[k - 1], sides[k]
            if before * now < 0:
                t = before / (before - now)
                kept.append((px + t * (x - px), py + t * (y - py)))
            if now >= 0:
                kept.append((x, y))
        shape = kept
    return shape


def _area(shape: list[Point]) -> float:
    pairs = zip(shape, shape[1:] + shape[:1], strict=True)
    return 0.5 * abs(sum(x0 * y1 - x1 * y0 for (x0, y0), (x1, y1) in pairs))


@st.composite
def _span(draw, low: float, high: float) -> tuple[float, float]:
    """Two multiples of 1/2 in, often the ends of the range. [in]"""
    steps = round(2 * (high - low))
    a = draw(st.one_of(st.just(0), st.integers(0, steps - 1)))
    b = draw(st.one_of(st.just(steps), st.integers(a + 1, steps)))
    return low + 0.5 * a, low + 0.5 * b


@st.composite
def _trough(draw, rect: tuple[float, float, float, float], off: float) -> dict:
    """A lip on a panel at least 1 in high and wide, its ends ``off`` from the half inches."""
    left, low, right, top = rect
    wide, tall = round(2 * (right - left)), round(2 * (top - low))
    a = draw(st.integers(0, wide - 2))
    b = draw(st.integers(a + 1, wide - 1))
    u0, u1 = left + 0.5 * a + off, left + 0.5 * b + off
    v0 = low + 0.5 * draw(st.integers(0, tall - 1)) + off
    v1 = draw(st.sampled_from([v0, low + 0.5 * draw(st.integers(0, tall - 1)) + off]))
    line = draw(st.permutations([[u0, v0], [u1, v1]]))
    closed = draw(st.sampled_from([[], [], ["start"], ["end"], ["start", "end"]]))
    return {"line": line, "closed": closed}


@st.composite
def _panel(draw, face: dict, *, trough_size: float, off: float, slanted: bool) -> dict | None:
    """A panel on a face: a box, a box with a corner cut off, or its part on the face."""
    outline = _outline(face)
    us, vs = [u for u, _ in outline], [v for _, v in outline]
    (left, right), (low, top) = draw(_span(min(us), max(us))), draw(_span(min(vs), max(vs)))
    shape = [(left, low), (right, low), (right, top), (left, top)]
    if slanted and draw(st.booleans()):
        shape = _cornered(draw, shape)
    part = clipped(shape, outline)
    if len(part) < 3 or _area(part) < 0.2:
        return None
    whole = part == shape and len(shape) == 4
    panel: dict = {"face": face["id"], "outline": part}
    if whole and len({u for u, _ in shape}) == len({v for _, v in shape}) == 2:
        panel = {"face": face["id"], "rect": [left, low, right, top]}
        if trough_size and min(right - left, top - low) >= 1 and draw(st.integers(0, 3)) == 0:
            size = {"width": trough_size, "depth": trough_size}
            panel["trough"] = draw(_trough((left, low, right, top), off)) | size
    return panel


def _cornered(draw, shape: list[Point]) -> list[Point]:
    """A box with one corner cut off at 1 in 1, 1 in 2 or 2 in 1."""
    k = draw(st.integers(0, 3))
    (x, y), (px, py), (nx, ny) = shape[k], shape[k - 1], shape[(k + 1) % 4]
    wide, tall = abs(nx - px), abs(ny - py)
    over, up = draw(st.sampled_from([(1, 1), (2, 1), (1, 2)]))
    most = int(2 * min(wide / over, tall / up))
    if most < 1:
        return shape
    size = 0.5 * draw(st.integers(1, most))

    def toward(a: float, b: float, far: float) -> float:
        return b if abs(b - a) <= far else a + (far if b > a else -far)

    first = (toward(x, px, over * size), toward(y, py, up * size))
    last = (toward(x, nx, over * size), toward(y, ny, up * size))
    cut = [*shape[:k], first, last, *shape[k + 1 :]]
    return [p for i, p in enumerate(cut) if p != cut[i - 1]]


@st.composite
def _piece(draw, faces: list[dict], names: list[str], sizes, *, slanted: bool) -> dict:
    sheet = draw(st.sampled_from(SHEETS))
    count = draw(st.integers(1, min(3, len(faces) + 1)))
    panels = []
    for face in draw(st.permutations(faces * 2))[:count]:
        off = _OFF * (1 + len(names) % 6) + _APART * len(panels)
        size = draw(st.sampled_from(sizes))
        panel = draw(_panel(face, trough_size=size, off=off, slanted=slanted))
        if panel is not None and not _clashes(panel, panels):
            panels.append(panel)
    piece: dict = {"id": f"p{len(names)}", "sheet": sheet, "on": panels}
    sealed = draw(st.sampled_from([[], [], [], ["top"], ["bottom"], ["top", "bottom"]]))
    piece["sealed"] = sealed
    piece["drip"] = draw(st.booleans())
    piece["passes"] = draw(st.sampled_from(PASSES))
    if names and draw(st.integers(0, 3)) == 0:
        first = draw(st.integers(0, len(names) - 1))
        last = draw(st.sampled_from([len(names), draw(st.integers(first + 1, len(names)))]))
        piece["behind"] = names[first:last]
    return piece


def _clashes(panel: dict, others: list[dict]) -> bool:
    """Whether two panels of one piece on one face could overlap."""
    return any(_overlap(_bounds(panel), _bounds(o)) for o in others if o["face"] == panel["face"])


def _bounds(panel: dict) -> tuple[float, float, float, float]:
    if "rect" in panel:
        return tuple(panel["rect"])
    us, vs = zip(*panel["outline"], strict=True)
    return min(us), min(vs), max(us), max(vs)


def _overlap(a, b) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@st.composite
def corners(
    draw,
    *,
    scenes: tuple[str, ...] = tuple(SCENES),
    slanted: bool = True,
    trough_sizes: tuple[float, ...] = (NEVER_FULL,),
    gutters: bool = True,
) -> Job:
    """A job with random pieces on the faces of one of the scenes.

    ``slanted`` allows cut corners; ``trough_sizes`` are the widths and depths of lips, 0 for no
    lip; ``gutters`` allows the scene's gutters. [in]
    """
    faces, hung = SCENES[draw(st.sampled_from(scenes))]()
    names: list[str] = []
    pieces: list[dict] = []
    for _ in range(draw(st.integers(1, 7))):
        piece = draw(_piece(faces, names, trough_sizes, slanted=slanted))
        if piece["on"]:
            names.append(piece["id"])
            pieces.append(piece)
    if hung and gutters and draw(st.booleans()):
        pieces += hung
    return Job.model_validate({"job": {"title": "random"}, "face": faces, "piece": pieces})
