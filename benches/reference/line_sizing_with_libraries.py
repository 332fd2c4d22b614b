"""What an engineer would write with general libraries: three lines of one set, each in ten tubes, sized in 20 steps.

CoolProp's low-level interface with the phase imposed and one state object a phase reused; friction and 3-K elbows from
`fluids`. Needs the wheels pinned in requirements.txt. `benches/compare.sh` runs it beside the engine's own bench.

usage: line_sizing_with_libraries.py FLUID [STEPS]     prints seconds a job (best and mean) and the tubes taken
"""

import sys
import time
from math import pi

import CoolProp
from CoolProp import AbstractState, PQ_INPUTS, PT_INPUTS, QT_INPUTS
from fluids.fittings import Darby3K
from fluids.friction import friction_factor

FLUID = sys.argv[1] if len(sys.argv) > 1 else "R404A"
STEPS = int(sys.argv[2]) if len(sys.argv) > 2 else 20
BORES_M = (4.826e-3, 8.001e-3, 10.92e-3, 13.84e-3, 16.92e-3, 19.94e-3, 26.04e-3, 32.13e-3, 38.23e-3, 50.42e-3)
ROUGHNESS_M = 1.5e-6
GRAVITY = 9.80665
ELBOW = "Elbow, 90°, threaded, standard, (r/D = 1)"
AMBIENT_K, FILM_W_M2_K = 308.15, 8.0
JOBS = 20

saturation = AbstractState("HEOS", FLUID)
gas = AbstractState("HEOS", FLUID)
gas.specify_phase(CoolProp.iphase_gas)
liquid = AbstractState("HEOS", FLUID)
liquid.specify_phase(CoolProp.iphase_liquid)


def pressure_at(temperature, quality):
    saturation.update(QT_INPUTS, quality, temperature)
    return saturation.p()


def temperature_at(pressure, quality):
    saturation.update(PQ_INPUTS, pressure, quality)
    return saturation.T()


def march(state, pressure, temperature, mass_rate, bore, length, rise, elbows):
    """Pressure drop, outlet temperature and pressure, charge, greatest velocity."""
    area, step = pi * bore * bore / 4, length / STEPS
    inlet, charge, fastest = pressure, 0.0, 0.0
    for _ in range(STEPS):
        state.update(PT_INPUTS, pressure, temperature)
        density, viscosity, heat_capacity = state.rhomass(), state.viscosity(), state.cpmass()
        velocity = mass_rate / (density * area)
        reynolds = density * velocity * bore / viscosity
        friction = friction_factor(Re=reynolds, eD=ROUGHNESS_M / bore)
        loss = Darby3K(NPS=bore / 0.0254, Re=reynolds, name=ELBOW) if elbows else 0
        dynamic = density * velocity * velocity / 2
        pressure -= (friction * step / bore + elbows / STEPS * loss) * dynamic + density * GRAVITY * rise / STEPS
        temperature += FILM_W_M2_K * pi * bore * step * (AMBIENT_K - temperature) / (mass_rate * heat_capacity)
        charge += density * area * step
        fastest = max(fastest, velocity)
    return inlet - pressure, temperature, pressure, charge, fastest


def size(capacity=8000.0, evaporating=263.15, condensing=316.15):
    """Smallest tube of each line within its drop of saturation temperature and its velocity."""
    low, high = pressure_at(evaporating, 1), pressure_at(condensing, 0)
    gas.update(PT_INPUTS, low, evaporating + 8)
    liquid.update(PT_INPUTS, high, condensing - 5)
    mass_rate = capacity / (gas.hmass() - liquid.hmass())
    lines = (
        (gas, high, 350.15, 1, 1.0, 6.0, 20.0),
        (liquid, high, condensing - 5, 0, 1.0, -6.0, 1.8),
        (gas, low, evaporating + 8, 1, 1.1, -6.0, 20.0),
    )
    taken = []
    for state, pressure, temperature, quality, most_kelvin, rise, most_velocity in lines:
        first = None
        for bore in BORES_M:
            try:
                drop, _, outlet, charge, velocity = march(state, pressure, temperature, mass_rate, bore, 25.0, rise, 6)
            except ValueError:  # the pressure ran out
                continue
            if outlet <= 0:
                continue
            kelvin = temperature_at(pressure, quality) - temperature_at(outlet, quality) if drop > 0 else 0.0
            if first is None and kelvin <= most_kelvin and velocity < most_velocity:
                first = (round(bore * 1e3, 2), round(kelvin, 3), round(charge, 4), round(velocity, 2))
        taken.append(first)
    return taken


if __name__ == "__main__":
    size()
    seconds = []
    for _ in range(JOBS):
        start = time.perf_counter()
        answer = size()
        seconds.append(time.perf_counter() - start)
    print(f"best {min(seconds):.6f} s, mean {sum(seconds) / JOBS:.6f} s", answer)
