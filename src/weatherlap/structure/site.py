"""What the place asks: snow, wind, soil, as the building department gives them. Never guessed."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import isfinite

from weatherlap.errors import InputError
from weatherlap.structure.results import Missing


class Exposure(StrEnum):
    """Surface roughness around the house (ASCE 7)."""

    B = "B"
    C = "C"
    D = "D"


class SnowExposure(StrEnum):
    """How the wind can clear the roof."""

    FULL = "fully exposed"
    PARTLY = "partly exposed"
    SHELTERED = "sheltered"


class SnowEdition(StrEnum):
    """Which ASCE 7 the ground snow load belongs to."""

    ASCE_7_16 = "ASCE 7-16"
    ASCE_7_22 = "ASCE 7-22"


@dataclass(frozen=True, slots=True)
class Stated:
    """A figure with who stated it: "City of ..., by phone, 3 May"."""

    value: float
    said_by: str

    def __post_init__(self) -> None:
        if not isfinite(self.value) or self.value < 0:
            raise InputError("site value", f"{self.value:g}", "a finite figure of 0 or more")
        if not self.said_by.strip():
            raise InputError(
                f"site value {self.value:g}", "no source", "who stated it: office, map, date"
            )


@dataclass(frozen=True, slots=True)
class Site:
    """Values of the place; None stops the checks that need it and says whom to ask."""

    ground_snow_psf: Stated | None = None
    snow_edition: SnowEdition = SnowEdition.ASCE_7_16
    snow_exposure: SnowExposure = SnowExposure.PARTLY
    winter_wind: Stated | None = None
    wind_mph: Stated | None = None
    exposure: Exposure | None = None
    roof_height_ft: float | None = None
    ground_elevation_factor: float = 1.0
    topographic_factor: float = 1.0
    soil_psf: Stated | None = None
    importance: float = 1.0


_ASKS = {
    "ground_snow_psf": (
        "ground snow load",
        "Ask the building department for the ground snow load pg at the address in psf, and which "
        "edition of ASCE 7 it belongs to.",
        "S-030",
    ),
    "winter_wind": (
        "winter wind parameter W2",
        "Ask the building department for the winter wind parameter W2 that goes with the ground "
        "snow load of ASCE 7-22.",
        "S-032",
    ),
    "wind_mph": (
        "design wind speed",
        "Ask the building department for the ultimate design wind speed in mph.",
        "S-033",
    ),
    "exposure": (
        "wind exposure",
        "Ask the building department for the wind exposure category (B, C or D) of the address.",
        "S-033",
    ),
    "roof_height_ft": (
        "mean roof height",
        "Measure the mean roof height of the house above grade, in feet.",
        "S-033",
    ),
    "soil_psf": (
        "allowable soil pressure",
        "Ask the building department for the presumptive soil bearing, or have the soil looked at.",
        "S-037",
    ),
}


def missing_value(field: str, *, about: str, what: str) -> Missing:
    """What to ask for a site value that is not there; ``what`` is the check it stops."""
    value, ask, source = _ASKS[field]
    return Missing(about, what, value, ask, source)
