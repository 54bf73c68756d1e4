"""Drying as plain tables, for machines."""

from __future__ import annotations

from typing import Any

import numpy as np

from weatherlap.drying.air import Array
from weatherlap.drying.band import Spread
from weatherlap.drying.open_drying import DryingTime
from weatherlap.drying.year import LayerYear, Profile
from weatherlap.run.dryingout import Drying, Opened, Read, SpotDried, StateYear
from weatherlap.run.dryingtold import answers, band_texts, layer_name, spot_texts

Table = dict[str, Any]


def drying_table(drying: Drying) -> Table:
    """Everything about drying; moisture in % of dry wood, daily means."""
    return {
        "ok": True,
        "answers": list(answers(drying)),
        "climate": {
            "place": drying.climate.place,
            "rain_mm": round(drying.climate.yearly_rain_mm, 1),
            "repairs": list(drying.climate.repairs),
            "decay_index": round(drying.hazard.index, 1),
            "decay_hazard": drying.hazard.hazard.value,
        },
        "first_day": drying.first_hour // 24 + 1,
        "readings": [_reading(r) for r in drying.read],
        "spots": [_spot(s) for s in drying.spots],
    }


def _reading(read: Read) -> Table:
    return {
        "piece": read.reading.piece,
        "face": read.reading.face,
        "at": list(read.reading.at),
        "read_pct": read.reading.percent,
        "wood_c": round(read.celsius, 1),
        "moisture_pct": round(read.meter.moisture_pct, 1),
        "trusted": read.meter.trusted,
    }


def _spot(dried: SpotDried) -> Table:
    table: Table = {
        "id": dried.spot.id,
        "title": dried.spot.title,
        "place": dried.place,
        "says": list(spot_texts(dried)),
        "open": [_opened(o) for o in dried.opened],
        "found": _state(dried.found),
        "repaired": None if dried.repaired is None else _state(dried.repaired),
        "left_out": [
            {"change": r.name, "lost_share": None if r.share is None else round(r.share, 3)}
            for r in dried.left_out
        ],
    }
    if texts := band_texts(dried):
        table["bands"] = list(texts)
    return table


def _opened(opened: Opened) -> Table:
    table: Table = {
        "title": opened.record.title,
        "start_pct": round(opened.meter.moisture_pct, 1),
        "trusted": opened.meter.trusted,
        "first_day": opened.first_hour // 24 + 1,
        "aids": [_time(t) for t in opened.times],
    }
    if opened.band is not None:
        table["days_to_19"] = _spread(opened.band.close_in)
        table["days_to_16"] = _spread(opened.band.dry)
    return table


def _time(time: DryingTime) -> Table:
    return {
        "aid": time.aid.value,
        "days_to_19": _rounded(time.days_to_close_in),
        "days_to_16": _rounded(time.days_to_dry),
        "air_holds_pct": round(time.air_holds_pct, 1),
        "daily_pct": daily(time.mean_pct),
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 1)


def _spread(spread: Spread | None) -> Table | None:
    if spread is None:
        return None
    return {k: round(getattr(spread, k), 1) for k in ("low", "middle", "high")}


def _state(state: StateYear) -> Table:
    table: Table = {
        "layers": [
            {
                "id": x.id,
                "title": layer_name(state, x.id),
                "material": x.material,
                "thickness_mm": round(1000.0 * x.thickness_m, 3),
                "air_changes_per_h": x.air_changes_per_h,
                "start_pct": _rounded(x.start_pct),
            }
            for x in state.spotted.wall.layers
        ],
        "leak_kg_m2_year": round(state.spotted.leak_kg_m2, 3),
        "drained_kg_m2": round(state.year.drained_kg_m2, 3),
        "wood": [_layer(x) for x in state.year.layers],
        "wettest_profile": _profile(state.profile),
    }
    if state.capacity is not None:
        table["capacity_kg_m2_year"] = round(state.capacity.kg_m2_year, 3)
        table["capacity_limited_by"] = state.capacity.limited_by
    if state.band is not None:
        table["band"] = [
            {
                "id": x.layer_id,
                "most_pct": _spread(x.most_pct),
                "wet_days": _spread(x.wet_days),
                "mould": _spread(x.mould),
            }
            for x in state.band.layers
        ]
    return table


def _layer(layer: LayerYear) -> Table:
    return {
        "id": layer.layer_id,
        "most_pct": round(layer.most_pct, 1),
        "mean_pct": round(layer.year_mean_pct, 1),
        "days_over_19": round(layer.wet_hours / 24.0, 1),
        "mould": round(layer.worst_mould, 2),
        "rot_days": round(layer.rot.new_rot_h / 24.0, 1),
        "daily_pct": daily(layer.mean_pct),
    }


def _profile(profile: Profile) -> Table:
    return {
        "hour": profile.hour,
        "depth_mm": [round(1000.0 * float(x), 2) for x in profile.depth_m],
        "celsius": [round(float(x), 2) for x in profile.celsius],
        "humidity_pct": [round(float(x), 1) for x in profile.humidity_pct],
        "moisture_pct": [None if np.isnan(x) else round(float(x), 1) for x in profile.moisture_pct],
        "layers": list(profile.layer_ids),
    }


def daily(hourly: Array) -> list[float]:
    """Daily means of an hourly series."""
    days = hourly.size // 24
    return [round(float(x), 2) for x in hourly[: 24 * days].reshape(days, 24).mean(axis=1)]
