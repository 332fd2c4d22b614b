"""`--viscosity corrected`: CoolProp's pure-component viscosity, scaled to published values where CoolProp misses them.

The ratio of published to library viscosity is fitted as ln(ratio) = a + b / T over the published temperatures (233 to
333 K) and carried beyond them on the same line. Liquid is scaled whole; of a gas only the dilute part.
"""

import csv
from functools import cache
from pathlib import Path

import numpy as np
from CoolProp import QT_INPUTS

import refrigerants
from equation import LIQUID
from transport import Component

PUBLISHED = Path(__file__).with_name("viscosity_corrections.csv")


@cache
def _published() -> dict[tuple[str, str], list[tuple[float, float]]]:
    found = {}
    with open(PUBLISHED, newline="", encoding="utf-8") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            key = refrigerants.coolprop_name(row["refrigerant"]), row["state"]
            found.setdefault(key, []).append((float(row["temperature_k"]), float(row["viscosity_pa_s"])))
    return found


class CorrectedComponent(Component):
    note = "pure components scaled to published values (viscosity_corrections.csv): "

    def __init__(self, fluid: str):
        super().__init__(fluid)
        self._liquid_line = self._line(_published().get((fluid, "bubble"), []), self._library_liquid)
        self._gas_line = self._line(_published().get((fluid, "dilute gas"), []), lambda t: super(CorrectedComponent, self).dilute(t)[0])

    def _library_liquid(self, temperature: float) -> float:
        self.flash.update(QT_INPUTS, LIQUID, temperature)
        return self.flash.viscosity()

    @staticmethod
    def _line(published: list[tuple[float, float]], library) -> np.ndarray:
        if not published:
            return np.zeros(2)
        return np.polyfit([1 / t for t, _ in published], [np.log(mu / library(t)) for t, mu in published], 1)

    def ln_liquid_factor(self, temperature: float) -> float:
        return float(np.polyval(self._liquid_line, 1 / temperature))

    def dilute(self, temperature: float) -> tuple[float, float]:
        mu, k = super().dilute(temperature)
        return mu * float(np.exp(np.polyval(self._gas_line, 1 / temperature))), k

    def vapour(self, temperature: float, molar_density: float) -> tuple[float, float]:
        mu, k = super().vapour(temperature, molar_density)
        return mu + self.dilute(temperature)[0] - super().dilute(temperature)[0], k
