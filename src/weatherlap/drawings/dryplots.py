"""Plots of drying: moisture over the year, through the wall, mould, and days in the open."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from weatherlap.drawings.chart import Axis, Bands, Chart, Curve, Limit, draw_chart
from weatherlap.drying.air import Array
from weatherlap.drying.mould import VISIBLE_INDEX
from weatherlap.drying.normals import MONTH_DAYS
from weatherlap.drying.wood import CLOSE_IN_PCT, DRY_PCT
from weatherlap.drying.year import LayerYear
from weatherlap.run.dryingout import Drying, Opened, SpotDried, StateYear
from weatherlap.run.dryingtold import layer_name, states_of
from weatherlap.run.dryweather import MONTHS, month_of

LIMITS = (
    Limit(CLOSE_IN_PCT, f"{CLOSE_IN_PCT:g} %: may be closed in"),
    Limit(DRY_PCT, f"{DRY_PCT:g} %: dry", under=True),
)
LEAST_SHARE = 0.055
"""How wide the thinnest layer is drawn, of the whole width. [-]"""


def moisture_plot(drying: Drying, dried: SpotDried) -> str:
    """Moisture of each layer of wood through the year after the visit, in both states."""
    curves = [
        Curve(_label(state, name, layer), _by_day(layer.mean_pct), dashes, _weight(number))
        for number, (state, name) in enumerate(states_of(dried))
        for dashes, layer in _dashed(state, number)
    ]
    most = max(y for c in curves for _, y in c.points)
    return draw_chart(
        Chart(
            name=f"dry-{dried.spot.id}-moisture",
            title=f"Moisture of the wood: {_title(dried)}",
            about="Moisture content of each layer of wood through a year, daily means.",
            across=_months(drying),
            up=_percent(most, "moisture, % of dry wood"),
            curves=tuple(curves),
            limits=LIMITS,
        )
    )


def mould_plot(drying: Drying, dried: SpotDried) -> str:
    """Mould index of the worst face of each layer of wood through the year, in both states."""
    curves = [
        Curve(_label(state, name, layer), _by_day(_worst_face(layer)), dashes, _weight(number))
        for number, (state, name) in enumerate(states_of(dried))
        for dashes, layer in _dashed(state, number)
    ]
    ticks = tuple((float(k), str(k)) for k in range(7))
    return draw_chart(
        Chart(
            name=f"dry-{dried.spot.id}-mould",
            title=f"Mould: {_title(dried)}",
            about="Mould index of the worse face of each layer of wood through a year.",
            across=_months(drying),
            up=Axis("mould index, 0 none to 6 all over", 0.0, 6.0, ticks),
            curves=tuple(curves),
            limits=(Limit(VISIBLE_INDEX, f"{VISIBLE_INDEX:g}: can be seen"),),
        )
    )


def profile_plot(dried: SpotDried) -> str:
    """Humidity through the wall at the wettest hour of each state, layer by layer."""
    state, _ = max(states_of(dried), key=lambda pair: len(pair[0].spotted.wall.layers))
    curves = tuple(
        Curve(f"{name}, at its wettest hour", _through(s), 3 * number, _weight(number))
        for number, (s, name) in enumerate(states_of(dried))
    )
    names = tuple(_layer_words(state, x.id, x.thickness_m) for x in state.spotted.wall.layers)
    edges = _edges(state)
    ticks = tuple((float(k), f"{k}") for k in range(0, 101, 20))
    return draw_chart(
        Chart(
            name=f"dry-{dried.spot.id}-profile",
            title=f"Through the wall: {_title(dried)}",
            about="Relative humidity in the pores of each layer, from outside to inside.",
            across=Axis("outside to inside; thin layers drawn wider", 0.0, edges[-1], ()),
            up=Axis("humidity in the layers, %", 0.0, 100.0, ticks),
            curves=curves,
            bands=Bands(edges, names),
        )
    )


def open_plot(dried: SpotDried, opened: Opened) -> str:
    """Moisture of a piece of wood day by day in the open, with each aid."""
    last = _days_shown(opened)
    curves = tuple(
        Curve(
            "left open" if k == 0 else f"with {time.aid.value}",
            _from_start(opened, time.mean_pct, last), k, 2.2 if k == 0 else 1.5,
        )
        for k, time in enumerate(opened.times)
    )  # fmt: skip
    step = max(1, math.ceil(last / 8 / 5) * 5) if last > 10 else 1
    ticks = tuple((float(d), str(d)) for d in range(0, last + 1, step))
    return draw_chart(
        Chart(
            name=f"dry-{dried.spot.id}-open-{dried.opened.index(opened) + 1}",
            title=f"In the open: {opened.record.title}",
            about="Moisture content day by day, left open and with fan or heater.",
            across=Axis("days since it was opened", 0.0, float(last), ticks),
            up=_percent(opened.meter.moisture_pct, "moisture, % of dry wood"),
            curves=curves,
            limits=LIMITS,
        )
    )


def _title(dried: SpotDried) -> str:
    return dried.spot.title or dried.spot.id


def _weight(number: int) -> float:
    """As found thin, as repaired heavy."""
    return 1.4 if number == 0 else 2.4


def _dashed(state: StateYear, number: int) -> list[tuple[int, LayerYear]]:
    """Layers with their dashes: even numbers as found, odd as repaired."""
    return [(2 * k + number, layer) for k, layer in enumerate(state.year.layers)]


def _label(state: StateYear, name: str, layer: LayerYear) -> str:
    return f"{name}: {layer_name(state, layer.layer_id)}"


def _by_day(hourly: Array) -> tuple[tuple[float, float], ...]:
    days = hourly.size // 24
    means = hourly[: 24 * days].reshape(days, 24).mean(axis=1)
    return tuple((k + 0.5, float(v)) for k, v in enumerate(means))


def _worst_face(layer: LayerYear) -> Array:
    return np.asarray(np.maximum(layer.mould_outer, layer.mould_inner))


def _months(drying: Drying) -> Axis:
    """A year of days that begins with the visit, marked at the first of each month."""
    begin = drying.first_hour / 24.0
    starts = np.concatenate(([0], np.cumsum(MONTH_DAYS)[:-1])).astype(float)
    ticks = sorted(((day - begin) % 365.0, MONTHS[month_of(int(24 * day))][:3]) for day in starts)
    first = MONTHS[month_of(drying.first_hour)]
    day = int(begin - starts[month_of(drying.first_hour)]) + 1
    return Axis(f"the year after {day} {first}", 0.0, 365.0, tuple(ticks))


def _percent(most: float, title: str) -> Axis:
    high = max(30.0, 10.0 * math.ceil(most / 10.0))
    step = 5 if high <= 40 else 10 if high <= 80 else 20
    ticks = tuple((float(k), str(k)) for k in range(0, int(high) + 1, step))
    return Axis(title, 0.0, high, ticks)


def _days_shown(opened: Opened) -> int:
    """Days until the slowest aid is dry, at most all that were looked at."""
    whole = max(t.mean_pct.size for t in opened.times) // 24
    needs = [t.days_to_dry if t.days_to_dry is not None else whole for t in opened.times]
    return int(min(whole, max(7.0, 1.15 * max(needs))))


def _from_start(opened: Opened, hourly: Array, last: int) -> tuple[tuple[float, float], ...]:
    rows = [(0.0, opened.meter.moisture_pct)]
    rows += [((k + 1) / 24.0, float(hourly[k])) for k in range(23, min(hourly.size, 24 * last), 24)]
    return tuple(rows)


def _edges(state: StateYear) -> tuple[float, ...]:
    """Where each layer begins on the drawing, thin ones widened so that they can be seen."""
    thick = [x.thickness_m for x in state.spotted.wall.layers]
    shares = np.array(thick) / sum(thick)
    shares = np.maximum(np.sqrt(shares), LEAST_SHARE * np.sqrt(shares).sum())
    return tuple(float(x) for x in np.concatenate(([0.0], np.cumsum(shares))))


def _through(state: StateYear) -> tuple[tuple[float, float], ...]:
    """Depth on the drawing and humidity, slice by slice."""
    layers, edges = state.spotted.wall.layers, _edges(state)
    depth, rows, before = state.profile.depth_m, [], 0.0
    for k, layer in enumerate(layers):
        here = [i for i, name in enumerate(state.profile.layer_ids) if name == layer.id]
        for i in here:
            share = (float(depth[i]) - before) / layer.thickness_m
            at = edges[k] + min(max(share, 0.0), 1.0) * (edges[k + 1] - edges[k])
            rows.append((at, float(state.profile.humidity_pct[i])))
        before += layer.thickness_m
    return tuple(rows)


def _layer_words(state: StateYear, layer_id: str, thickness_m: float) -> str:
    return f"{layer_name(state, layer_id)}, {_thick(thickness_m)}"


def _thick(metres: float) -> str:
    """A thickness as it is said: sheets in thousandths, the rest to the sixteenth."""
    inches = metres / 0.0254
    return f"{inches:.3f} in" if inches < 0.1 else f"{round(16 * inches) / 16:g} in"


def plots_of(drying: Drying) -> Sequence[tuple[str, str, str]]:
    """Every plot of a job: name, title and drawing."""
    rows = []
    for dried in drying.spots:
        title = _title(dried)
        for number, opened in enumerate(dried.opened, start=1):
            name = f"dry-{dried.spot.id}-open-{number}"
            rows.append((name, f"In the open: {opened.record.title}", open_plot(dried, opened)))
        rows += [
            (f"dry-{dried.spot.id}-moisture", f"Moisture: {title}", moisture_plot(drying, dried)),
            (f"dry-{dried.spot.id}-profile", f"Through the wall: {title}", profile_plot(dried)),
            (f"dry-{dried.spot.id}-mould", f"Mould: {title}", mould_plot(drying, dried)),
        ]
    return rows
