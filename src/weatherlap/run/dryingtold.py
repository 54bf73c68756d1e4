"""Drying in plain sentences: the answers first, as one would say them on the site."""

from __future__ import annotations

import numpy as np

from weatherlap.drying.compare import LeftOut
from weatherlap.drying.model import Aid
from weatherlap.drying.mould import VISIBLE_INDEX
from weatherlap.drying.open_drying import MOST_DAYS, DryingTime
from weatherlap.drying.wood import CLOSE_IN_PCT, DRY_PCT, FIBRE_SATURATION_PCT
from weatherlap.drying.year import LayerYear, WallYear
from weatherlap.run.dryingout import Drying, Opened, Read, SpotDried, StateYear
from weatherlap.run.dryweather import MONTHS, month_of
from weatherlap.run.places import capital, listed

METER_OFF_PCT = 6.0
"""How far meter and run may differ before it is said. [% points]"""
GAL_PER_FT2_PER_MM = 0.0245424
"""A millimetre of water (1 kg/m2) over a square foot. [gal/ft2]"""
LEAST_SHARE = 0.02
"""A change without which less than this of the gain is lost is not credited. [-]"""
_AID_WORDS = {
    Aid.NONE: "left open to the air",
    Aid.FAN: "with a fan",
    Aid.HEATER: "with a heater",
    Aid.FAN_AND_HEATER: "with fan and heater",
}


def opened_text(drying: Drying, opened: Opened) -> str:
    """How long a piece of wood needs in the open, and what a fan or heater brings."""
    month = MONTHS[month_of(opened.first_hour)]
    first, *aided = opened.times
    head = (
        f"Left open to the air in {month} in {climate_words(drying.climate.place)} the "
        f"{opened.record.title} needs {_needs(first)}, beginning at "
        f"{opened.meter.moisture_pct:.0f} %."
    )
    with_aid = "; ".join(f"{_AID_WORDS[t.aid]} {_short(t)}" for t in aided)
    return f"{head} {capital(with_aid)}."


def climate_words(place: str) -> str:
    """A climate by its place: Quillhaven's climate, the climate of Portland, Oregon."""
    plain = place.isalpha() and not place.endswith("s")
    return f"{place}'s climate" if plain else f"the climate of {place}"


def days_text(days: float | None) -> str:
    """Days as a person says them."""
    if days is None:
        return f"more than {MOST_DAYS} days"
    if days <= 0.0:
        return "no time"
    if days < 1.0:
        return "less than a day"
    whole = round(days)
    return f"about {whole} day{'s' if whole != 1 else ''}"


def _needs(time: DryingTime) -> str:
    if time.days_to_close_in is None:
        holds = f"this air keeps wood at about {time.air_holds_pct:.0f} %"
        return f"{days_text(None)} to {CLOSE_IN_PCT:g} % ({holds})"
    close_in, dry = days_text(time.days_to_close_in), days_text(time.days_to_dry)
    return f"{close_in} to {CLOSE_IN_PCT:g} % and {dry} to {DRY_PCT:g} %"


def _short(time: DryingTime) -> str:
    close_in, dry = days_text(time.days_to_close_in), days_text(time.days_to_dry)
    return f"{close_in} and {dry}"


def spot_answer(dried: SpotDried) -> str:
    """What becomes of a spot, in one or two sentences."""
    title = capital(dried.spot.title or dried.spot.id)
    found = _in_short(dried.found)
    if dried.repaired is None:
        return f"{title}, as found: {found}."
    after = f"As repaired: {_in_short(dried.repaired)}."
    kept = _kept_text(dried)
    first = next(iter(_credited(dried)), None)
    did = f" What does most: {first.name}." if first is not None else ""
    return f"{title}, as found: {found}. {kept or after}{did}"


def _in_short(state: StateYear) -> str:
    """How wet the wettest layer gets, and the mould."""
    worst = state.year.worst()
    return (
        f"the {layer_name(state, worst.layer_id)} {_over_text(worst)} and goes up to "
        f"{worst.most_pct:.0f} %, {mould_text(state.year)}"
    )


