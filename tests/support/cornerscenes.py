"""Sets of faces that meet in the ways that houses do, for random pieces to be laid on.

Places on faces are multiples of 1/2 in and slopes 3 in 4, so that no two edges lie between
nothing and 1/16 in apart.  Gutters run beyond the eaves or end 1/4 in off.
"""

from __future__ import annotations

import math

SLOPE = math.degrees(math.atan2(3, 4))
"""A roof of 9 in 12: 5 in on it are 4 in on plan and 3 in of height. [deg]"""


def _face(name, origin, *, tilt=90.0, facing=180.0, size=(12.0, 10.0), outline=None):
    shape = {"outline": outline} if outline else {"width": size[0], "height": size[1]}
    return {"id": name, "tilt": tilt, "facing": facing, "origin": list(origin), **shape}


def _gutter(name, first, last, width):
    return {"id": name, "sheet": "sheds", "gutter": {"line": [first, last], "width": width}}


def wall():
    """One wall."""
    return [_face("wall", (0, 0, 0))], []


def wall_over_roof():
    """A roof falls away from a wall's foot; a gutter under part of its eave."""
    faces = [_face("wall", (0, 0, 0)), _face("roof", (0, -8, -6), tilt=SLOPE)]
    return faces, [_gutter("gutter", (-1, -9, -7), (7.25, -9, -7.5), 4)]


def roof_into_wall():
    """A roof's top edge lies across the middle of a wall, and ends short of one side."""
    return [_face("wall", (0, 0, 0)), _face("roof", (2, -8, -1.5), tilt=SLOPE)], []


def roof_beside_wall():
    """A roof's left rim lies along a sloping line in the middle of a wall."""
    faces = [
        _face("wall", (0, 0, 0), facing=90),
        _face("roof", (0, 2, 1), tilt=SLOPE, size=(6.0, 10.0)),
    ]
    return faces, []


def roof_beside_cut_wall():
    """A wall's slanting foot stands on a roof's right rim; a gutter across the eave."""
    faces = [
        _face("roof", (-6, -8, 0), tilt=SLOPE, size=(6.0, 10.0)),
        _face("wall", (0, 0, 0), facing=270, outline=[(0, 6), (8, 0), (8, 10), (0, 10)]),
    ]
    return faces, [_gutter("gutter", (-4.25, -8, -1), (1, -8, -1), 3)]


def eave():
    """A roof, its fascia and the underside behind it, over a lower roof and a gutter."""
    faces = [
        _face("roof", (0, -8, 20), tilt=SLOPE),
        _face("fascia", (0, -8, 16), size=(12.0, 4.0)),
        _face("soffit", (0, -4, 16), tilt=180.0, size=(12.0, 4.0)),
        _face("lower", (-2, -15.3, 0), tilt=SLOPE, size=(16.0, 15.0)),
    ]
    return faces, [_gutter("gutter", (7.25, -8, 12), (11.25, -8, 12), 1)]


def leaning_underside():
    """A wall over an underside that leans in, and a narrower level top below."""
    faces = [
        _face("wall", (0, 0, 10)),
        _face("under", (0, 6, 2), tilt=180.0 - SLOPE * 4 / 3, size=(12.0, 10.0)),
        _face("shelf", (3.25, -3, 0), tilt=0.0, size=(5.0, 7.5)),
    ]
    rise, run = 8.0, 6.0
    faces[1]["tilt"] = math.degrees(math.atan2(rise, -run))
    return faces, []


def deck():
    """A wall on a level top with a front below it."""
    faces = [
        _face("wall", (0, 0, 0)),
        _face("top", (0, -5, 0), tilt=0.0, size=(12.0, 5.0)),
        _face("front", (0, -5, -6), size=(12.0, 6.0)),
    ]
    return faces, []


def stacked():
    """Two walls in one plane, the upper one wider."""
    return [_face("upper", (-2, 0, 10), size=(16.0, 8.0)), _face("lower", (0, 0, 0))], []


def beam():
    """A beam's sloping cap runs into the middle of a wall; a side, a front and an underside."""
    faces = [
        _face("wall", (0, 0, -4), size=(12.0, 14.0)),
        _face("cap", (4, -8, -2), tilt=SLOPE, size=(4.0, 10.0)),
        _face("east", (8, -8, -4), facing=90, outline=[(0, 0), (8, 0), (8, 8), (0, 2)]),
        _face("front", (4, -8, -4), size=(4.0, 2.0)),
        _face("under", (4, 0, -4), tilt=180.0, size=(4.0, 8.0)),
    ]
    return faces, []


def _valley_roofs():
    south = [(8, 0), (14, 0), (14, 10), (0, 10)]
    east = [(0, 0), (6, 0), (14, 10), (0, 10)]
    return [
        _face("south", (-8, 0, 0), tilt=SLOPE, outline=south),
        _face("east", (0, -6, 0), tilt=SLOPE, facing=90, outline=east),
    ]


def valley():
    """Two roofs that meet in a valley; a gutter under one eave."""
    return _valley_roofs(), [_gutter("gutter", (-1, 0.5, -2), (3.25, 0.5, -2), 3)]


def valley_over_deck():
    """Two roofs that meet in a valley, their eaves on a level top."""
    deck = _face("deck", (-2, -6, 0), tilt=0.0, size=(8.0, 8.0))
    return [*_valley_roofs(), deck], []


def against_wall():
    """A roof falls towards the foot of a wall."""
    faces = [
        _face("roof", (0, 0, 4), tilt=SLOPE),
        _face("wall", (12, 0, 4), facing=0, size=(12.0, 6.0)),
    ]
    return faces, []


def raked():
    """A wall whose foot is a point, above a roof."""
    foot = [(0, 4), (6, 0), (12, 4), (12, 10), (0, 10)]
    faces = [
        _face("wall", (0, -2.1, 12), outline=foot),
        _face("roof", (2.25, -8, 0), tilt=SLOPE, size=(8.0, 10.0)),
    ]
    return faces, [_gutter("gutter", (-1, -2, 13), (4.25, -2, 11), 1)]


SCENES = {
    f.__name__: f
    for f in (
        wall,
        wall_over_roof,
        roof_into_wall,
        roof_beside_wall,
        roof_beside_cut_wall,
        eave,
        leaning_underside,
        deck,
        stacked,
        beam,
        valley,
        valley_over_deck,
        against_wall,
        raked,
    )
}
