"""Whole chains of one circuit, line by line with properties at each line's inlet: the C rows of `tests/cross/data/line_chains.csv`.

States from CoolProp 8.0.0; viscosity from `transport.py` (pure components corrected); friction factor by Colebrook.
No code of the program and no property grid is used.

usage: line_chains.py [ID ...]     prints `id: key=value|...`
"""

import csv
import math
import sys

import refrigerants
from corrections import CorrectedComponent
from equation import LIQUID, VAPOUR, Equation
from transport import transport_of

ROWS = refrigerants.ROOT / "tests" / "cross" / "data" / "line_chains.csv"
GRAVITY_M_S2 = 9.80665


def colebrook(reynolds: float, relative_roughness: float) -> float:
    x = 8.0  # 1 / sqrt(f)
    for _ in range(100):
        x = -2 * math.log10(relative_roughness / 3.7 + 2.51 * x / reynolds)
    return 1 / x**2


class Fluid:
    def __init__(self, name: str):
        self.equation = Equation(refrigerants.read(refrigerants.TABLE)[refrigerants.trade_name(name)])
        self.transport = transport_of(self.equation, CorrectedComponent)

    def pressure(self, phase: int, temperature: float) -> float:
        return self.equation.saturation_pressure(phase, temperature)

    def temperature(self, phase: int, pressure: float) -> float:
        """Inverse of the saturation pressure, by the secant method."""
        below, above = 230.0, 330.0
        for _ in range(60):
            p_0, p_1 = math.log(self.pressure(phase, below) / pressure), math.log(self.pressure(phase, above) / pressure)
            if abs(p_1 - p_0) < 1e-14:
                break
            below, above = above, above - p_1 * (above - below) / (p_1 - p_0)
            if abs(above - below) < 1e-11:
                break
        return above

    def state(self, phase: int, temperature: float, pressure: float):
        found = self.equation.at(phase, temperature, pressure)
        rule = self.transport.liquid if phase == LIQUID else self.transport.vapour
        return found, rule(temperature, pressure, found.molar_density)[0]


def chain(given: dict[str, float], name: str) -> dict[str, float]:
    fluid = Fluid(name)
    kelvin = 273.15
    evaporating_k, condensing_k = given["sat_suction_C"] + kelvin, given["cond_C"] + kelvin
    evaporating, condensing = fluid.pressure(VAPOUR, evaporating_k), fluid.pressure(VAPOUR, condensing_k)
    liquid_k = fluid.temperature(LIQUID, condensing) - given["subcooling_K"]
    states = {
        "discharge": fluid.state(VAPOUR, given["discharge_gas_C"] + kelvin, condensing),
        "liquid": fluid.state(LIQUID, liquid_k, condensing),
        "suction": fluid.state(VAPOUR, evaporating_k + given["superheat_K"], evaporating),
    }
    rate = 1e3 * given["capacity_kW"] / (states["suction"][0].enthalpy - states["liquid"][0].enthalpy)
    found = {"mass_flow_g_s": 1e3 * rate}
    for line, (state, viscosity) in states.items():
        bore = 1e-3 * given[f"{line}_id_mm"]
        area = math.pi * bore**2 / 4
        velocity = rate / state.density / area
        reynolds = rate * bore / area / viscosity
        factor = colebrook(reynolds, 1e-6 * given["roughness_um"] / bore)
        drop = factor * given["equiv_length_each_m"] / bore * state.density * velocity**2 / 2
        found[f"{line}_v_m_s"] = velocity
        if line == "liquid":
            found["liquid_dp_friction_kPa"] = drop / 1e3
            static = state.density * GRAVITY_M_S2 * given["condenser_above_head_m"]
            found["liquid_static_kPa"] = static / 1e3
            for key, sign in (("flowing_down", 1), ("if_liquid_had_to_rise", -1)):
                arriving = condensing - drop + sign * static
                name_of = f"flash_margin_K_{'liquid_' if sign > 0 else ''}{key}"
                found[name_of] = fluid.temperature(LIQUID, arriving) - liquid_k
            continue
        pressure = condensing if line == "discharge" else evaporating
        least = 0.7225 * area * math.sqrt(state.density * GRAVITY_M_S2 * bore * (given["oil_density"] - state.density))
        if line == "discharge":
            found["discharge_Re"], found["discharge_f"] = reynolds, factor
            found["discharge_riser_min_flow_g_s"] = 1e3 * least
        found[f"{line}_dp_kPa"] = drop / 1e3
        found[f"{line}_dT_K"] = fluid.temperature(VAPOUR, pressure) - fluid.temperature(VAPOUR, pressure - drop)
        found[f"{line}_flow_over_min"] = rate / least
    return found


def main() -> None:
    with open(ROWS, newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(line for line in file if not line.startswith("#")) if row["id"].startswith("C")]
    for row in rows:
        if len(sys.argv) > 1 and row["id"] not in sys.argv[1:]:
            continue
        pairs = dict(pair.split("=", 1) for pair in row["inputs"].split("|"))
        given = {key: float(value.split(" ")[0]) for key, value in pairs.items() if key != "refrigerant"}
        found = chain(given, pairs["refrigerant"])
        print(f"{row['id']}: " + "|".join(f"{key}={value:.6g}" for key, value in found.items()))


if __name__ == "__main__":
    main()
