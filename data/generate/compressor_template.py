"""The map of an invented compressor, `data/templates/compressor.csv`.

The compressor sweeps a constant volume, of which 95 % is filled with gas as it is at the inlet, and compresses it with an
isentropic efficiency of 62 % everywhere; no real one does. The ten coefficients of each quantity are fitted to it by least
squares of the relative deviations, in dew temperatures in degF as the published form has them (the form is that of
AHRI 540, from memory). Capacity is that of liquid at its bubble point.

usage: compressor_template.py [--table FILE] [--out FILE]
"""

import argparse
from pathlib import Path

import numpy as np
from scipy.optimize import brentq

import refrigerants
from equation import LIQUID, VAPOUR, Equation

REFRIGERANT = "R-449A"
SWEPT_M3_S = 15.0 / 3600.0
VOLUMETRIC_EFFICIENCY = 0.95
ISENTROPIC_EFFICIENCY = 0.62
SUPERHEAT_F = 20.0
EVAPORATING_F = (-30.0, 30.0)
CONDENSING_F = (70.0, 140.0)
STEP_F = 5.0

BTU_H_W = 1055.05585262 / 3600.0
LB_H_KG_S = 0.45359237 / 3600.0
# Quantity, its unit, and what one of it is in SI.
QUANTITIES = (("capacity", "Btu/h", BTU_H_W), ("power", "W", 1.0), ("mass_flow", "lb/h", LB_H_KG_S))


def kelvin(fahrenheit):
    return (fahrenheit + 459.67) / 1.8


def point(equation, evaporating_f, condensing_f):
    """Capacity in W, power in W, mass flow in kg/s."""
    low = equation.saturation_pressure(VAPOUR, kelvin(evaporating_f))
    high = equation.saturation_pressure(VAPOUR, kelvin(condensing_f))
    inlet = equation.at(VAPOUR, kelvin(evaporating_f + SUPERHEAT_F), low)
    outlet_k = brentq(
        lambda t: equation.at(VAPOUR, t, high).entropy - inlet.entropy, kelvin(condensing_f) + 0.01, 450.0, xtol=1e-9
    )
    bubble_k = brentq(lambda t: equation.saturation_pressure(LIQUID, t) - high, kelvin(condensing_f) - 15.0,
                      kelvin(condensing_f), xtol=1e-9)
    liquid = equation.at(LIQUID, bubble_k, high)
    mass_kg_s = SWEPT_M3_S * VOLUMETRIC_EFFICIENCY * inlet.density
    work = (equation.at(VAPOUR, outlet_k, high).enthalpy - inlet.enthalpy) / ISENTROPIC_EFFICIENCY
    return mass_kg_s * (inlet.enthalpy - liquid.enthalpy), mass_kg_s * work, mass_kg_s


def terms(s, d):
    return np.array([1 + 0 * s, s, d, s**2, s * d, d**2, s**3, d * s**2, s * d**2, d**3]).T


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--out", type=Path, default=refrigerants.ROOT / "data" / "templates" / "compressor.csv")
    arguments = parser.parse_args()
    equation = Equation(refrigerants.read(arguments.table)[REFRIGERANT])
    axes = [np.arange(least, most + STEP_F / 2, STEP_F) for least, most in (EVAPORATING_F, CONDENSING_F)]
    evaporating, condensing = (axis.ravel() for axis in np.meshgrid(*axes, indexing="ij"))
    values = np.array([point(equation, s, d) for s, d in zip(evaporating, condensing)])
    matrix = terms(evaporating, condensing)
    rows, worst = [], 0.0
    for (name, unit, in_si), si in zip(QUANTITIES, values.T):
        wanted = si / in_si
        coefficients, *_ = np.linalg.lstsq(matrix / wanted[:, None], np.ones_like(wanted), rcond=None)
        # What a term adds anywhere in the range below nine digits is rounding: a mass flow does not know the condensing side.
        adds = np.abs(coefficients) * np.abs(matrix).max(axis=0)
        printed = [f"{value:.9g}" for value in np.where(adds < 1e-9 * wanted.max(), 0.0, coefficients)]
        worst = max(worst, np.abs(matrix @ np.array(printed, float) / wanted - 1).max())
        rows.append(
            f"{name},{unit},{REFRIGERANT},°F,{SUPERHEAT_F:g} °F,"
            + ",".join(f"{limit:g} °F" for limit in EVAPORATING_F + CONDENSING_F)
            + "," + ",".join(printed)
        )
    header = "quantity,unit,refrigerant,temperatures,superheat,evaporating_least,evaporating_most,condensing_least," \
             "condensing_most," + ",".join(f"c{index}" for index in range(1, 11))
    about = (
        "# A compressor (invented): nobody makes it. Swept volume 15 m3/h, volumetric efficiency 95 %, isentropic efficiency "
        f"62 % everywhere; the form meets that within {np.ceil(worst * 1000) / 10:.1f} %.\n"
        "# X = c1 + c2 S + c3 D + c4 S2 + c5 S D + c6 D2 + c7 S3 + c8 D S2 + c9 S D2 + c10 D3; S evaporating and D condensing "
        "dew temperature. Made by data/generate/compressor_template.py.\n"
    )
    arguments.out.write_text(about + "\n".join([header, *rows]) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
