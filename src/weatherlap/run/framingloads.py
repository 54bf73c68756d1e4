"""Loads from the corner's own faces and pieces: outlines in plan, layers by what lies on them."""

from __future__ import annotations

import shapely
from shapely import Polygon
from shapely.ops import unary_union

from weatherlap.building.corner import Corner, Face
from weatherlap.errors import InputError
from weatherlap.job.framingrecords import FramingSite
from weatherlap.job.loadrecords import AboveRecord, CarriedRecord, WindRecord
from weatherlap.job.model import Job
from weatherlap.run.framingmembers import Surveyed
from weatherlap.sources.catalogue import entry
from weatherlap.structure.dead import LoadLayer, layer_psf
from weatherlap.structure.results import Missing
from weatherlap.structure.roof_model import Deck, Roof, RoofWindAsk, UpperRoof, WindRoute
from weatherlap.structure.site import Exposure, Site, SnowEdition, SnowExposure, Stated
from weatherlap.structure.tables import table
from weatherlap.structure.tributary import Area, Plan
from weatherlap.structure.wind import STEEPEST_OPEN_ROOF_DEG
from weatherlap.units import IN_PER_FT, MPS_PER_MPH

LEAST_SHARE = 0.005
ROWS = ("rafter", "joist")
_ROUTES = {
    "open": WindRoute.OPEN, "canopy": WindRoute.CANOPY, "typed": WindRoute.TYPED,
    "none": WindRoute.NONE,
}  # fmt: skip


def site_of(asked: FramingSite) -> Site:
    """The values of the place, each with who stated it."""
    snow, wind, soil, winter = (asked.ground_snow, asked.wind, asked.soil, asked.winter_wind)
    return Site(
        ground_snow_psf=Stated(snow.value, snow.said_by) if snow else None,
        snow_edition=SnowEdition(asked.snow_edition),
        snow_exposure=SnowExposure(asked.snow_exposure),
        winter_wind=Stated(winter.value, winter.said_by) if winter else None,
        wind_mph=Stated(wind.value / MPS_PER_MPH, wind.said_by) if wind else None,
        exposure=Exposure(asked.exposure.value) if asked.exposure else None,
        roof_height_ft=None if asked.roof_height is None else asked.roof_height / IN_PER_FT,
        ground_elevation_factor=asked.ground_elevation_factor,
        topographic_factor=asked.topographic_factor,
        soil_psf=Stated(soil.value, soil.said_by) if soil else None,
    )


def roofs_and_decks(
    job: Job, corner: Corner, surveyed: Surveyed
) -> tuple[tuple[Roof, ...], tuple[Deck, ...]]:
    """What the framing carries, from the faces and the pieces on them.

    Raises
    ------
    InputError
        A face too steep, or a piece whose weight is not known.
    """
    roofs, decks = [], []
    for record in job.carried:
        face = corner.face_named[record.face]
        _check_face(record, face)
        if job.framing.wind is not None:
            _check_open(record, face)
        shape = _shape(record, face)
        area = Area(
            f"{record.kind} {face.title or face.id}", _plan(face, shape),
            surveyed.named(record.by), _wall(record, face, shape),
        )  # fmt: skip
        layers = (*layers_on(corner, face), *_extra(record))
        if record.kind == "floor":
            decks.append(Deck(area, layers, record.live, record.allowance))
        else:
            roofs.append(_roof(record, face, area, layers, shape))
    return tuple(roofs), tuple(decks)


def bare_rows(job: Job, surveyed: Surveyed) -> tuple[Missing, ...]:
    """Rows of rafters and joists, or the whole framing, that no face puts a load on."""
    if not job.carried:
        return (
            Missing(
                "the framing", "every load but the wood's own weight", "what it carries",
                "Say with [[carried]] which roof or floor lies on which members.", "S-064",
            ),
        )  # fmt: skip
    loaded = set(surveyed.named(tuple(name for c in job.carried for name in c.by)))
    return tuple(
        Missing(
            r.id, "loads", "what it carries",
            f"No [[carried]] names {r.id!r}: say which roof or floor lies on it, or it is worked "
            "out with its own weight alone.", "S-064",
        )
        for r in job.member
        if r.use in ROWS and not loaded & set(surveyed.rows[r.id])
    )  # fmt: skip


def _check_face(record: CarriedRecord, face: Face) -> None:
    """A roof looks up; a floor lies nearly level."""
    if face.tilt_deg > 70 or (record.kind == "floor" and face.tilt_deg > 5):
        raise InputError(
            f"carried face {face.id!r}", f"a tilt of {face.tilt_deg:g} degrees",
            "a roof of 0 to 70 degrees, or a floor of 0 to 5",
        )  # fmt: skip


def _check_open(record: CarriedRecord, face: Face) -> None:
    """The table of open roofs ends where they are steep."""
    is_open = record.kind == "roof" and record.wind.route == "open"
    if is_open and face.tilt_deg > STEEPEST_OPEN_ROOF_DEG:
        raise InputError(
            f"wind on carried face {face.id!r}",
            f"a slope of {face.tilt_deg:.1f} degrees by the route of open roofs",
            f"0 to {STEEPEST_OPEN_ROOF_DEG:g} degrees",
            'Have an engineer or the department give the pressures: wind = { route = "typed", '
            'up = 20, down = 10, said_by = "who" } holds them, or route = "none" leaves wind out.',
        )  # fmt: skip


