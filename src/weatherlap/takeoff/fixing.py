"""What holds, seals and paints the parts: counts that follow from spacing rules."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from weatherlap.sources.catalogue import Role, entry
from weatherlap.sources.goods import By, Form, Goods, Per, Use
from weatherlap.takeoff.model import Part, Sundry


def edge_nails(
    width_in: float, length_in: float, *, edge_in: float, field_in: float, supports_in: float
) -> int:
    """Nails of a sheet: round its edges, and on the supports between.

    Parameters
    ----------
    width_in, length_in : float
        Sides of the sheet; supports cross its length. [in]
    edge_in, field_in : float
        Spacing round the edges and along the supports between. [in]
    supports_in : float
        Supports are so far apart. [in]

    Returns
    -------
    int
        Nails. [-]

    Sources
    -------
    M-304 : 6 in at edges, 12 in between.
    """
    round_edges = 2 * (_gaps(width_in, edge_in) + _gaps(length_in, edge_in))
    between = max(_gaps(length_in, supports_in) - 1, 0)
    return round_edges + between * max(_gaps(width_in, field_in) - 1, 1)


def along_run(length_in: float, *, every_in: float) -> int:
    """Fasteners along a run, one at each end and none farther apart than asked.

    Parameters
    ----------
    length_in, every_in : float
        Length of the run and greatest spacing. [in]

    Returns
    -------
    int
        Fasteners. [-]

    Sources
    -------
    M-305, M-306 : spacing of siding, accessories, coil.
    """
    return _gaps(length_in, every_in) + 1


def _gaps(length_in: float, every_in: float) -> int:
    return max(1, math.ceil(length_in / every_in - 1e-6))


def sundries_of(parts: Sequence[Part], goods: Goods) -> Iterator[Sundry]:
    """What the parts of one piece are fixed, sealed and painted with."""
    if not parts:
        return
    for use in goods.uses_of(parts[0].entry):
        good = goods.good[use.good]
        own = [p for p in parts if use.only in ("", p.good.material)]
        units = sum(_COUNT[use.by](part, use, good.per) for part in own)
        if units > 0:
            share = units / good.gives if good.per in (Per.BEAD, Per.AREA) else units
            yield Sundry(
                good, share, parts[0].piece, use.why, use.source_keys, use.unless_framed
            )  # fmt: skip


def _edges(part: Part, use: Use, per: Per) -> float:
    del per
    return part.count * edge_nails(
        part.width_in,
        part.length_in,
        edge_in=use.every,
        field_in=use.field or use.every,
        supports_in=use.supports,
    )


def _run(part: Part, use: Use, per: Per) -> float:
    """Along each part; of plies, along each joint between two of them."""
    del per
    plies = bool(part.entry) and entry(part.entry).role is Role.FRAME
    runs = max(part.count - 1, 1) if plies else part.count
    return runs * along_run(part.length_in, every_in=use.every)


def _area(part: Part, use: Use, per: Per) -> float:
    del per
    return math.ceil(part.area_in2 / use.every)


def _piece(part: Part, use: Use, per: Per) -> float:
    """So many a piece; of things counted in packs, so many for each of them."""
    del per
    many = max(math.ceil(part.units), 1) if part.good.form is Form.EACH else part.count
    return float(use.number * many)


def _ends(part: Part, use: Use, per: Per) -> float:
    """A bead at both ends, or their faces brushed in so many coats. [in, in2]"""
    if per is Per.AREA:
        return 2 * use.every * part.count * max(part.good.thickness_in, 0.75) * part.width_in
    return 2 * use.every * part.count


def _seams(part: Part, use: Use, per: Per) -> float:
    """Tape up both sides of a patch: the height of each. [in, or rolls of the tape]"""
    del use, per
    return 2 * part.width_in / part.good.length_in


def _face(part: Part, use: Use, per: Per) -> float:
    """Coats on one face and the cut ends. [in2]"""
    del per
    return use.every * part.area_in2


_COUNT: dict[By, Callable[[Part, Use, Per], float]] = {
    By.EDGES: _edges,
    By.RUN: _run,
    By.AREA: _area,
    By.PIECE: _piece,
    By.ENDS: _ends,
    By.SEAMS: _seams,
    By.FACE: _face,
}
