"""Reference line jobs for `tests/cross/line_jobs.csv`: random lines of R-134a and R-404A solved by explicit steps.

Method: the line is cut into 400 equal steps; in each, CoolProp gives density and viscosity at the step's inlet (p, T),
phase imposed; the pressure loses Darcy-Weisbach friction (Colebrook by `fluids.friction_factor`, roughness 1.5e-6 m),
its share of the elbows' loss (Darby 3-K, threaded standard elbow, spread evenly) and rho g times its share of the rise.
Temperature is constant (no heat exchange), velocity change is left out. Nothing of this repository's engine is used.

usage: rival_jobs.py [--out FILE]
"""

import argparse
import os
import random
from math import pi
from pathlib import Path

import CoolProp
from CoolProp import AbstractState, PQ_INPUTS, PT_INPUTS, QT_INPUTS
from fluids.fittings import Darby3K
from fluids.friction import friction_factor

OUT = Path(__file__).resolve().parents[2] / "tests" / "cross" / "line_jobs.csv"
SEED = 5903
JOBS = 200
STEPS = 400
ROUGHNESS_M = 1.5e-6
GRAVITY = 9.80665
ELBOW = "Elbow, 90°, threaded, standard, (r/D = 1)"
COPPER_BORES_M = (4.826e-3, 8.001e-3, 10.92e-3, 13.84e-3, 16.92e-3, 19.94e-3, 26.04e-3, 32.13e-3, 38.23e-3, 50.42e-3)
REFRIGERANTS = {"R-134a": "R134a", "R-404A": "R404A"}
SMALLEST_SUPERHEAT_K, SMALLEST_SUBCOOLING_K = 1.5, 0.5  # kept along the whole line, so that it stays in one phase
GREATEST_SHARE_OF_PRESSURE = 0.15  # a line that loses more is no sensible design
HEADER = (
    "job,refrigerant,service,inlet_pressure_pa,inlet_temperature_k,mass_rate_kg_s,bore_m,length_m,rise_m,elbows,"
    "drop_pa,outlet_temperature_k,charge_kg,velocity_max_m_s"
)


def line(state, pressure, temperature, mass_rate, bore, length, rise, elbows):
    """Pressure drop, outlet temperature, charge, greatest velocity, lowest and highest pressure."""
    area, step = pi * bore * bore / 4, length / STEPS
    inlet, charge, fastest = pressure, 0.0, 0.0
    lowest = highest = pressure
    for _ in range(STEPS):
        state.update(PT_INPUTS, pressure, temperature)
        density, viscosity = state.rhomass(), state.viscosity()
        velocity = mass_rate / (density * area)
        reynolds = density * velocity * bore / viscosity
        dynamic = density * velocity * velocity / 2
        friction = friction_factor(Re=reynolds, eD=ROUGHNESS_M / bore)
        elbow = Darby3K(NPS=bore / 0.0254, Re=reynolds, name=ELBOW)
        pressure -= friction * step / bore * dynamic + elbows / STEPS * elbow * dynamic + density * GRAVITY * rise / STEPS
        charge += density * area * step
        fastest = max(fastest, velocity)
        lowest, highest = min(lowest, pressure), max(highest, pressure)
    return inlet - pressure, temperature, charge, fastest, lowest, highest


class Rig:
    """CoolProp states of one refrigerant."""

    def __init__(self, fluid: str):
        self.saturation = AbstractState("HEOS", fluid)
        self.gas, self.liquid = AbstractState("HEOS", fluid), AbstractState("HEOS", fluid)
        self.gas.specify_phase(CoolProp.iphase_gas)
        self.liquid.specify_phase(CoolProp.iphase_liquid)

    def pressure(self, quality: int, temperature: float) -> float:
        self.saturation.update(QT_INPUTS, quality, temperature)
        return self.saturation.p()

    def temperature(self, quality: int, pressure: float) -> float:
        self.saturation.update(PQ_INPUTS, pressure, quality)
        return self.saturation.T()


def draw_job(draw: random.Random, rig: Rig) -> tuple:
    """Service, state and inputs, rounded to what is printed, so that the printed job is the solved one."""
    service = draw.choice(("discharge", "liquid", "suction"))
    condensing, evaporating = draw.uniform(298.15, 328.15), draw.uniform(238.15, 278.15)
    if service == "suction":
        pressure = rig.pressure(1, evaporating)
        state, temperature, velocity = rig.gas, evaporating + draw.uniform(4, 20), draw.uniform(3, 18)
    elif service == "discharge":
        pressure = rig.pressure(0, condensing)
        gas = draw.uniform(20, 50)
        state, temperature, velocity = rig.gas, condensing + gas, draw.uniform(3, 18)
    else:
        pressure = rig.pressure(0, condensing)
        state, temperature, velocity = rig.liquid, condensing - draw.uniform(2, 10), draw.uniform(0.3, 1.6)
    pressure, temperature = float(f"{pressure:.7g}"), round(temperature, 3)
    bore, length = draw.choice(COPPER_BORES_M), round(draw.uniform(3, 60), 2)
    rise, elbows = round(draw.uniform(-1, 1) * min(10.0, length), 2), draw.randint(0, 12)
    state.update(PT_INPUTS, pressure, temperature)
    mass_rate = float(f"{velocity * state.rhomass() * pi * bore * bore / 4:.6g}")
    return service, state, pressure, temperature, mass_rate, bore, length, rise, elbows


def stays_in_phase(rig: Rig, service: str, temperature: float, lowest: float, highest: float) -> bool:
    if service == "liquid":
        return rig.temperature(0, lowest) - temperature >= SMALLEST_SUBCOOLING_K
    return temperature - rig.temperature(1, highest) >= SMALLEST_SUPERHEAT_K


def jobs():
    draw = random.Random(SEED)
    rigs = {name: Rig(fluid) for name, fluid in REFRIGERANTS.items()}
    count = 0
    while count < JOBS:
        name = draw.choice(list(REFRIGERANTS))
        rig = rigs[name]
        service, state, *inputs = draw_job(draw, rig)
        pressure, temperature = inputs[:2]
        try:
            drop, outlet, charge, fastest, lowest, highest = line(state, *inputs)
        except ValueError:  # the pressure ran out in a small bore
            continue
        if lowest < pressure * (1 - GREATEST_SHARE_OF_PRESSURE) or not stays_in_phase(rig, service, temperature, lowest, highest):
            continue
        count += 1
        yield [count, name, service, *inputs, drop, outlet, charge, fastest]


def cell(value) -> str:
    return value if isinstance(value, str) else f"{value:.9g}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=OUT)
    out = parser.parse_args().out
    lines = [
        "# source: CoolProp 8.0.0 (HEOS, pure R134a and pseudo-pure R404A) and fluids 1.3.1",
        f"# method: {STEPS} explicit steps at constant temperature; Darcy-Weisbach, Colebrook, roughness 1.5e-6 m; elbows by"
        " Darby 3-K (threaded, standard, r/D = 1) spread evenly over the steps; rho g rise; no heat exchange, no acceleration",
        "# grade: computed",
        f"# seed: {SEED}",
        "# generator: data/generate/rival_jobs.py",
        HEADER,
        *(",".join(map(cell, job)) for job in jobs()),
    ]
    out.parent.mkdir(parents=True, exist_ok=True)
    part = out.with_suffix(".part")
    part.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
    os.replace(part, out)


if __name__ == "__main__":
    main()
