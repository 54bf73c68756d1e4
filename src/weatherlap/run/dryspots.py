"""A spot of the corner as a stack of layers: pieces from the model, the rest as the job says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from weatherlap.building.corner import Corner, Piece
from weatherlap.drying.air import Array
from weatherlap.drying.capacity import spread_leak
from weatherlap.drying.climate import Climate, driving_rain_kg_m2_h
from weatherlap.drying.materials import Kind, material, materials
from weatherlap.drying.model import Inside, Layer, Leak, Place, Wall
from weatherlap.drying.venting import GAPS, Cladding
from weatherlap.errors import InputError
from weatherlap.job.dryrecords import DryRecord
from weatherlap.job.model import Sheet
from weatherlap.run.dryleaks import LeakAt, Wetted
from weatherlap.run.places import over
from weatherlap.sources.catalogue import Entry, Role, entry

M_PER_IN = 0.0254
HANGS_FREE = ("vinyl", "aluminium", "steel", "copper")
GAP_WORDS = {"vented": Cladding.LAPPED, "brick": Cladding.BRICK, "tight": Cladding.TIGHT}
OPEN_FOOT_AIR_CHANGES = 1.0
"""Air changes an hour behind a tight cladding whose lower edge is open (D-039: 0 to 1). [1/h]"""
GAP = "air gap"


@dataclass(frozen=True, slots=True)
class SpotWall:
    """The stack at a spot in one state, with the names of its layers.

    ``numbers`` are the pieces of the corner in it; ``leak`` is what soaks there and ``held`` what
    a closed edge holds there; ``takes`` is the layer that the leak goes into.
    """

    wall: Wall
    names: dict[str, str]
    pieces: frozenset[str]
    leak: LeakAt | None
    held: LeakAt | None
    takes: str
    passed: frozenset[str]

    @property
    def leak_kg_m2(self) -> float:
        """What gets to this spot in a year. [kg/m2]"""
        return sum(x.kg_m2 for x in (self.leak, self.held) if x is not None)

    def same_as(self, other: SpotWall) -> bool:
        """Whether the other has the same layers and, to 1 %, the same water."""
        near = abs(self.leak_kg_m2 - other.leak_kg_m2) <= 0.01 * self.leak_kg_m2
        return near and self.wall.layers == other.wall.layers


def spot_wall(spot: DryRecord, corner: Corner, wetted: Wetted, climate: Climate) -> SpotWall:
    """The stack at a spot, from outside to inside, with what leaks into it.

    Raises
    ------
    InputError
        If no piece lies there, or what one is made of is not known.

    Sources
    -------
    D-020, D-039 : gaps. D-040 : leaks.
    """
    where = f"dry {spot.id!r}"
    face = corner.face_named[spot.face]
    stack = [corner.pieces[p] for p in over(corner, face=face.index, at=spot.at, piece=None)]
    if not stack:
        raise InputError(where, "no piece lies there", "a place that at least one piece covers")
    made = {p.id: _layer(where, spot, p) for p in stack}
    layers = _with_gap(spot, stack, made)
    for k, row in enumerate(spot.behind, start=1):
        own = f"behind {k}"
        layers.append(
            (row.title or row.material, Layer(own, row.material, row.thickness * M_PER_IN))
        )
    wall = Wall(
        name=spot.title or spot.id,
        layers=tuple(x for _, x in layers),
        facing_deg=face.facing_deg,
        tilt_deg=face.tilt_deg,
        inside=Inside(spot.inside),
    )
    names = {x.id: name for name, x in layers}
    found = _leak(spot, corner, stack, wetted)
    held = wetted.held_at(face=face.index, at=spot.at, piece=stack[0].index)
    takes = corner.pieces[found.piece].id if found else _takes(wall)
    passed = (found.from_pieces if found else frozenset()) | (held.from_pieces if held else set())
    spotted = SpotWall(
        wall=wall,
        names=names,
        pieces=frozenset(made),
        leak=found,
        held=held if GAP in names else None,
        takes=takes,
        passed=frozenset(corner.pieces[p].id for p in passed),
    )
    return replace(spotted, wall=replace(wall, leaks=_leaks(spotted, climate)))


def leak_pattern(wall: Wall, climate: Climate) -> Array:
    """When it leaks: the driving rain on this face, or the rain where no wind drives it."""
    driving = driving_rain_kg_m2_h(climate, facing_deg=wall.facing_deg)
    return driving if float(driving.sum()) > 0.0 else climate.rain_mm_h


def _layer(where: str, spot: DryRecord, piece: Piece) -> Layer:
    """The layer that a piece is."""
    if piece.record.what is None:
        raise InputError(
            where,
            f"piece {piece.id!r} does not say what it is made of",
            "`what`, an entry of the catalogue",
            "Drying needs the material and thickness of every piece at the spot.",
        )
    known = entry(piece.record.what)
    if known.material not in materials():
        found = f"no data for {known.material!r}, of piece {piece.id!r}"
        raise InputError(where, found, "a material that drying knows", "Choose another spot.")
    thick = spot.thickness.get(piece.id, known.thickness_in) * M_PER_IN
    return Layer(piece.id, known.material, thick, permeance_perm=_permeance(known))


def _permeance(known: Entry) -> tuple[float, float] | None:
    """The sheet's own permeance from the catalogue; None where the table of materials serves."""
    low_high = known.permeance_perm
    if known.role is not Role.BARRIER or low_high is None or min(low_high) <= 0.0:
        return None
    return low_high


