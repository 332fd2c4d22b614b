"""Whole lines by another way of integration: the rows of `tests/cross/data/warm_lines.csv`.

Along each leg the conserved quantities `p + G^2 v` and `h + (G v)^2/2` are integrated by scipy's DOP853 at a relative
tolerance of 1e-9, with the change of phase as an event; pressure and enthalpy follow from them by iteration. (The engine
integrates pressure and enthalpy themselves, with derivatives of the volume.) States from CoolProp 8.0.0, viscosity and surface
tension from `transport.py` (which the grids share), friction by `fluids.friction_factor` and `Friedel`, void fraction by
`Steiner`. Between bubble and dew point of a blend quality and temperature are taken as straight in enthalpy.
A resistance takes `K G^2 v/2` at the mean of the volumes before and behind.

Lines are drawn at random until each refrigerant has what `WANTED` asks: liquid that stays liquid, liquid that flashes, gas that
stays gas, gas that condenses. Flows with either phase alone below a Reynolds number of 4500 are drawn again: `fluids` and the
engine join laminar and turbulent flow elsewhere.

usage: warm_lines.py [--out FILE]
"""

import argparse
import os
import random
from math import pi
from pathlib import Path

import refrigerants
from corrections import CorrectedComponent
from equation import LIQUID, VAPOUR, Equation
from fluids import friction_factor
from fluids.two_phase import Friedel
from fluids.two_phase_voidage import Steiner
from scipy.integrate import solve_ivp
from transport import transport_of

OUT = refrigerants.ROOT / "tests" / "cross" / "data" / "warm_lines.csv"
SEED = 70217
NAMES = ("R-134a", "R-410A", "R-404A")
WANTED = {"liquid": 3, "flashes": 4, "gas": 2, "condenses": 3}
GRAVITY = 9.80665
ROUGHNESS_M = 1.5e-6
LEAST_REYNOLDS = 4500.0
TOLERANCE = 1e-9
TWO_PHASE = 2
COLUMNS = (
    "refrigerant,kind,entering,pressure_pa,temperature_k,rate_kg_s,bore_m,legs,"
    "drop_pa,outlet_temperature_k,outlet_quality,outlet_enthalpy_j_kg,charge_kg,heat_w,other_phase_at_m,source,grade"
)


class NoLine(Exception):
    """Not a line to keep: out of the data, choked, or in the range of Reynolds numbers that is left out."""


class Fluid:
    def __init__(self, name: str):
        self.equation = Equation(refrigerants.read(refrigerants.TABLE)[name])
        self.transport = transport_of(self.equation, CorrectedComponent)
        self.last_k = {}

    def saturation_k(self, phase: int, pressure: float) -> float:
        """Newton's method on ln p against 1/T, from the last one found."""
        at = self.last_k.get(phase, 300.0)
        for _ in range(50):
            here, beside = (self.equation.saturation_pressure(phase, t) for t in (at, at + 0.01))
            step = (pressure - here) / ((beside - here) / 0.01)
            at += max(-20.0, min(20.0, step))
            if abs(step) < 1e-9:
                self.last_k[phase] = at
                return at
        raise NoLine

    def at(self, phase: int, pressure: float, temperature: float):
        state = self.equation.at(phase, temperature, pressure)
        rule = self.transport.liquid if phase == LIQUID else self.transport.vapour
        return state, rule(temperature, pressure, state.molar_density)[0]

    def end(self, phase: int, pressure: float):
        temperature = self.saturation_k(phase, pressure)
        return (temperature, *self.at(phase, pressure, temperature))

    def temperature(self, phase: int, pressure: float, enthalpy: float, guess: float) -> float:
        for _ in range(50):
            state = self.equation.at(phase, guess, pressure)
            step = (enthalpy - state.enthalpy) / state.heat_capacity
            guess += max(-20.0, min(20.0, step))
            if abs(step) < 1e-9:
                return guess
        raise NoLine


