"""What an engineer would write with general libraries: a year of two stacked condensers, one balance for each temperature of the air.

CoolProp's low-level interface on its tabular backend; friction and 3-K elbows from `fluids`; lines in 20 steps. The compressor
moves the same volume at one isentropic efficiency, so only heat and pressure are left to iterate: compress, march the
discharge line, reject by the linear rule of both condensers, again, until the condensing temperature stays. The next
temperature of the air begins where the last ended. `benches/compare.sh` runs it beside the engine's own bench.

usage: year_with_library.py FLUID [every-hour]     prints seconds a year and its energy in kWh
"""

import sys
import time
from collections import Counter
from math import pi, sin

import CoolProp
from CoolProp import AbstractState, PSmass_INPUTS, PT_INPUTS, QT_INPUTS, HmassP_INPUTS
from fluids.fittings import Darby3K
from fluids.friction import friction_factor

FLUID = sys.argv[1] if len(sys.argv) > 1 else "R134a"
EVERY_HOUR = "every-hour" in sys.argv
STEPS, HOURS, CAPACITY_W = 20, 8760, 8000.0
ROUGHNESS_M, GRAVITY = 1.5e-6, 9.80665
ELBOW = "Elbow, 90°, threaded, standard, (r/D = 1)"
AIR_W_K, CONDUCTANCE_W_K, UPPER_DRAWS = 1.6 * 1006.0, 1000.0, 0.15
EFFICIENCY, SUBCOOLING_K, HELD_K = 0.65, 3.0, 298.15
DISCHARGE, LIQUID = (16.92e-3, 15.0, 6.0, 6), (10.92e-3, 15.0, -6.0, 6)

saturation = AbstractState("BICUBIC&HEOS", FLUID)
gas = AbstractState("BICUBIC&HEOS", FLUID)
gas.specify_phase(CoolProp.iphase_gas)
liquid = AbstractState("BICUBIC&HEOS", FLUID)
liquid.specify_phase(CoolProp.iphase_liquid)


def pressure_at(temperature, quality):
    saturation.update(QT_INPUTS, quality, temperature)
    return saturation.p()


def middle(temperature):
    """Pressure whose bubble and dew temperature lie either side of a temperature, nearly."""
    return (pressure_at(temperature, 0) + pressure_at(temperature, 1)) / 2


def march(state, pressure, enthalpy, mass_rate, bore, length, rise, elbows):
    """Outlet pressure of a line without heat."""
    area, step = pi * bore * bore / 4, length / STEPS
    for _ in range(STEPS):
        state.update(HmassP_INPUTS, enthalpy, pressure)
        density = state.rhomass()
        velocity = mass_rate / (density * area)
        reynolds = density * velocity * bore / state.viscosity()
        friction = friction_factor(Re=reynolds, eD=ROUGHNESS_M / bore)
        loss = Darby3K(NPS=bore / 0.0254, Re=reynolds, name=ELBOW)
        dynamic = density * velocity * velocity / 2
        pressure -= (friction * step / bore + elbows / STEPS * loss) * dynamic + density * GRAVITY * rise / STEPS
    return pressure


class Machine:
    def __init__(self):
        gas.update(PT_INPUTS, pressure_at(263.15, 1), 271.15)
        self.suction_j_kg, self.suction_j_kg_k = gas.hmass(), gas.smass()
        saturation.update(QT_INPUTS, 0, 313.15)
        self.mass_rate = CAPACITY_W / (self.suction_j_kg - saturation.hmass())
        self.least_pa = middle(HELD_K)

    def compressed(self, outlet_pa):
        gas.update(PSmass_INPUTS, outlet_pa, self.suction_j_kg_k)
        return self.suction_j_kg + (gas.hmass() - self.suction_j_kg) / EFFICIENCY

    def circuit(self, coil_k, drop_pa):
        """Heat, input, drop of the discharge line and enthalpy and pressure of the liquid at a temperature of the coil."""
        condensing_pa = max(self.least_pa, middle(coil_k))
        for _ in range(50):
            gas_j_kg = self.compressed(condensing_pa + drop_pa)
            arrived_pa = march(gas, condensing_pa + drop_pa, gas_j_kg, self.mass_rate, *DISCHARGE)
            short_pa = condensing_pa - arrived_pa
            drop_pa += short_pa
            if abs(short_pa) < 1e-8 * condensing_pa:
                break
        liquid.update(PT_INPUTS, condensing_pa, max(coil_k, HELD_K) - SUBCOOLING_K)
        liquid_j_kg = liquid.hmass()
        heat_w = self.mass_rate * (gas_j_kg - liquid_j_kg)
        return heat_w, self.mass_rate * (gas_j_kg - self.suction_j_kg), drop_pa, liquid_j_kg, condensing_pa

    def balance(self, air_k, warmth_k, drops_pa):
        """Warmth of both coils at which the condensers reject what the circuits bring."""
        for _ in range(100):
            circuits = [self.circuit(air_k + warm, drop) for warm, drop in zip(warmth_k, drops_pa)]
            drops_pa = [one[2] for one in circuits]
            lower_k = circuits[0][0] / CONDUCTANCE_W_K
            entering_k = UPPER_DRAWS * circuits[0][0] / AIR_W_K
            found = (lower_k, entering_k + circuits[1][0] / CONDUCTANCE_W_K)
            moved = max(abs(a - b) for a, b in zip(found, warmth_k))
            warmth_k = found
            if moved < 1e-7:
                break
        for _, _, _, liquid_j_kg, condensing_pa in circuits:
            march(liquid, condensing_pa, liquid_j_kg, self.mass_rate, *LIQUID)
        return warmth_k, drops_pa, circuits


def tenths(hour):
    def turn(period, late):
        return sin(2 * pi * (hour - late) / period)

    return round(10 * (11 + 11 * turn(8760, 2900) + 5 * turn(24, 9) + 3 * turn(131, 0)))


def year():
    """Energy at half load, kWh."""
    machine, energy_wh = Machine(), 0.0
    warmth_k, drops_pa = (10.0, 10.0), (0.0, 0.0)
    hours = [(tenths(hour), 1) for hour in range(HOURS)] if EVERY_HOUR else sorted(Counter(map(tenths, range(HOURS))).items())
    for air, count in hours:
        warmth_k, drops_pa, circuits = machine.balance(273.15 + air / 10, warmth_k, drops_pa)
        for _, input_w, *_ in circuits:
            energy_wh += 0.5 * input_w * count
    return energy_wh / 1e3


if __name__ == "__main__":
    seconds = []
    for _ in range(1 if EVERY_HOUR else 3):
        start = time.perf_counter()
        energy_kwh = year()
        seconds.append(time.perf_counter() - start)
    print(f"best {min(seconds):.6f} s, {energy_kwh:.1f} kWh a year")
