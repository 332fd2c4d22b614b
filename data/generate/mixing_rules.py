"""Validation of the mixing rules: blends by the rules against CoolProp's own models of the same blends, and published values.

R-404A, R-407C, R-410A and R-507A have pseudo-pure transport models in CoolProp, fitted to the blends themselves (Geller 2000
and 2001, Okada 1999): the rules are made to predict them from the components, once with CoolProp's pure components as they
are (`library`), once with the corrected ones (`corrected`). Writes `mixing_rules.csv`.

usage: mixing_rules.py [--out FILE]
"""

import argparse
import csv
from pathlib import Path

import numpy as np
from CoolProp import PT_INPUTS

import refrigerants
from equation import LIQUID, VAPOUR, Equation
from properties import COMPONENTS
from transport import BlendTransport, Component, LibraryTransport

LOWEST_K, BELOW_CRITICAL_K, STEP_K = 233.15, 8.0, 1.0
SURFACE_TENSION_TO_K = 313.15
SUPERHEAT_K = 20.0
BLENDS = ("R-407C", "R-410A", "R-404A", "R-507A")
# Public web property page of R-448A (supplier-type table), 25 degC; the page does not state the gas's pressure: 1 atm taken.
PUBLISHED_R448A = {
    "liquid viscosity": 138.1e-6,
    "liquid conductivity": 81.2e-3,
    "surface tension": 5.96e-3,
    "vapour viscosity at 1 atm": 12.3e-6,
    "vapour conductivity at 1 atm": 13.6e-3,
}
HEADER = ("quantity", "refrigerant", "against", "points", "library_aad_pct", "library_max_pct", "corrected_aad_pct", "corrected_max_pct")


class Rules:
    """The mixing rules on an explicit mixture."""

    def __init__(self, mixture: Equation, component: type[Component]):
        self.mixture, self.transport = mixture, BlendTransport(mixture, component)

    def values(self, temperature: float, liquid_pressure: float, vapour_pressure: float) -> dict[str, float]:
        mu_l, k_l = self.transport.liquid(temperature, liquid_pressure, 0.0)
        mu_v, k_v = self._vapour(temperature, vapour_pressure)
        superheated, _ = self._vapour(temperature + SUPERHEAT_K, vapour_pressure)
        return {
            "liquid viscosity": mu_l,
            "liquid conductivity": k_l,
            "saturated vapour viscosity": mu_v,
            "vapour viscosity at 20 K superheat": superheated,
            "saturated vapour conductivity": k_v,
            "surface tension": self.transport.surface_tension(temperature) if temperature <= SURFACE_TENSION_TO_K else np.nan,
        }

    def _vapour(self, temperature: float, pressure: float) -> tuple[float, float]:
        return self.transport.vapour(temperature, pressure, self.mixture.at(VAPOUR, temperature, pressure).molar_density)


def pseudo_pure(equation: Equation, temperature: float) -> tuple[dict[str, float], float, float]:
    transport = LibraryTransport(equation, Component)
    wet, dry = (equation.saturation_pressure(phase, temperature) for phase in (LIQUID, VAPOUR))
    mu_l, k_l = transport.liquid(temperature, wet, 0.0)
    gas = equation.single[VAPOUR]
    gas.update(PT_INPUTS, dry, temperature)
    mu_v, k_v = gas.viscosity(), gas.conductivity()
    gas.update(PT_INPUTS, dry, temperature + SUPERHEAT_K)
    values = {
        "liquid viscosity": mu_l,
        "liquid conductivity": k_l,
        "saturated vapour viscosity": mu_v,
        "vapour viscosity at 20 K superheat": gas.viscosity(),
        "saturated vapour conductivity": k_v,
        "surface tension": transport.surface_tension(temperature) if temperature <= SURFACE_TENSION_TO_K else np.nan,
    }
    return values, wet, dry


def against_pseudo_pure(model: refrigerants.Model, mixture: refrigerants.Model) -> list[tuple]:
    reference, explicit = Equation(model), Equation(mixture)
    rules = {name: Rules(explicit, component) for name, component in COMPONENTS.items()}
    found: dict[tuple[str, str], list[float]] = {}
    for temperature in np.arange(LOWEST_K, reference.critical_k - BELOW_CRITICAL_K, STEP_K):
        expected, wet, dry = pseudo_pure(reference, float(temperature))
        for name, rule in rules.items():
            for quantity, value in rule.values(float(temperature), wet, dry).items():
                if np.isfinite(value):
                    found.setdefault((quantity, name), []).append(100 * (value / expected[quantity] - 1))
    quantities = dict.fromkeys(quantity for quantity, _ in found)
    return [(q, model.name, "pseudo-pure", *summary(found[q, "library"], found[q, "corrected"])) for q in quantities]


def against_published(mixture: refrigerants.Model) -> list[tuple]:
    explicit, temperature, atmosphere = Equation(mixture), 298.15, 101325.0
    found = {}
    for name, component in COMPONENTS.items():
        rules = Rules(explicit, component)
        at_bubble = rules.transport.liquid(temperature, explicit.saturation_pressure(LIQUID, temperature), 0.0)
        gas = rules._vapour(temperature, atmosphere)
        found[name] = dict(zip(PUBLISHED_R448A, (*at_bubble, rules.transport.surface_tension(temperature), *gas)))
    return [
        (q, mixture.name, "published", *summary(*([100 * (found[name][q] / value - 1)] for name in ("library", "corrected"))))
        for q, value in PUBLISHED_R448A.items()
    ]


def summary(*columns: list[float]) -> tuple:
    """Points; of each column the average absolute deviation, and the greatest with its sign."""
    each = [(np.mean(np.abs(column)), max(column, key=abs)) for column in columns]
    return len(columns[0]), *(f"{value:.2f}" for pair in each for value in pair)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=Path(__file__).with_suffix(".csv"))
    arguments = parser.parse_args()
    models, mixtures = refrigerants.read(refrigerants.TABLE), refrigerants.read(refrigerants.TABLE, explicit=True)
    rows = [row for name in BLENDS for row in against_pseudo_pure(models[name], mixtures[name])]
    rows += against_published(mixtures["R-448A"])
    with open(arguments.out, "w", newline="", encoding="utf-8") as file:
        file.write(
            "# source: CoolProp 8.0.0; mixing rules of transport.py against its pseudo-pure models, -40 degC to 8 K below critical"
            " (surface tension to 40 degC), 1 K steps; R-448A: public web property page (supplier-type table), 25 degC\n"
            "# grade: computed\n# generator: data/generate/mixing_rules.py\n"
        )
        writer = csv.writer(file, lineterminator="\n")
        writer.writerows([HEADER, *rows])


if __name__ == "__main__":
    main()
