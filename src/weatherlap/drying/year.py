"""A wall through the year: wood moisture, mould and rot hours, as found and as repaired."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.drying.climate import Climate, from_hour
from weatherlap.drying.decay import RotHours, rot_hours
from weatherlap.drying.march import USUAL_STEPS, Books, Course, State, Steps, march
from weatherlap.drying.materials import Kind, Properties
from weatherlap.drying.model import MOULD_CAUTION, Caution, Wall, check_wall
from weatherlap.drying.mould import VISIBLE_INDEX, mould_index
from weatherlap.drying.sides import wall_airs
from weatherlap.drying.stack import Stack, leaks_of, stack_of, start_of
from weatherlap.drying.wood import CLOSE_IN_PCT
from weatherlap.errors import InputError

Progress = Callable[[int, int], None]
MOST_YEARS = 20


@dataclass(frozen=True, slots=True, eq=False)
class LayerYear:
    """One layer of wood through the year, hour by hour.

    ``mean_pct`` is its moisture content, ``wettest_zone_pct`` that of its wettest zone (as deep
    as pins reach, or the core). Mould is on its outer and inner face.
    """

    layer_id: str
    material: str
    mean_pct: Array
    wettest_zone_pct: Array
    mould_outer: Array
    mould_inner: Array
    rot: RotHours

    @property
    def most_pct(self) -> float:
        """Highest moisture content of the whole layer. [%]"""
        return float(self.mean_pct.max())

    @property
    def year_mean_pct(self) -> float:
        """Moisture content of the wettest zone, mean of the year. [%]"""
        return float(self.wettest_zone_pct.mean())

    @property
    def wet_hours(self) -> int:
        """Hours with the wettest zone over 19 %."""
        return int(np.count_nonzero(self.wettest_zone_pct > CLOSE_IN_PCT))

    @property
    def worst_mould(self) -> float:
        """Highest mould index of both faces."""
        return float(max(self.mould_outer.max(), self.mould_inner.max()))


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """Through the wall at one hour, from the outer face: one value a slice.

    ``moisture_pct`` is not a number where the slice is not wood.
    """

    hour: int
    depth_m: Array
    celsius: Array
    humidity_pct: Array
    water_kg_m3: Array
    moisture_pct: Array
    layer_ids: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class WallYear:
    """A wall through the year.

    ``leaked_kg_m2`` is what the trace put in, ``drained_kg_m2`` what ran out again at once;
    ``steps`` counts the steps of the last year; ``start`` and ``choice`` are what it began with
    (see ``wettest_profile``).
    """

    sentence: str
    wall: Wall
    layers: tuple[LayerYear, ...]
    leaked_kg_m2: float
    drained_kg_m2: float
    books: Books
    steps: int
    start: State
    choice: Mapping[str, Properties]
    cautions: tuple[Caution, ...]
    source_keys: tuple[str, ...]

    def worst(self) -> LayerYear:
        """The layer of wood that is wettest over the year."""
        return max(self.layers, key=lambda layer: layer.year_mean_pct)


def wall_year(
    wall: Wall,
    *,
    climate: Climate,
    years: int = 1,
    choice: Mapping[str, Properties] | None = None,
    steps: Steps = USUAL_STEPS,
) -> WallYear:
    """A wall through a year of weather, the last of so many.

    Parameters
    ----------
    wall : Wall
        Layers, leaks, what is behind.
    climate : Climate
        Weather, hour by hour.
    years : int
        Times the weather is gone through; the last time is reported.
    choice : mapping of str to Properties, optional
        Properties by layer id other than the middle ones.
    steps : Steps
        How finely time is cut.

    Returns
    -------
    WallYear
        The answer in words, then layer by layer.

    Raises
    ------
    InputError
        If the wall has no wood, or a value cannot be used.
    NoSolution
        If the march does not come out.

    Sources
    -------
    D-001, D-002, D-009, D-010, D-012.
    """
    check_wall(wall, hours=climate.hours)
    if not wall.wooden():
        raise InputError(f"wall {wall.name}", "no layer of wood", "at least one layer of wood")
    if not 1 <= years <= MOST_YEARS:
        raise InputError(f"wall {wall.name}", f"{years} years", f"1 to {MOST_YEARS}")
    stack = stack_of(wall, choice=choice)
    start = start_of(stack, airs=wall_airs(wall, climate=climate))
    for _ in range(years - 1):
        start = _go_through(stack, climate, start, steps).end
    course = _go_through(stack, climate, start, steps)
    layers = _layer_years(stack, course)
    return WallYear(
        sentence=_sentence(wall, layers, course.books),
        wall=wall,
        layers=layers,
        leaked_kg_m2=course.books.leaked_kg_m2,
        drained_kg_m2=course.books.drained_kg_m2,
        books=course.books,
        steps=course.steps,
        start=start,
        choice=stack.choice,
        cautions=(MOULD_CAUTION,) if _shows_mould(layers) else (),
        source_keys=_keys(stack, climate),
    )


def _go_through(stack: Stack, climate: Climate, start: State, steps: Steps) -> Course:
    """One time through the weather, both faces of each layer watched."""
    airs = wall_airs(stack.wall, climate=climate)
    leaks = leaks_of(stack, hours=climate.hours)
    watched = np.array([cell for at in _wood(stack) for cell in stack.faces(at)], dtype=np.int64)
    return march(
        stack.cells, airs=airs, start=start, leaks=leaks, zones=stack.zones, watched=watched,
        steps=steps,
    )  # fmt: skip


def _wood(stack: Stack) -> list[int]:
    """Numbers of the layers of wood."""
    kinds = [stack.choice[layer.id].material.kind for layer in stack.wall.layers]
    return [at for at, kind in enumerate(kinds) if kind is Kind.WOOD]


def _layer_years(stack: Stack, course: Course) -> tuple[LayerYear, ...]:
    """What the course means for each layer of wood."""
    found = []
    widths = np.array(stack.zone_width_m)
    for k, at in enumerate(_wood(stack)):
        layer = stack.wall.layers[at]
        chosen = stack.choice[layer.id]
        zones = np.flatnonzero(stack.zone_layer == at)
        content = 100.0 * course.zone_water_kg_m3[:, zones] / chosen.density_kg_m3
        mean = content @ widths[zones] / widths[zones].sum()
        wettest = content[:, int(np.argmax(content.mean(axis=0)))]
        celsius = course.celsius[:, 2 * k : 2 * k + 2]
        humidity = 100.0 * np.minimum(course.humidity[:, 2 * k : 2 * k + 2], 1.0)
        outer, inner = (
            mould_index(celsius[:, f], humidity[:, f], mould_class=chosen.material.mould)
            for f in range(2)
        )
        rot = rot_hours(wettest, celsius=celsius.mean(axis=1))
        found.append(LayerYear(layer.id, layer.material, mean, wettest, outer, inner, rot))
    return tuple(found)


def wettest_profile(year: WallYear, *, climate: Climate) -> Profile:
    """Through the wall at the wettest hour of its wettest layer of wood.

    Parameters
    ----------
    year : WallYear
        A year already worked out.
    climate : Climate
        The weather it was worked out for.

    Returns
    -------
    Profile
        Temperature, humidity and water slice by slice.

    Raises
    ------
    InputError
        If the climate is shorter than the year.

    Sources
    -------
    D-012 : equations.
    """
    stack, start = stack_of(year.wall, choice=year.choice), year.start
    if climate.hours != year.layers[0].mean_pct.size:
        found = f"{climate.hours} hours of weather"
        raise InputError(year.wall.name, found, f"{year.layers[0].mean_pct.size}, as for the year")
    worst = max(year.layers, key=lambda layer: layer.most_pct)
    hour = int(np.argmax(worst.mean_pct))
    part = from_hour(climate, first_hour=0, hours=hour + 1)
    airs = wall_airs(stack.wall, climate=part)
    leaks = leaks_of(stack, hours=climate.hours)
    cells, every = stack.cells, np.arange(stack.cells.width.size, dtype=np.int64)
    course = march(cells, airs=airs, start=start, leaks=leaks.up_to(hour + 1), watched=every)
    names = [layer.id for layer in stack.wall.layers]
    moisture = np.full(every.size, np.nan)
    for at in _wood(stack):
        where = cells.layer_cells(at)
        density = stack.choice[names[at]].density_kg_m3
        moisture[where] = 100.0 * course.water_kg_m3[where] / density
    return Profile(
        hour=hour,
        depth_m=cells.centres_m(),
        celsius=course.celsius[-1],
        humidity_pct=100.0 * course.humidity[-1],
        water_kg_m3=course.water_kg_m3,
        moisture_pct=moisture,
        layer_ids=tuple(names[at] for at in cells.layer_of()),
    )


def _shows_mould(layers: tuple[LayerYear, ...]) -> bool:
    """Whether mould may be seen on any layer."""
    return any(layer.worst_mould >= VISIBLE_INDEX for layer in layers)


def _sentence(wall: Wall, layers: tuple[LayerYear, ...], books: Books) -> str:
    """The answer in words."""
    worst = max(layers, key=lambda layer: layer.year_mean_pct)
    mould = max(layers, key=lambda layer: layer.worst_mould)
    leak = ""
    if books.leaked_kg_m2 > 0.0:
        leak = f" with {books.leaked_kg_m2:.2g} kg/m2 leaked in"
    rot = max(layer.rot.new_rot_h for layer in layers)
    rots = f"; {rot / 24.0:.0f} days wet and warm enough to rot" if rot else ""
    seen = "may be seen" if mould.worst_mould >= VISIBLE_INDEX else "stays out of sight"
    return (
        f"{wall.name}{leak}: {worst.layer_id} goes up to {worst.most_pct:.0f} % and is over "
        f"{CLOSE_IN_PCT:g} % for {worst.wet_hours / 24.0:.0f} days; mould {seen} "
        f"(index {mould.worst_mould:.1f}){rots}."
    )


def _keys(stack: Stack, climate: Climate) -> tuple[str, ...]:
    """Sources of the method, the materials and the weather, each once."""
    keys = ["D-001", "D-002", "D-009", "D-010", "D-012", "D-026", "D-028", *climate.source_keys]
    for chosen in stack.choice.values():
        keys += chosen.material.source_keys
    return tuple(dict.fromkeys(keys))