def _shape(record: CarriedRecord, face: Face) -> Polygon:
    """The carried outline in the face's plane; the record's own must hold the drawn one."""
    if record.outline is None:
        return face.outline
    shape = Polygon(record.outline)
    if not shape.is_valid or not shape.buffer(1.0).covers(face.outline):
        raise InputError(
            f"carried face {face.id!r}", "an outline that does not hold the face as drawn",
            "the whole roof or floor, of which the face is a part",
        )  # fmt: skip
    return shape


def _plan(face: Face, shape: Polygon) -> tuple[Plan, ...]:
    """An outline in a face's plane as places in plan. [in]"""
    corners = shapely.get_coordinates(shape.exterior).tolist()[:-1]
    spots = [face.frame.to_space(u, v) for u, v in corners]
    return tuple((x, y) for x, y, _ in spots)


def _wall(record: CarriedRecord, face: Face, shape: Polygon) -> tuple[Plan, Plan] | None:
    """The line in plan of the wall that stands along one edge. [in]"""
    if record.wall == "none":
        return None
    left, low, right, high = shape.bounds
    ends = {
        "top": ((left, high), (right, high)), "left": ((left, low), (left, high)),
        "right": ((right, low), (right, high)),
    }[record.wall]  # fmt: skip
    (ax, ay, _), (bx, by, _) = (face.frame.to_space(u, v) for u, v in ends)
    return (ax, ay), (bx, by)


def layers_on(corner: Corner, face: Face) -> tuple[LoadLayer, ...]:
    """What lies on a face by weight: each kind of piece with the share of the face it covers.

    Raises
    ------
    InputError
        A piece whose weight is not known.

    Sources
    -------
    S-024 : layer weights.
    """
    shapes: dict[str, list[Polygon]] = {}
    for panel in corner.panels:
        if panel.face == face.index:
            piece = corner.pieces[panel.piece]
            if piece.record.what is None:
                raise _no_weight(piece.id, "no entry of the catalogue")
            shapes.setdefault(piece.record.what, []).append(panel.polygon)
    found = []
    for what, parts in shapes.items():
        share = unary_union(parts).area / face.outline.area
        if share >= LEAST_SHARE:
            cover = "" if share > 0.995 else f", over {100 * share:.0f} % of the face"
            psf = piece_psf(what)
            found.append(LoadLayer(f"{entry(what).name}{cover}", psf=psf * min(share, 1.0)))
    return tuple(found)


def piece_psf(what: str) -> float:
    """Weight of a kind of piece as it lies: its layer in the table, else thickness and density.

    Raises
    ------
    InputError
        Nobody knows it.
    """
    loads = table("loads")
    kind = entry(what)
    name = loads["piece"].get(what)
    if name is not None:
        return layer_psf(LoadLayer(name, kind.thickness_in))
    if kind.material not in loads["density_pcf"]:
        raise _no_weight(what, f"no weight of {kind.material!r} in the table of weights")
    return float(loads["density_pcf"][kind.material]) * kind.thickness_in / IN_PER_FT


def _no_weight(name: str, found: str) -> InputError:
    """A piece that nobody knows the weight of."""
    return InputError(
        f"dead load of {name!r}", found, "a piece whose weight is known",
        "Give its entry of the catalogue in `what`.",
    )  # fmt: skip


def _extra(record: CarriedRecord) -> tuple[LoadLayer, ...]:
    """Layers that are not in the model: a name of the table, with a thickness where it asks."""
    found = []
    for text in record.layers:
        name, _, thick = text.rpartition(" ")
        try:
            found.append(LoadLayer(name, float(thick)))
        except ValueError:
            found.append(LoadLayer(text))
    return tuple(found)


def _roof(
    record: CarriedRecord, face: Face, area: Area, layers: tuple[LoadLayer, ...], shape: Polygon
) -> Roof:
    """A roof as the structure room takes it."""
    ys = [y for _, y in area.outline_in]
    xs = [x for x, _ in area.outline_in]
    _, low, _, high = shape.bounds
    (ax, ay, _), (bx, by, _) = (face.frame.to_space(0.0, v) for v in (low, high))
    depth = float(((bx - ax) ** 2 + (by - ay) ** 2) ** 0.5)
    run_ft = (record.eave_to_ridge if record.eave_to_ridge is not None else depth) / IN_PER_FT
    longest = max(max(xs) - min(xs), max(ys) - min(ys)) / IN_PER_FT
    return Roof(
        area, face.tilt_deg, layers, record.allowance, thermal=1.0 if record.heated else 1.2,
        slippery=record.slippery, gable=record.gable, eave_to_ridge_ft=run_ft,
        lower_length_ft=depth / IN_PER_FT if record.wall == "top" else longest,
        upper=_above(record.above), wind=_wind(record.wind),
    )  # fmt: skip


def _above(record: AboveRecord | None) -> UpperRoof | None:
    """What stands above, in feet."""
    if record is None:
        return None
    return UpperRoof(
        record.step / IN_PER_FT, record.length / IN_PER_FT, record.slope,
        record.eave_to_ridge / IN_PER_FT, record.slippery, record.falls_this_way,
    )  # fmt: skip


def _wind(record: WindRecord) -> RoofWindAsk:
    """The route of the wind; typed figures need somebody who gave them."""
    if (record.up is not None or record.down is not None) and len(record.said_by.strip()) < 3:
        raise InputError(
            "wind on a carried face", "typed figures without a source",
            "`said_by`, the engineer, the department or the table they come from",
        )  # fmt: skip
    return RoofWindAsk(
        _ROUTES[record.route], record.obstructed, record.up, record.down, record.said_by
    )
