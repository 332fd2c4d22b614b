"""Off-grid reference states straight from CoolProp, for `tests/cross/coolprop`: no code of the property grids is used.

Saturation by CoolProp's plain flash (a temperature at which it fails is drawn again), then each state by an update at
(p, T) with its phase imposed. Viscosity, conductivity and surface tension are left empty where the grids do not hold
CoolProp's own: blends (mixing rules) and what `transport_corrections.csv` replaces.

usage: cross_points.py [--table FILE] [--out FOLDER] [REFRIGERANT ...]     (no refrigerant: all)
"""

import argparse
import csv
import os
import random
from pathlib import Path

import CoolProp
from CoolProp import AbstractState, PT_INPUTS, QT_INPUTS

import refrigerants

SEED = 20417
SATURATION_POINTS, SINGLE_PHASE_POINTS = 40, 80  # of each kind: 40 bubble, 40 dew, 80 vapour, 80 liquid
LOWEST_K = {"R-744": 220.15}
LOWEST_DEFAULT_K = 218.15
BELOW_CRITICAL_K = 15.0
GREATEST_SUPERHEAT_K, GREATEST_SUBCOOLING_K = 105.0, 60.0
INSIDE_LIMITS_K = 0.1  # points stay this far inside the temperature limits of the equation
HEADER = (
    "region,temperature_k,pressure_pa,density_kg_m3,enthalpy_j_kg,heat_capacity_j_kg_k,viscosity_pa_s,"
    "entropy_j_kg_k,conductivity_w_m_k,surface_tension_n_m"
)
# Gas conductivity that the grids do not take from CoolProp: its critical term swings at any density near this temperature.
SWING_OF_CONDUCTIVITY_K = {"R-717": (390.0, 421.0)}
REPLACED = Path(__file__).with_name("transport_corrections.csv")
REPLACED_STATE = {"bubble": "bubble", "liquid": "bubble", "dew": "dilute gas", "vapour": "dilute gas"}


def replaced() -> set[tuple[str, str, str]]:
    """Refrigerant, state and quantity of each group of corrections."""
    with open(REPLACED, newline="", encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        return {(row["refrigerant"], row["state"], row["quantity"]) for row in rows}


def points(model: refrigerants.Model) -> list[list]:
    def open_state(phase=None) -> AbstractState:
        state = AbstractState("HEOS", "&".join(model.fluids))
        if model.is_mixture:
            state.set_mole_fractions(list(model.mole_fractions))
        if phase is not None:
            state.specify_phase(phase)
        return state

    flash, gas, liquid = open_state(), open_state(CoolProp.iphase_gas), open_state(CoolProp.iphase_liquid)
    if model.is_mixture:
        roots = [root for root in open_state().all_critical_points() if root.stable and root.p > 0]
        # Several roots may be called stable (R-452A: three); the true one lies nearest the components' mean.
        mean = sum(x * AbstractState("HEOS", f).T_critical() for x, f in zip(model.mole_fractions, model.fluids))
        critical = min((root.T for root in roots), key=lambda root: abs(root - mean))
    else:
        critical = flash.T_critical()
    low, high = LOWEST_K.get(model.name, LOWEST_DEFAULT_K), critical - BELOW_CRITICAL_K

    flash.update(QT_INPUTS, 0, 273.15)
    liquid.update(PT_INPUTS, flash.p(), 273.15)
    enthalpy_shift, entropy_shift = 200e3 - liquid.hmass(), 1e3 - liquid.smass()
    not_own = replaced()
    draw = random.Random(f"{SEED} {model.name}")

    def saturation(quality: int) -> tuple[float, float]:
        while True:
            temperature = round(draw.uniform(low, high), 3)
            try:
                flash.update(QT_INPUTS, quality, temperature)
            except ValueError:
                continue
            return temperature, flash.p()

    def surface_tension(temperature: float) -> float:
        flash.update(QT_INPUTS, 0, temperature)
        return flash.surface_tension()

    def row(region: str, state: AbstractState, temperature: float, pressure: float) -> list:
        state.update(PT_INPUTS, pressure, temperature)

        def own(quantity: str, read):
            low, high = SWING_OF_CONDUCTIVITY_K.get(model.name, (0.0, 0.0)) if quantity == "conductivity" else (0.0, 0.0)
            elsewhere = low < temperature < high and region in ("dew", "vapour")
            replaces = (model.name, REPLACED_STATE[region], quantity) in not_own
            return "" if model.is_mixture or replaces or elsewhere else read()

        return [
            region,
            temperature,
            pressure,
            state.rhomass(),
            state.hmass() + enthalpy_shift,
            state.cpmass(),
            own("viscosity", state.viscosity),
            state.smass() + entropy_shift,
            own("conductivity", state.conductivity),
            surface_tension(temperature) if region == "bubble" and not model.is_mixture else "",
        ]

    found = []
    for region, quality, state in (("bubble", 0, liquid), ("dew", 1, gas)):
        found += [row(region, state, *saturation(quality)) for _ in range(SATURATION_POINTS)]
    for _ in range(SINGLE_PHASE_POINTS):
        dew, pressure = saturation(1)
        hottest = min(dew + GREATEST_SUPERHEAT_K, gas.Tmax() - INSIDE_LIMITS_K)
        found.append(row("vapour", gas, round(draw.uniform(dew + 0.2, hottest), 3), float(f"{pressure:.7g}")))
    for _ in range(SINGLE_PHASE_POINTS):
        bubble, pressure = saturation(0)
        coldest = max(bubble - GREATEST_SUBCOOLING_K, liquid.Tmin() + INSIDE_LIMITS_K)
        found.append(row("liquid", liquid, round(draw.uniform(coldest, bubble - 0.2), 3), float(f"{pressure:.7g}")))
    return found


def text(model: refrigerants.Model) -> str:
    def cell(value) -> str:
        return value if isinstance(value, str) else f"{value:.9g}"

    lines = [
        f"# refrigerant: {model.name}",
        f"# source: CoolProp 8.0.0 ({model.source}), called directly at each point with the phase imposed",
        "# grade: computed",
        "# reference state: enthalpy 200 kJ/kg and entropy 1 kJ/(kg K) for saturated (bubble) liquid at 273.15 K",
        f"# seed: {SEED}",
        "# generator: data/generate/cross_points.py",
        HEADER,
    ]
    return "\n".join(lines + [",".join(map(cell, row)) for row in points(model)]) + "\n"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--out", type=Path, default=refrigerants.ROOT / "tests" / "cross" / "coolprop")
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT")
    arguments = parser.parse_args()
    models = refrigerants.read(arguments.table)
    names = refrigerants.chosen(arguments.refrigerants, models, arguments.table)
    arguments.out.mkdir(parents=True, exist_ok=True)
    for name in names:
        part = arguments.out / f"{name}.part"
        part.write_text(text(models[name]), encoding="utf-8", newline="\n")
        os.replace(part, arguments.out / f"{name}.csv")


if __name__ == "__main__":
    main()
