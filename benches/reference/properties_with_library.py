"""Look-ups of properties by CoolProp's low-level interface: the states of `benches/properties.rs`, taken in turn.

HEOS with the phase imposed, and BICUBIC (interpolation in tables, built once) for the fluids that have it: pure and
pseudo-pure. Each look-up reads two results. `benches/compare_properties.sh` runs it beside the engine's own bench.

usage: properties_with_library.py FLUID     prints lines of BACKEND BENCH NANOSECONDS STATES_THAT_WORK
"""

import statistics
import sys
import tempfile
import time

import CoolProp
from CoolProp import AbstractState, HmassP_INPUTS, PT_INPUTS, QT_INPUTS
from CoolProp.CoolProp import set_config_string

STATES, ROUNDS, PASSES = 64, 15, 4
# Mass shares of ASHRAE 34.
R448A = (("R32", 0.26), ("R125", 0.26), ("R1234yf", 0.20), ("R134a", 0.21), ("R1234ze(E)", 0.07))


def new(backend, fluid):
    if fluid != "R448A":
        return AbstractState(backend, fluid)
    state = AbstractState(backend, "&".join(name for name, _ in R448A))
    state.set_mass_fractions([share for _, share in R448A])
    return state


def dew_k(state):
    return 273.15 - 40.0 + 80.0 * (state * 37 % STATES) / (STATES - 1)


def superheat_k(state):
    return 5.0 + 45.0 * (state * 23 % STATES) / (STATES - 1)


def working(look_up, inputs):
    """The inputs that the library answers."""
    kept = []
    for at in inputs:
        try:
            look_up(*at)
            kept.append(at)
        except ValueError:
            pass
    return kept


def nanoseconds(look_up, inputs):
    """Median over rounds of the mean of a look-up."""
    rounds = []
    for _ in range(ROUNDS):
        start = time.perf_counter_ns()
        for _ in range(PASSES):
            for first, second in inputs:
                look_up(first, second)
        rounds.append((time.perf_counter_ns() - start) / (PASSES * len(inputs)))
    return statistics.median(rounds)


def bench(backend, fluid, anchors):
    line, gas = new(backend, fluid), new(backend, fluid)
    gas.specify_phase(CoolProp.iphase_gas)

    def saturation(quality, temperature):
        line.update(QT_INPUTS, quality, temperature)
        return line.p(), line.rhomass()

    def by_temperature(pressure, temperature):
        gas.update(PT_INPUTS, pressure, temperature)
        return gas.rhomass(), gas.hmass()

    def by_enthalpy(enthalpy, pressure):
        gas.update(HmassP_INPUTS, enthalpy, pressure)
        return gas.rhomass(), gas.T()

    def viscosity(pressure, temperature):
        gas.update(PT_INPUTS, pressure, temperature)
        return gas.viscosity()

    for name, look_up, inputs in (
        ("saturation_at_temperature", saturation, [(1.0, dew_k(state)) for state in range(STATES)]),
        ("vapour_at_pressure_and_temperature", by_temperature, [at[:2] for at in anchors]),
        ("vapour_at_pressure_and_enthalpy", by_enthalpy, [(at[2], at[0]) for at in anchors]),
        ("vapour_viscosity", viscosity, [at[:2] for at in anchors]),
    ):
        kept = working(look_up, inputs)
        time_ns = f"{nanoseconds(look_up, kept):.0f}" if kept else "-"
        print(backend.split("&")[0], name, time_ns, len(kept), flush=True)


def anchor_states(fluid):
    """Pressure, temperature, enthalpy of vapour, where HEOS finds the dew point."""
    line, gas = new("HEOS", fluid), new("HEOS", fluid)
    gas.specify_phase(CoolProp.iphase_gas)
    found = []
    for state in range(STATES):
        try:
            line.update(QT_INPUTS, 1.0, dew_k(state))
            gas.update(PT_INPUTS, line.p(), dew_k(state) + superheat_k(state))
            found.append((gas.p(), gas.T(), gas.hmass()))
        except ValueError:
            pass
    return found


if __name__ == "__main__":
    fluid = sys.argv[1].replace("-", "")
    anchors = anchor_states(fluid)
    bench("HEOS", fluid, anchors)
    if fluid != "R448A":  # no tables for mixtures
        with tempfile.TemporaryDirectory() as tables:
            set_config_string(CoolProp.ALTERNATIVE_TABLES_DIRECTORY, tables + "/")
            bench("BICUBIC&HEOS", fluid, anchors)
