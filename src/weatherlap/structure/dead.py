"""Dead, roof live and floor live loads."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, radians

from weatherlap.errors import InputError
from weatherlap.structure.results import Figured, Value
from weatherlap.structure.tables import table

STEEPEST_DEG = 70.0


@dataclass(frozen=True, slots=True)
class LoadLayer:
    """One layer of the corner: a name from the tables, its thickness, or its own weight."""

    what: str
    thickness_in: float = 0.0
    psf: float | None = None
    source: str = "S-024"


def layer_psf(layer: LoadLayer) -> float:
    """Weight of a layer per square foot as it lies. [psf]

    Raises
    ------
    InputError
        A layer that is not in the table and has no weight of its own.

    Sources
    -------
    S-024 : layer weights.
    """
    if layer.psf is not None:
        if layer.psf < 0:
            raise InputError(f"layer {layer.what!r}", f"{layer.psf:g} psf", "0 psf or more")
        return layer.psf
    loads = table("loads")
    if layer.what in loads["layer"]:
        return float(loads["layer"][layer.what])
    if layer.what in loads["layer_per_in"]:
        if layer.thickness_in <= 0:
            raise InputError(f"layer {layer.what!r}", "no thickness", "a thickness over 0 in")
        return float(loads["layer_per_in"][layer.what]) * layer.thickness_in
    known = ", ".join([*loads["layer"], *loads["layer_per_in"]])
    raise InputError(f"layer {layer.what!r}", "not in the table of weights", f"one of {known}",
                     "Or give its own weight in psf.")  # fmt: skip


def assembly_psf(name: str) -> float:
    """Weight of a whole roof, floor or wall. [psf]

    Raises
    ------
    InputError
        Not in the table.

    Sources
    -------
    S-023 : assemblies.
    """
    known = table("loads")["assembly"]
    if name not in known:
        raise InputError(
            f"assembly {name!r}", "not in the table of weights", f"one of {', '.join(known)}"
        )
    return float(known[name])


def plan_psf(on_slope_psf: float, *, slope_deg: float) -> float:
    """Weight per square foot of plan of what lies on a slope. [psf]

    Parameters
    ----------
    on_slope_psf : float
        Weight per square foot of slope. [psf]
    slope_deg : float
        Slope. [deg]

    Raises
    ------
    InputError
        A slope outside 0 to 70 degrees.

    Sources
    -------
    S-062 : divided by the cosine.
    """
    if not 0 <= slope_deg <= STEEPEST_DEG:
        raise InputError("roof", f"a slope of {slope_deg:g} degrees", "0 to 70 degrees")
    return on_slope_psf / cos(radians(slope_deg))


def dead_load(
    about: str, layers: tuple[LoadLayer, ...], *, slope_deg: float, allowance_psf: float = 0.0
) -> Figured:
    """Dead load of a stack of layers per square foot of plan. [psf]

    Parameters
    ----------
    slope_deg : float
        Slope. [deg]
    allowance_psf : float
        For what is not modelled, per square foot of slope. [psf]

    Sources
    -------
    S-024 : layer weights.
    """
    values = [Value(layer.what, layer_psf(layer), "psf", layer.source) for layer in layers]
    if allowance_psf:
        values.append(Value("allowance", allowance_psf, "psf", "S-066"))
    total = plan_psf(sum(v.value for v in values), slope_deg=slope_deg)
    values.append(Value("slope", slope_deg, "deg", "S-066"))
    return Figured(
        about, "dead load on plan", "sum of layers / cos(slope)", tuple(values), "S-024", total,
        "psf",
    )  # fmt: skip


def roof_live_psf(slope_rise_per_12: float, *, tributary_ft2: float) -> float:
    """Roof live load by slope and tributary area, on plan. [psf]

    Parameters
    ----------
    slope_rise_per_12 : float
        Rise in 12 of run. [in/12 in]
    tributary_ft2 : float
        Roof area that the member carries. [ft2]

    Sources
    -------
    S-025 : R301.6.
    """
    if slope_rise_per_12 < 0 or tributary_ft2 < 0:
        raise InputError("roof", "a negative slope or area", "0 or more")
    rows = table("loads")["roof_live"]
    name = "under_4_12" if slope_rise_per_12 < 4 else "to_12_12"
    row = rows["steeper" if slope_rise_per_12 >= 12 else name]
    return float(row[0 if tributary_ft2 <= 200 else 1 if tributary_ft2 <= 600 else 2])


def deck_live_psf() -> float:
    """Live load of decks and porch floors. [psf]

    Sources
    -------
    S-026 : 40 psf.
    """
    return float(table("loads")["live"]["deck"])