def _over_text(layer: LayerYear) -> str:
    """How many days a layer is too wet to be closed in."""
    days = layer.wet_hours / 24.0
    if days < 0.5:
        return f"stays under {CLOSE_IN_PCT:g} % all year"
    return f"is over {CLOSE_IN_PCT:g} % on {counted(days)} of the year"


def spot_texts(dried: SpotDried) -> tuple[str, ...]:
    """What becomes of a spot: as found, as repaired, and which change did it."""
    texts = [_state_text(dried.found, "As found")]
    texts += _against_meter(dried)
    if dried.repaired is not None:
        texts.append(_state_text(dried.repaired, "As repaired"))
        if kept := _kept_text(dried):
            texts.append(kept)
        texts.append(_changes_text(dried))
    texts += [_capacity_text(s, name) for s, name in states_of(dried) if s.capacity is not None]
    return tuple(t for t in texts if t)


def _against_meter(dried: SpotDried) -> list[str]:
    """Where the meter and the run as found differ by more than both can be off."""
    texts = []
    for layer in dried.found.year.layers:
        meter = dried.meters.get(layer.layer_id)
        if meter is None or abs(meter.moisture_pct - layer.mean_pct[-1]) <= METER_OFF_PCT:
            continue
        run, name = float(layer.mean_pct[-1]), layer_name(dried.found, layer.layer_id)
        if run > FIBRE_SATURATION_PCT and not meter.trusted:
            continue
        more = (
            "more water gets here than the trace lets in, or it came in fewer, heavier rains"
            if meter.moisture_pct > run
            else "less water gets here than the trace lets in, or it dries another way"
        )
        texts.append(
            f"On the day of the visit the run has the {name} at {run:.0f} %, the meter "
            f"{meter.moisture_pct:.0f} %: {more}."
        )
    return texts


def states_of(dried: SpotDried) -> list[tuple[StateYear, str]]:
    """The states of a spot with their names."""
    rows = [(dried.found, "As found")]
    return rows if dried.repaired is None else [*rows, (dried.repaired, "As repaired")]


def layer_name(state: StateYear, layer_id: str) -> str:
    """What a layer is called on the papers."""
    return state.spotted.names.get(layer_id, layer_id)


def _state_text(state: StateYear, name: str) -> str:
    year, worst = state.year, state.year.worst()
    water = state.spotted.leak_kg_m2
    leak = "no water gets to it" if water <= 0.0 else f"{water_text(water)} a year gets to it"
    ran = _ran_off(year)
    return (
        f"{name}: {leak}{ran}. The {layer_name(state, worst.layer_id)} {_over_text(worst)} "
        f"and goes up to {worst.most_pct:.0f} %; {mould_text(year)}{_rot_text(year)}."
    )


def _ran_off(year: WallYear) -> str:
    if year.leaked_kg_m2 <= 0.0 or year.drained_kg_m2 < 0.5 * year.leaked_kg_m2:
        return ""
    return ", most of which runs off again"


def water_text(kg_m2: float) -> str:
    """Water on an area in both units."""
    return f"{_two(kg_m2)} L/m2 ({_two(kg_m2 * GAL_PER_FT2_PER_MM)} gal/sq ft)"


def _two(value: float) -> str:
    """A number with two figures, never in powers of ten."""
    return f"{float(f'{value:.2g}'):,.6g}"


def mould_text(year: WallYear) -> str:
    """Whether mould can be seen."""
    worst = max(layer.worst_mould for layer in year.layers)
    seen = "mould may be seen" if worst >= VISIBLE_INDEX else "mould stays out of sight"
    return f"{seen} (index {worst:.1f} of 6)"


def _rot_text(year: WallYear) -> str:
    days = max(layer.rot.new_rot_h for layer in year.layers) / 24.0
    return f"; {counted(days)} wet and warm enough to rot" if days >= 1.0 else ""


def counted(days: float) -> str:
    """Whole days with their noun."""
    return f"{days:.0f} day{'s' if round(days) != 1 else ''}"


def _kept_text(dried: SpotDried) -> str:
    """How long wood that stays in needs after it is closed in."""
    assert dried.repaired is not None
    return " ".join(
        _kept_layer_text(dried.repaired, layer)
        for layer in dried.repaired.year.layers
        if (dried.repaired.spotted.wall.layer(layer.layer_id).start_pct or 0.0) > CLOSE_IN_PCT
    )


