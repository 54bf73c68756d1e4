"""Everything that was surveyed and asked about what holds the corner up, in one record."""

from __future__ import annotations

from dataclasses import dataclass

from weatherlap.structure.anchors import AnchorGroup, Slab
from weatherlap.structure.connections import Fastening
from weatherlap.structure.model import Framing, Stage
from weatherlap.structure.ply_nailing import PlyNailing
from weatherlap.structure.roof_model import Deck, Roof
from weatherlap.structure.site import Site


@dataclass(frozen=True, slots=True)
class AnchoredBase:
    """Screw anchors under the base at a support, in their slab."""

    support: str
    group: AnchorGroup
    slab: Slab


@dataclass(frozen=True, slots=True)
class NailedPlies:
    """How the plies of a member are nailed; ``side_share`` of its load hangs on one outer ply.

    ``end_in``: last nail from the end, for a column. [in]
    """

    member: str
    nailing: PlyNailing
    side_share: float = 0.0
    end_in: float = 0.0


@dataclass(frozen=True, slots=True)
class Survey:
    """Framing, roofs and decks that load it, the place, how it is fastened, and the stages."""

    framing: Framing
    site: Site
    stages: tuple[Stage, ...]
    first: frozenset[str]
    roofs: tuple[Roof, ...] = ()
    decks: tuple[Deck, ...] = ()
    fastenings: tuple[Fastening, ...] = ()
    bases: tuple[AnchoredBase, ...] = ()
    plies: tuple[NailedPlies, ...] = ()
