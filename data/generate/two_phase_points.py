"""Two-phase reference states of blends straight from CoolProp, for `tests/cross/two_phase`: no code of the grids is used.

A bubble temperature and a molar quality are drawn; CoolProp's plain flash gives the pressure at the bubble point, and by
pressure and quality the state. What it fails at is drawn again. Pseudo-pure refrigerants are flashed as mixtures of their
components, whose saturation pressure differs from the pseudo-pure equation's by up to 0.5 %: their points are to be compared
by the share of the enthalpy between bubble and dew.

usage: two_phase_points.py [--table FILE] [--out FOLDER] [REFRIGERANT ...]     (no refrigerant: all blends)
"""

import argparse
import os
import random
from pathlib import Path

import numpy as np
from CoolProp import AbstractState, PQ_INPUTS, QT_INPUTS

import refrigerants

SEED = 60251
POINTS = 50
LOWEST_K = 218.15
BELOW_CRITICAL_K = 15.0
HEADER = "pressure_pa,enthalpy_j_kg,quality,temperature_k,bubble_temperature_k,dew_temperature_k,enthalpy_share"


def points(model: refrigerants.Model) -> list[list[float]]:
    flash = AbstractState("HEOS", "&".join(model.fluids))
    flash.set_mole_fractions(list(model.mole_fractions))
    components = [AbstractState("HEOS", fluid) for fluid in model.fluids]
    molar_masses = [component.molar_mass() for component in components]
    roots = [root.T for root in flash.all_critical_points() if root.stable and root.p > 0]
    mean = sum(x * component.T_critical() for x, component in zip(model.mole_fractions, components))
    critical = min(roots, key=lambda root: abs(root - mean))
    flash.update(QT_INPUTS, 0, 273.15)
    enthalpy_shift = 200e3 - flash.hmass()
    draw = random.Random(f"{SEED} {model.name}")

    def at(pressure: float, molar_quality: float) -> tuple[float, float]:
        flash.update(PQ_INPUTS, pressure, molar_quality)
        x, y = flash.mole_fractions_liquid(), flash.mole_fractions_vapor()
        whole = [(1 - molar_quality) * l + molar_quality * v for l, v in zip(x, y)]
        if max(abs(w - z) for w, z in zip(whole, model.mole_fractions)) > 1e-6:
            raise ValueError("the phases do not add up to the whole")
        return flash.T(), flash.hmass()

    found = []
    while len(found) < POINTS:
        bubble = round(draw.uniform(LOWEST_K + 0.5, critical - BELOW_CRITICAL_K), 3)
        molar_quality = draw.uniform(0.02, 0.98)
        try:
            flash.update(QT_INPUTS, 0, bubble)
            pressure = flash.p()
            (low, wet), (high, dry) = at(pressure, 0), at(pressure, 1)
            temperature, enthalpy = at(pressure, molar_quality)
            vapour = molar_quality * float(np.dot(flash.mole_fractions_vapor(), molar_masses))
            liquid = (1 - molar_quality) * float(np.dot(flash.mole_fractions_liquid(), molar_masses))
        except ValueError:
            continue
        share = (enthalpy - wet) / (dry - wet)
        # A flash that took a wrong root shows by its ends or by its order.
        if abs(low - bubble) > 1e-3 or not 0 < share < 1 or not low - 0.1 < temperature < high + 0.1:
            continue
        found.append([pressure, enthalpy + enthalpy_shift, vapour / (vapour + liquid), temperature, bubble, high, share])
    return found


def text(model: refrigerants.Model) -> str:
    lines = [
        f"# refrigerant: {model.name}",
        f"# source: CoolProp 8.0.0 ({model.source}), flashed at each pressure and molar quality",
        "# grade: computed",
        "# reference state: enthalpy 200 kJ/kg for bubble liquid at 273.15 K",
        "# quality: vapour mass fraction",
        f"# seed: {SEED}",
        "# generator: data/generate/two_phase_points.py",
        HEADER,
    ]
    return "\n".join(lines + [",".join(f"{value:.9g}" for value in row) for row in points(model)]) + "\n"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--out", type=Path, default=refrigerants.ROOT / "tests" / "cross" / "two_phase")
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT")
    arguments = parser.parse_args()
    blends = {name: model for name, model in refrigerants.read(arguments.table, explicit=True).items() if model.is_mixture}
    names = refrigerants.chosen(arguments.refrigerants, blends, arguments.table)
    arguments.out.mkdir(parents=True, exist_ok=True)
    for name in names:
        part = arguments.out / f"{name}.part"
        part.write_text(text(blends[name]), encoding="utf-8", newline="\n")
        os.replace(part, arguments.out / f"{name}.csv")


if __name__ == "__main__":
    main()
