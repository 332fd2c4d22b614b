"""CoolProp's pure components, their transport scaled to published values where CoolProp misses those.

The ratio of published to library value is fitted as ln(ratio) = a + b / T over the published temperatures (233 to
333 K) and carried beyond them on the same line. Liquid is scaled whole; of a gas only the dilute part.
"""

import csv
from collections import defaultdict
from functools import cache
from pathlib import Path

import numpy as np
from CoolProp import QT_INPUTS

import refrigerants
from equation import LIQUID
from transport import Component

PUBLISHED = Path(__file__).with_name("transport_corrections.csv")
BUBBLE, DILUTE_GAS = "bubble", "dilute gas"  # words of the table
QUANTITIES = ("viscosity", "conductivity")  # in the order of `Component`'s pairs


@cache
def _published() -> dict[tuple[str, str, str], list[tuple[float, float]]]:
    """By CoolProp's name, state and quantity: temperatures and values."""
    found = defaultdict(list)
    with open(PUBLISHED, newline="", encoding="utf-8") as file:
        for row in csv.DictReader(line for line in file if not line.startswith("#")):
            key = refrigerants.coolprop_name(row["refrigerant"]), row["state"], row["quantity"]
            found[key].append((float(row["temperature_k"]), float(row["value"])))
    return dict(found)


class CorrectedComponent(Component):
    @staticmethod
    def corrected(fluid: str, state: str, quantity: str) -> bool:
        return (fluid, state, quantity) in _published()

    def __init__(self, fluid: str):
        super().__init__(fluid)
        self._liquid_lines = self._lines(fluid, BUBBLE, self._library_liquid)
        self._gas_lines = self._lines(fluid, DILUTE_GAS, super().dilute)

    def _library_liquid(self, temperature: float) -> tuple[float, float]:
        self.flash.update(QT_INPUTS, LIQUID, temperature)
        return self.flash.viscosity(), self.flash.conductivity()

    @staticmethod
    def _lines(fluid: str, state: str, library) -> np.ndarray:
        """Slope and value at 1/T = 0 of ln(ratio), a column a quantity; zeros where nothing is published."""
        lines = np.zeros((2, len(QUANTITIES)))
        for column, quantity in enumerate(QUANTITIES):
            published = _published().get((fluid, state, quantity))
            if published:
                ratios = [np.log(value / library(t)[column]) for t, value in published]
                lines[:, column] = np.polyfit([1 / t for t, _ in published], ratios, 1)
        return lines

    def ln_liquid_factors(self, temperature: float) -> np.ndarray:
        return self._liquid_lines[0] / temperature + self._liquid_lines[1]

    def dilute(self, temperature: float) -> tuple[float, float]:
        factors = np.exp(self._gas_lines[0] / temperature + self._gas_lines[1])
        return tuple(factors * super().dilute(temperature))

    def vapour(self, temperature: float, molar_density: float) -> tuple[float, float]:
        library, corrected = super().dilute(temperature), self.dilute(temperature)
        return tuple(v + c - l for v, c, l in zip(super().vapour(temperature, molar_density), corrected, library))