class Line:
    def __init__(self, fluid: Fluid, rate: float, bore: float):
        self.fluid, self.rate, self.bore = fluid, rate, bore
        self.area = pi / 4 * bore**2
        self.flux = rate / self.area
        self.guess_k = 300.0

    def place(self, kind: int, pressure: float, enthalpy: float) -> dict:
        if not 5e4 < pressure < 4.2e6:
            raise NoLine
        if kind != TWO_PHASE:
            self.guess_k = self.fluid.temperature(kind, pressure, enthalpy, self.guess_k)
            state, viscosity = self.fluid.at(kind, pressure, self.guess_k)
            if self.reynolds(viscosity) < LEAST_REYNOLDS:
                raise NoLine
            return {"T": self.guess_k, "rho": state.density, "v": 1 / state.density, "mu": viscosity, "x": None}
        bubble_k, bubble, mul = self.fluid.end(LIQUID, pressure)
        dew_k, dew, mug = self.fluid.end(VAPOUR, pressure)
        if min(self.reynolds(mul), self.reynolds(mug)) < LEAST_REYNOLDS:
            raise NoLine
        x = (enthalpy - bubble.enthalpy) / (dew.enthalpy - bubble.enthalpy)
        x = min(max(x, 0.0), 1.0)
        laws = {"x": x, "rhol": bubble.density, "rhog": dew.density, "m": self.rate, "D": self.bore}
        laws["sigma"] = self.fluid.transport.surface_tension(bubble_k)
        void = Steiner(g=GRAVITY, **laws)
        momentum = 1 / bubble.density if x == 0.0 else 1 / dew.density
        if 0.0 < x < 1.0:
            momentum = x * x / (dew.density * void) + (1 - x) ** 2 / (bubble.density * (1 - void))
        friction = Friedel(mul=mul, mug=mug, roughness=ROUGHNESS_M, L=1.0, **laws)
        rho = void * dew.density + (1 - void) * bubble.density
        volume = x / dew.density + (1 - x) / bubble.density
        return {"T": bubble_k + x * (dew_k - bubble_k), "rho": rho, "v": momentum, "F": friction, "x": x, "mixed": volume}

    def reynolds(self, viscosity: float) -> float:
        return self.flux * self.bore / viscosity

    def solved(self, kind: int, impulse: float, energy: float, start: tuple[float, float]) -> tuple[float, float, dict]:
        """Pressure, enthalpy and place from `p + G^2 v` and `h + (G v)^2/2`."""
        pressure, enthalpy = start
        for _ in range(200):
            place = self.place(kind, pressure, enthalpy)
            new = impulse - self.flux**2 * place["v"], energy - 0.5 * (self.flux * place["v"]) ** 2
            moved = max(abs(new[0] - pressure) / 1e6, abs(new[1] - enthalpy) / 1e5)
            pressure, enthalpy = new
            if moved < 1e-12:
                return pressure, enthalpy, place
        raise NoLine

    def friction(self, place: dict) -> float:
        if place["x"] is not None:
            return place["F"]
        factor = friction_factor(Re=self.reynolds(place["mu"]), eD=ROUGHNESS_M / self.bore)
        return factor * self.flux**2 * place["v"] / 2 / self.bore


def bounds(fluid: Fluid, pressure: float) -> tuple[float, float]:
    return fluid.end(LIQUID, pressure)[1].enthalpy, fluid.end(VAPOUR, pressure)[1].enthalpy


def walk(fluid: Fluid, entering: int, pressure: float, temperature: float, rate: float, bore: float, legs: list) -> dict:
    line = Line(fluid, rate, bore)
    line.guess_k = temperature
    enthalpy = fluid.equation.at(entering, temperature, pressure).enthalpy
    kind, position, first = entering, 0.0, None
    at, charge, heat, inlet = (pressure, enthalpy), 0.0, 0.0, pressure
    for length, rise, conductance, surroundings, coefficient in legs:
        climb = rise / length

        def momentum_and_energy(at: tuple[float, float]) -> tuple[float, float]:
            v = line.place(kind, *at)["v"]
            return at[0] + line.flux**2 * v, at[1] + 0.5 * (line.flux * v) ** 2

        done = 0.0
        while done < length:
            last = [at]

            def found(y):
                pressure, enthalpy, place = line.solved(kind, y[0], y[1], last[0])
                last[0] = pressure, enthalpy
                return pressure, enthalpy, place

            def slope(_, y):
                _, _, place = found(y)
                warmed = conductance * (surroundings - place["T"])
                head = GRAVITY * climb
                return [-line.friction(place) - place["rho"] * head, warmed / rate - head, place["rho"] * line.area, warmed]

            def beyond_bubble(_, y):
                pressure, enthalpy, _ = found(y)
                return enthalpy - bounds(fluid, pressure)[0]

            def beyond_dew(_, y):
                pressure, enthalpy, _ = found(y)
                return enthalpy - bounds(fluid, pressure)[1]

            events = {LIQUID: [beyond_bubble], VAPOUR: [beyond_dew], TWO_PHASE: [beyond_bubble, beyond_dew]}[kind]
            for event in events:
                event.terminal = True
                event.direction = {LIQUID: 1, VAPOUR: -1}.get(kind, -1 if event is beyond_bubble else 1)
            start = [*momentum_and_energy(at), charge, heat]
            scale = [1e6 * TOLERANCE, 1e5 * TOLERANCE, charge_scale(line, length) * TOLERANCE, 10 * TOLERANCE]
            ran = solve_ivp(
                slope, (done, length), start, method="DOP853", rtol=TOLERANCE, atol=scale, events=events,
                first_step=min(0.01, length - done), max_step=0.25 * length,
            )  # fmt: skip
            if ran.status < 0:
                raise NoLine
            last[0] = at
            y = ran.y[:, -1]
            at, charge, heat, done = found(y)[:2], y[2], y[3], ran.t[-1]
            if ran.status == 1:
                if first is None:
                    first = position + done
                crossed = [index for index, times in enumerate(ran.t_events) if len(times)][0]
                kind = TWO_PHASE if kind != TWO_PHASE else (LIQUID, VAPOUR)[crossed]
                # On the line itself, whichever side rounding left it.
                low, high = bounds(fluid, at[0])
                line.guess_k = fluid.saturation_k(VAPOUR if kind == VAPOUR else LIQUID, at[0])
                if kind == TWO_PHASE:
                    at = at[0], min(max(at[1], low), high)
        position += length
        if coefficient:
            at, kind = through(line, kind, at, coefficient)
    place = line.place(kind, *at)
    return {
        "drop": inlet - at[0], "T": place["T"], "x": place["x"], "h": at[1], "charge": charge, "heat": heat, "first": first,
        "kind": kind,
    }  # fmt: skip


