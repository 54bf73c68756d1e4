"""Places on the corner in words, as one would find them with a tape."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely import Point

from weatherlap.building.corner import Corner
from weatherlap.shape.folds import TOUCH_IN
from weatherlap.units import tape

WALL_FROM_DEG = 60.0


def place_words(corner: Corner, *, face: int, at: tuple[float, float]) -> str:
    """A place by tape: ``1' 3" right, 2' 1" up on the side wall``. [in]

    Right is measured from the face's left end and up from its foot, seen from outside.
    """
    side = corner.faces[face]
    left, foot, _, _ = side.outline.bounds
    return f"{tape(at[0] - left)} right, {tape(at[1] - foot)} {up_words(corner, face)} {side.title}"


def up_words(corner: Corner, face: int) -> str:
    """How the second measure of a face is taken: ``up on the``, ``up the slope of the``."""
    side = corner.faces[face]
    if side.looks_down:
        return "across the underside of the" if "underside" not in side.title else "across the"
    if side.is_level:
        return "back on the"
    return "up on the" if side.tilt_deg > WALL_FROM_DEG else "up the slope of the"


def listed(names: Sequence[str]) -> str:
    """Names in a sentence: ``a``, ``a and b``, ``a, b and c``."""
    if len(names) < 2:
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def capital(text: str) -> str:
    """The text with a capital first letter."""
    return f"{text[:1].upper()}{text[1:]}"


def over(corner: Corner, *, face: int, at: tuple[float, float], piece: int | None) -> list[int]:
    """Pieces that cover a place on a face, outside a piece (or all), the outermost first. [in]"""
    panels = corner.panels_on[face]
    if not panels:
        return []
    shapes = np.array([corner.panels[p].polygon for p in panels])
    near = np.flatnonzero(shapely.dwithin(shapes, Point(at), TOUCH_IN))
    found = [corner.panels[panels[i]].piece for i in near.tolist()]
    kept = [p for p in dict.fromkeys(found) if piece is None or _outside(corner, p, piece)]
    return sorted(kept, key=lambda p: sum(_outside(corner, q, p) for q in kept))


def _outside(corner: Corner, a: int, b: int) -> bool:
    return a != b and corner.outside(a, b)
