"""The drying equations written once more, for a general stiff solver: method of lines in NumPy.

Shares the material tables and cells with the engine, nothing of its stepping, linear algebra or
books. Used by the check beside it and by the bench.
"""

from __future__ import annotations

import numpy as np
from scipy.integrate import solve_ivp

from weatherlap.drying.air import LATENT_HEAT_J_PER_KG, saturation_pressure_pa
from weatherlap.drying.curves import STEPS
from weatherlap.drying.grid import Cells
from weatherlap.drying.kernel import CONTACT_M_S_PA_PER_KG, LEAST_P_KNOT
from weatherlap.drying.march import Airs, Leaks, State

HEAT_OF_WATER = 4187.0


class StiffReference:
    """Rates of change of every cell's place on the wetting path and temperature."""

    def __init__(self, cells: Cells, airs: Airs, leaks: Leaks) -> None:
        """Take the same input as the engine's march."""
        self.cells, self.rows, self.leaks = cells, airs.rows(), leaks
        self.inner = np.flatnonzero(cells.liquid_face > 0.0)
        self.evaluations = 0

    def rates(self, _: float, both: np.ndarray, hour: int) -> np.ndarray:
        """d(position, celsius)/dt, interleaved."""
        self.evaluations += 1
        cells = self.cells
        position, celsius = np.clip(both[::2], 0.0, STEPS - 1e-9), both[1::2]
        knot = position.astype(int)
        row = cells.table[cells.table_row + knot]
        here = row[:, :4] + (position - knot)[:, None] * row[:, 4:]
        water, humidity, liquid, resistivity = here.T
        saturation = saturation_pressure_pa(celsius)
        pressure = humidity * saturation
        half_v = 0.5 * cells.width * resistivity
        by_liquid = row[:, 6] / np.maximum(row[:, 5] * saturation, LEAST_P_KNOT)
        half_all = 0.5 * cells.width / (1.0 / resistivity + by_liquid)
        conducts = cells.conductivity_dry + cells.conductivity_wet * water
        half_h = 0.5 * cells.width / conducts
        joined = cells.liquid_face > 0.0
        resist = np.where(
            joined,
            half_v[1:] + half_v[:-1],
            half_all[1:] + half_all[:-1] + CONTACT_M_S_PA_PER_KG,
        )
        vapour = -np.diff(pressure) / resist
        heat = -np.diff(celsius) / (half_h[1:] + half_h[:-1]) + LATENT_HEAT_J_PER_KG * vapour
        moved = vapour - cells.liquid_face * np.diff(liquid)
        gain_w, gain_h = self._from_airs(hour, pressure, celsius, half_all, half_h)
        gain_w += self.leaks.kg_m2_s[hour] @ self.leaks.share
        gain_w[:-1] -= moved
        gain_w[1:] += moved
        gain_h[:-1] -= heat
        gain_h[1:] += heat
        out = np.empty_like(both)
        out[::2] = gain_w / (cells.width * row[:, 4])
        out[1::2] = gain_h / (cells.heat_dry + HEAT_OF_WATER * cells.width * water)
        return out

    def _from_airs(
        self,
        hour: int,
        pressure: np.ndarray,
        celsius: np.ndarray,
        half_all: np.ndarray,
        half_h: np.ndarray,
    ) -> tuple[np.ndarray, np.ndarray]:
        """Water and heat from both airs and into vented cavities."""
        out_c, out_pa, film, film_v, sun, in_c, in_pa, in_film, in_film_v = self.rows[hour]
        cells = self.cells
        vapour = cells.vent_vapour * (out_pa - pressure)
        heat = cells.vent_heat * (out_c - celsius) + LATENT_HEAT_J_PER_KG * vapour
        ends = (
            (0, out_pa, out_c + sun / film, film, film_v),
            (-1, in_pa, in_c, in_film, in_film_v),
        )
        for at, pa, warm, way_h, way_v in ends:
            crossing = (pa - pressure[at]) / (1.0 / way_v + half_all[at])
            vapour[at] += crossing
            heat[at] += (warm - celsius[at]) / (1.0 / way_h + half_h[at])
            heat[at] += LATENT_HEAT_J_PER_KG * crossing
        return vapour, heat

    def run(self, start: State, hours: int, *, rtol: float, method: str = "BDF") -> np.ndarray:
        """Water by cell after so many hours, restarted each hour as the airs jump."""
        both = np.empty(2 * start.position.size)
        both[::2], both[1::2] = start.position, start.celsius
        for hour in range(hours):
            options = {"lband": 3, "uband": 3} if method == "LSODA" else {}
            answer = solve_ivp(
                self.rates, (0.0, 3600.0), both, method=method, args=(hour,), rtol=rtol,
                atol=rtol * 10.0, t_eval=[3600.0], **options,
            )  # fmt: skip
            if not answer.success:
                raise AssertionError(answer.message)
            both = answer.y[:, -1]
        position = np.clip(both[::2], 0.0, STEPS - 1e-9)
        knot = position.astype(int)
        row = self.cells.table[self.cells.table_row + knot]
        return row[:, 0] + (position - knot) * row[:, 4]