def charge_scale(line: Line, length: float) -> float:
    return 100.0 * line.area * length


def through(line: Line, kind: int, at: tuple[float, float], coefficient: float):
    """Behind a resistance; a line that changes its phase inside one is not kept."""
    before = line.place(kind, *at)
    volume = before["mixed"] if kind == TWO_PHASE else before["v"]
    impulse, energy = at[0] + line.flux**2 * before["v"], at[1] + 0.5 * (line.flux * before["v"]) ** 2
    behind = volume
    for _ in range(50):
        loss = coefficient * line.flux**2 / 2 * 0.5 * (volume + behind)
        pressure, enthalpy, place = line.solved(kind, impulse - loss, energy, at)
        behind = place["mixed"] if kind == TWO_PHASE else place["v"]
    low, high = bounds(line.fluid, pressure)
    stays = {LIQUID: enthalpy < low, VAPOUR: enthalpy > high, TWO_PHASE: low < enthalpy < high}[kind]
    if not stays:
        raise NoLine
    return (pressure, enthalpy), kind


def drawn(random_: random.Random, fluid: Fluid, wanted: str) -> list:
    """Cells of a row."""
    entering = LIQUID if wanted in ("liquid", "flashes") else VAPOUR
    rounded = lambda low, high: float(f"{random_.uniform(low, high):.5g}")
    while True:
        bore = rounded(0.0045, 0.02)
        legs = []
        for _ in range(random_.randint(1, 4)):
            length = rounded(2.0, 12.0)
            rise = random_.choice([0.0, 1.0, -1.0, 0.4]) * length
            surroundings = rounded(263.0, 333.0)
            coefficient = random_.choice([0.0, 0.0, 1.3])
            legs.append((length, rise, random_.choice([0.0, rounded(0.1, 1.5)]), surroundings, coefficient))
        if entering == LIQUID:
            saturation, distance, velocity = rounded(295, 322), rounded(0.3, 8.0), rounded(0.4, 2.0)
        else:
            saturation, distance, velocity = rounded(255, 318), rounded(2.0, 30.0), rounded(3.0, 14.0)
        sense = -1 if entering == LIQUID else 1
        pressure = float(f"{fluid.equation.saturation_pressure(entering, saturation):.9g}")
        temperature = float(f"{saturation + sense * distance:.9g}")
        density = fluid.equation.at(entering, temperature, pressure).density
        rate = float(f"{velocity * density * pi / 4 * bore**2:.6g}")
        try:
            found = walk(fluid, entering, pressure, temperature, rate, bore, legs)
        except (NoLine, ValueError):
            continue
        stays = found["first"] is None
        if stays != (wanted in ("liquid", "gas")) or not 300 < abs(found["drop"]) < 0.4 * pressure:
            continue
        legs_cell = "|".join(":".join(f"{number:.12g}" for number in leg) for leg in legs)
        phase = "liquid" if entering == LIQUID else "vapour"
        numbers = [found["drop"], found["T"], found["x"], found["h"], found["charge"], found["heat"], found["first"]]
        return [wanted, phase, pressure, temperature, rate, bore, legs_cell, *numbers]


def cell(value) -> str:
    return "" if value is None else value if isinstance(value, str) else f"{value:.10g}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=OUT)
    out = parser.parse_args().out
    rows = [COLUMNS]
    for name in NAMES:
        fluid, random_ = Fluid(name), random.Random(f"{SEED} {name}")
        for wanted, count in WANTED.items():
            for _ in range(count):
                cells = ",".join(map(cell, drawn(random_, fluid, wanted)))
                rows.append(f"{name},{cells},CoolProp 8.0.0; fluids 1.3.1; scipy 1.17.1,computed")
                print(rows[-1], flush=True)
    part = out.with_suffix(".part")
    part.write_text("\n".join(rows) + "\n", encoding="utf-8", newline="\n")
    os.replace(part, out)


if __name__ == "__main__":
    main()
