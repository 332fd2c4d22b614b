"""Compressors and condensers in balance by another way: the rows of `tests/cross/data/balances.csv`.

One condenser with one circuit, or two stacked ones with a circuit each of which the upper draws a share of the lower's
discharge air. scipy's `fsolve` finds the bubble temperature of every circuit (and the outlet pressure of a compressor with a
discharge line); the air is written out for two. States from CoolProp 8.0.0 directly; no code of the program and no grid is
used. One case has a discharge line without heat: 4000 explicit midpoint steps of `dp = -(f/D G^2 v/2) ds - G^2 dv` at
constant total enthalpy, friction by Colebrook, viscosity from `transport.py` (which the grids share).

usage: balance_points.py [--out FILE]
"""

import argparse
from math import log10, pi
from pathlib import Path

import refrigerants
from corrections import CorrectedComponent
from equation import LIQUID, VAPOUR, Equation
from scipy.optimize import brentq, fsolve
from transport import transport_of

OUT = refrigerants.ROOT / "tests" / "cross" / "data" / "balances.csv"
KELVIN = 273.15
AIR_J_KG_K = 1006.0
NAMES = ("R-134a", "R-404A", "R-449A", "R-290")
STEPS, ROUGHNESS_M = 4000, 1.5e-6
BORE_M, LENGTH_M = 13.84e-3, 20.0
COLUMNS = (
    "case,refrigerant,circuits,outdoor_c,evaporating_c,superheat_k,subcooling_k,efficiency,swept_m3_s,conductance_w_k,"
    "air_kg_s,upper_draws,bore_m,length_m,"
    "condensing_pa,outlet_pa,mass_rate_kg_s,power_w,capacity_w,heat_rejection_w,source,grade"
)
SOURCE = "own calculation with CoolProp 8.0.0 and scipy (balance_points.py)"


class Fluid:
    def __init__(self, name: str):
        self.equation = Equation(refrigerants.read(refrigerants.TABLE)[name])
        self.transport = transport_of(self.equation, CorrectedComponent)

    def dew_k(self, pressure: float, near: float) -> float:
        return brentq(lambda t: self.equation.saturation_pressure(VAPOUR, t) - pressure, near - 2, near + 12, xtol=1e-9)

    def vapour_by(self, quantity: str, wanted: float, pressure: float, low_k: float) -> float:
        """Temperature of the gas with an entropy or enthalpy."""
        excess = lambda t: getattr(self.equation.at(VAPOUR, t, pressure), quantity) - wanted  # noqa: E731
        return brentq(excess, low_k, low_k + 120, xtol=1e-10)


class Circuit:
    """With its suction as given; all else follows from bubble temperature and outlet pressure."""

    def __init__(self, fluid: Fluid, given: dict):
        self.fluid, self.given = fluid, given
        evaporating_k = given["evaporating_c"] + KELVIN
        pressure = fluid.equation.saturation_pressure(VAPOUR, evaporating_k)
        self.suction = fluid.equation.at(VAPOUR, evaporating_k + given["superheat_k"], pressure)
        self.mass_rate = given["swept_m3_s"] * self.suction.density

    def at(self, bubble_k: float, outlet_pa: float | None) -> dict:
        fluid = self.fluid
        pressure = fluid.equation.saturation_pressure(LIQUID, bubble_k)
        outlet = pressure if outlet_pa is None else outlet_pa
        dew_k = fluid.dew_k(pressure, bubble_k)
        outlet_dew_k = dew_k if outlet_pa is None else fluid.dew_k(outlet, dew_k)
        ideal_k = fluid.vapour_by("entropy", self.suction.entropy, outlet, outlet_dew_k)
        work = (fluid.equation.at(VAPOUR, ideal_k, outlet).enthalpy - self.suction.enthalpy) / self.given["efficiency"]
        liquid = fluid.equation.at(LIQUID, bubble_k - self.given["subcooling_k"], pressure)
        gas = self.suction.enthalpy + work
        return {
            "condensing_pa": pressure,
            "outlet_pa": outlet,
            "mid_k": (bubble_k + dew_k) / 2,
            "power_w": self.mass_rate * work,
            "capacity_w": self.mass_rate * (self.suction.enthalpy - liquid.enthalpy),
            "gas_j_kg": gas,
            # A line without heat brings the total enthalpy; what is left as speed at its end the condenser does not get.
            "heat_w": self.mass_rate * (gas - liquid.enthalpy),
        }

    def along(self, outlet_pa: float, gas_j_kg: float) -> tuple[float, float]:
        """Pressure and enthalpy at the end of the discharge line."""
        flux = self.mass_rate / (pi / 4 * BORE_M**2)
        at_k = self.fluid.vapour_by("enthalpy", gas_j_kg, outlet_pa, self.fluid.dew_k(outlet_pa, 310.0))
        total = gas_j_kg + (flux / self.fluid.equation.at(VAPOUR, at_k, outlet_pa).density) ** 2 / 2

        def place(pressure, guess_k):
            for _ in range(30):
                state = self.fluid.equation.at(VAPOUR, guess_k, pressure)
                step = (total - (flux / state.density) ** 2 / 2 - state.enthalpy) / state.heat_capacity
                guess_k += step
                if abs(step) < 1e-11:
                    break
            viscosity = self.fluid.transport.vapour(guess_k, pressure, state.molar_density)[0]
            return state, guess_k, viscosity

        def slope(pressure, guess_k):
            state, guess_k, viscosity = place(pressure, guess_k)
            volume = 1 / state.density
            above = 1 / place(pressure * (1 + 1e-5), guess_k)[0].density
            stretch = (above - volume) / (1e-5 * pressure)
            x, reynolds = 8.0, flux * BORE_M / viscosity
            for _ in range(60):
                x = -2 * log10(ROUGHNESS_M / BORE_M / 3.7 + 2.51 * x / reynolds)
            friction = flux**2 * volume / 2 / BORE_M / x**2
            return -friction / (1 + flux**2 * stretch), guess_k

        pressure, step = outlet_pa, LENGTH_M / STEPS
        for _ in range(STEPS):
            first, at_k = slope(pressure, at_k)
            middle, at_k = slope(pressure + first * step / 2, at_k)
            pressure += middle * step
        return pressure, place(pressure, at_k)[0].enthalpy