def _kept_layer_text(state: StateYear, layer: LayerYear) -> str:
    start = state.spotted.wall.layer(layer.layer_id).start_pct
    name = layer_name(state, layer.layer_id)
    head = f"Closed in at {start:.0f} %, as the meter read it, the {name} is"
    under = np.flatnonzero(layer.mean_pct <= CLOSE_IN_PCT)
    if under.size == 0:
        return f"{head} not down to {CLOSE_IN_PCT:g} % within a year: dry it in the open first."
    first = int(under[0])
    text = f"{head} down to {CLOSE_IN_PCT:g} % after {days_text((first + 1) / 24.0)}"
    again = np.count_nonzero(layer.mean_pct[first:] > CLOSE_IN_PCT) / 24.0
    if again < 1.0:
        return f"{text} and stays under it."
    return f"{text}, and is over it again on {counted(again)} of the year."


def _credited(dried: SpotDried) -> list[LeftOut]:
    """The changes without which some of the gain is lost, the one that counts most first."""
    return [r for r in dried.left_out if r.share is not None and r.share >= LEAST_SHARE]


def _changes_text(dried: SpotDried) -> str:
    """Which change did it."""
    rows = _credited(dried)
    if not rows:
        several = any(r.share is not None for r in dried.left_out)
        return "No single change is what dries it: several do." if several else ""
    parts = [
        f"without “{r.name}” {100.0 * (r.share or 0.0):.0f} % of the gain is lost" for r in rows
    ]
    return f"What did it: {listed(parts)}."


def _capacity_text(state: StateYear, name: str) -> str:
    found = state.capacity
    assert found is not None
    limit, layer = f"{found.limit_pct:g} %", layer_name(state, found.limited_by)
    if not found.dry_wall:
        return f"{name} it can lose no leakage: the {layer} passes {limit} without any."
    if found.too_much_kg_m2_year is None:
        return f"{name} it dries {water_text(found.kg_m2_year)} of leakage a year or more."
    return (
        f"{name} it can lose about {water_text(found.kg_m2_year)} of leakage a year; with more, "
        f"the {layer} passes {limit}."
    )


def band_texts(dried: SpotDried) -> tuple[str, ...]:
    """The answers as bands, over the ranges of the materials."""
    texts = []
    for state, name in states_of(dried):
        if state.band is None:
            continue
        worst = max(state.band.layers, key=lambda x: x.most_pct.middle)
        most, days, mould = worst.most_pct, worst.wet_days, worst.mould
        texts.append(
            f"{name}, in 8 of 10 draws: the {layer_name(state, worst.layer_id)} goes up to "
            f"{most.low:.0f} to {most.high:.0f} %, is over {CLOSE_IN_PCT:g} % on {days.low:.0f} to "
            f"{days.high:.0f} days, mould index {mould.low:.1f} to {mould.high:.1f}."
        )
    for opened in dried.opened:
        if opened.band is not None:
            spread = opened.band.close_in
            days_ = "too long to tell" if spread is None else _between(spread.low, spread.high)
            texts.append(
                f"The {opened.record.title} in the open, in 8 of 10 draws: {days_} to "
                f"{CLOSE_IN_PCT:g} %."
            )
    return tuple(texts)


def _between(low: float, high: float) -> str:
    first, last = round(low), round(high)
    return f"{first} to {last} days" if last > first else f"{last} days"


def reading_text(read: Read) -> str:
    """What a reading means."""
    trusted = "" if read.meter.trusted else "; over 30 % pins only say very wet"
    return f"{read.meter.moisture_pct:.0f} %{trusted}"


def answers(drying: Drying) -> tuple[str, ...]:
    """The answers in plain sentences, those of the next days first."""
    texts = [opened_text(drying, o) for s in drying.spots for o in s.opened]
    texts += [spot_answer(dried) for dried in drying.spots]
    hazard = drying.hazard
    texts.append(
        f"Wood in the open in {climate_words(drying.climate.place)} has a {hazard.hazard.value} "
        f"hazard of decay (index {hazard.index:.0f})."
    )
    return tuple(texts)