def _with_gap(
    spot: DryRecord, stack: Sequence[Piece], made: dict[str, Layer]
) -> list[tuple[str, Layer]]:
    """The layers with their names, and the air gap behind what stands off."""
    rows = [(p.title, made[p.id]) for p in stack]
    skin = 0
    while skin < len(stack) and stack[skin].role in ("cladding", "trim", "channel"):
        skin += 1
    behind = stack[skin] if skin < len(stack) else None
    if not skin or (behind is not None and behind.sheet is Sheet.OPEN):
        return rows
    if behind is None and not spot.behind:
        return rows
    rows.insert(skin, (GAP, _gap(spot, stack[:skin])))
    return rows


def _gap(spot: DryRecord, skin: Sequence[Piece]) -> Layer:
    """The air gap behind a cladding, by how its pieces are made and closed."""
    closed = any(p.sealed_bottom for p in skin)
    kind = GAP_WORDS[spot.gap] if spot.gap else _kind(skin, closed=closed)
    gap = GAPS[kind]
    changes = gap.air_changes_per_h.middle
    if kind is Cladding.TIGHT and not closed:
        changes = OPEN_FOOT_AIR_CHANGES
    return Layer(GAP, "air", gap.depth_m, air_changes_per_h=changes, drains=not closed)


def _kind(skin: Sequence[Piece], *, closed: bool) -> Cladding:
    """How a cladding stands off, from what it is."""
    known = [entry(p.record.what) for p in skin if p.record.what]
    if closed or any(e.role is not Role.CLADDING for e in known):
        return Cladding.TIGHT
    if any(e.material == "brick" for e in known):
        return Cladding.BRICK
    return Cladding.LAPPED if all(e.material in HANGS_FREE for e in known) else Cladding.TIGHT


def _leak(spot: DryRecord, corner: Corner, stack: Sequence[Piece], wetted: Wetted) -> LeakAt | None:
    """What soaks the outermost piece that takes water here."""
    face = corner.face_named[spot.face].index
    for piece in stack:
        found = wetted.soaks_at(face=face, at=spot.at, piece=piece.index)
        if found is not None:
            return found
    return None


def _takes(wall: Wall) -> str:
    """The outermost wooden layer, which would take a leak."""
    wooden = wall.wooden()
    if not wooden:
        raise InputError(
            f"dry spot {wall.name!r}",
            "no layer of wood lies there",
            "at least one piece or layer of wood",
            "Choose a spot over wood, or give the layers behind it in `behind`.",
        )
    return wooden[0]


def _leaks(spotted: SpotWall, climate: Climate) -> tuple[Leak, ...]:
    """Both leaks hour by hour, as the rain drives onto the face."""
    wall, found = spotted.wall, []
    pattern = leak_pattern(wall, climate)
    if spotted.leak is not None:
        hourly = spread_leak(pattern, kg_m2_year=spotted.leak.kg_m2)
        found.append(Leak(spotted.takes, hourly, Place.OUTER_FACE))
    if spotted.held is not None:
        hourly = spread_leak(pattern, kg_m2_year=spotted.held.kg_m2)
        found.append(Leak(GAP, hourly, Place.THROUGHOUT))
    return tuple(found)


def is_wood(layer: Layer) -> bool:
    """Whether a layer is of wood."""
    return material(layer.material).kind is Kind.WOOD