def solve(fluid: Fluid, given: dict) -> list[dict]:
    circuits = [Circuit(fluid, {**given, "swept_m3_s": given["swept_m3_s"] * share}) for share in (1.0, 0.8)]
    circuits = circuits[: given["circuits"]]
    air_k, air_w_k = given["outdoor_c"] + KELVIN, given["air_kg_s"] * AIR_J_KG_K
    with_line = given["length_m"] > 0

    def answer(unknowns):
        if with_line:
            found = [circuits[0].at(unknowns[0], 1e5 * unknowns[1])]
            end_pa, end_j_kg = circuits[0].along(1e5 * unknowns[1], found[0]["gas_j_kg"])
            found[0]["heat_w"] += circuits[0].mass_rate * (end_j_kg - found[0]["gas_j_kg"])
            return found, [end_pa / found[0]["condensing_pa"] - 1]
        return [circuit.at(bubble_k, None) for circuit, bubble_k in zip(circuits, unknowns)], []

    def residuals(unknowns):
        found, others = answer(unknowns)
        entering_k, left = air_k, list(others)
        for one in found:
            left.append(given["conductance_w_k"] * (one["mid_k"] - entering_k) / one["heat_w"] - 1)
            entering_k = air_k + given["upper_draws"] * (entering_k - air_k + one["heat_w"] / air_w_k)
        return left

    start = [air_k + 10.0 + 3.0 * index for index in range(len(circuits))]
    if with_line:
        start.append(fluid.equation.saturation_pressure(LIQUID, air_k + 13.0) / 1e5)
    unknowns, info, state, message = fsolve(residuals, start, xtol=1e-12, full_output=True)
    if max(map(abs, residuals(unknowns))) > 1e-9:
        raise SystemExit(f"{given}: {message} {info['fvec']}")
    found = answer(unknowns)[0]
    return [{**one, "mass_rate_kg_s": circuit.mass_rate} for one, circuit in zip(found, circuits)]


def cases():
    for name in NAMES:
        for index, (outdoor_c, evaporating_c) in enumerate(((35.0, -10.0), (20.0, -25.0), (42.0, 2.0))):
            for circuits in (1, 2):
                yield name, {
                    "circuits": circuits,
                    "outdoor_c": outdoor_c,
                    "evaporating_c": evaporating_c,
                    "superheat_k": 6.0 + 2.0 * index,
                    "subcooling_k": 1.0 + 2.0 * index,
                    "efficiency": 0.60 + 0.05 * index,
                    "swept_m3_s": 0.004,
                    "conductance_w_k": 1600.0,
                    "air_kg_s": 2.5,
                    "upper_draws": 0.2 if circuits == 2 else 0.0,
                    "bore_m": 0.0,
                    "length_m": 0.0,
                }
    yield "R-134a", {
        "circuits": 1, "outdoor_c": 32.0, "evaporating_c": -8.0, "superheat_k": 8.0, "subcooling_k": 2.0,
        "efficiency": 0.65, "swept_m3_s": 0.004, "conductance_w_k": 1600.0, "air_kg_s": 2.5, "upper_draws": 0.0,
        "bore_m": BORE_M, "length_m": LENGTH_M,
    }  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--out", type=Path, default=OUT)
    out = parser.parse_args().out
    fluids = {name: Fluid(name) for name in NAMES}
    columns = COLUMNS.split(",")
    lines = ["# Made by data/generate/balance_points.py.", COLUMNS]
    number = 0
    for case, (name, given) in enumerate(cases(), 1):
        for index, found in enumerate(solve(fluids[name], given)):
            number += 1
            row = {"case": f"{case}.{index + 1}", "refrigerant": name, **given, **found}
            row |= {"heat_rejection_w": found["heat_w"], "source": SOURCE, "grade": "computed"}
            cell = lambda value: f"{value:.9g}" if isinstance(value, float) else str(value)  # noqa: E731
            lines.append(",".join(cell(row[column]) for column in columns))
            print(lines[-1], flush=True)
    out.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{out}: {number} rows")


if __name__ == "__main__":
    main()
