"""Holds the generator's equations and component models against published values (`tests/published/data`).

Three tables: transport of pure components (viscosity, conductivity, surface tension), check values of transport models
and measurements of blends, and residual Helmholtz energies of the mixture models. Rows in `transport.csv` marked as
rejected are counted, not compared. A row beyond its tolerance has to be listed in `known_exceptions.csv` with its
deviation and the reason; a listed row has to deviate as listed.

A published row that is itself the base of a correction agrees by construction: there the deviation is what the straight
line through the corrections leaves, no independent proof.

usage: check_published.py [--data FOLDER]     (exit status 1 when a row is out of place)
"""

import argparse
import csv
import math
import sys
from functools import cache
from pathlib import Path
from typing import NamedTuple

import CoolProp
import numpy as np
from CoolProp import AbstractState, DmolarT_INPUTS, DmassT_INPUTS

import refrigerants
from corrections import CorrectedComponent
from equation import LIQUID, VAPOUR, Equation
from transport import Component, transport_of

DATA = refrigerants.ROOT / "tests" / "published" / "data"
LISTED_WITHIN_PCT = 0.02  # a listed deviation is printed to 0.01 %
# Four or five printed digits; the library's constants (critical density, molar mass) are rounded elsewhere than the paper's.
CHECK_VALUE_PCT = 0.01
# The models are the library's own; the gap is the equation of state behind the density.
BLEND_VISCOSITY_PCT = 2.0
# Measurements: the model's own error.
BLEND_CONDUCTIVITY_PCT = 2.5
HELMHOLTZ_PCT = 1e-4


class Comparison(NamedTuple):
    table: str
    group: str
    row: str
    found: float
    expected: float
    tolerance_pct: float

    @property
    def deviation_pct(self) -> float:
        return 100 * (self.found / self.expected - 1)


def read(file: Path) -> list[dict[str, str]]:
    with open(file, newline="", encoding="utf-8") as text:
        return list(csv.DictReader(line for line in text if not line.startswith("#")))


def short_source(source: str) -> str:
    return source.split(" (")[0]


@cache
def corrected(name: str) -> Component:
    return CorrectedComponent(refrigerants.coolprop_name(name))


@cache
def library_state(fluid: str) -> AbstractState:
    return AbstractState("HEOS", fluid)


@cache
def blend(name: str):
    equation = Equation(refrigerants.read(refrigerants.TABLE)[name])
    return equation, transport_of(equation, CorrectedComponent)


def pure_transport(quantity: str, state: str, name: str, temperature: float) -> float:
    component = corrected(name)
    reduced = temperature / component.critical_k
    match quantity, state:
        case "viscosity", "bubble":
            return math.exp(component.ln_liquid_viscosity(reduced))
        case "conductivity", "bubble":
            return component.liquid_conductivity(reduced)
        case "surface tension", "bubble":
            return component.surface_tension(temperature)
        case "viscosity", "dilute gas":
            return component.dilute(temperature)[0]
        case "conductivity", "dilute gas":
            return component.dilute(temperature)[1]
    raise ValueError(f"{quantity} of {state}")


def transport(data: Path) -> tuple[list[Comparison], dict[str, int]]:
    tolerances = {
        (row["refrigerant"], row["quantity"], row["state"]): float(row["tolerance_pct"])
        for row in read(data / "transport_tolerances.csv")
    }
    compared, rejected = [], {}
    for row in read(data / "transport.csv"):
        name, quantity, state = row["refrigerant"], row["quantity"], row["state"]
        group = f"{name} {state} {quantity}"
        if row["rejected"]:
            rejected[group] = rejected.get(group, 0) + 1
            continue
        found = pure_transport(quantity, state, name, float(row["T_C"]) + 273.15)
        key = " | ".join((name, state, row["T_C"], quantity, short_source(row["source"])))
        compared.append(Comparison("transport.csv", group, key, found, float(row["value"]), tolerances[name, quantity, state]))
    return compared, rejected


def inputs(row: dict[str, str]) -> dict[str, str]:
    pairs = (part.partition("=") for part in row["inputs"].split("|"))
    return {key: value or "yes" for key, _, value in pairs}


def helmholtz(given: dict[str, str]) -> float:
    fluids = [refrigerants.coolprop_name(name) for name in given["pair"].split("/")]
    first = float(given["z1"].split()[0])
    state = AbstractState("HEOS", "&".join(fluids))
    state.set_mole_fractions([first, 1 - first])
    state.specify_phase(CoolProp.iphase_gas)
    state.update(DmolarT_INPUTS, float(given["rho_mol_m3"]), float(given["T_K"]))
    return state.alphar()


def model_value(row: dict[str, str]) -> tuple[str, float, float]:
    """Group, value in the unit of the row, tolerance in percent."""
    given = inputs(row)
    if "pair" in given:
        return "mixture models, residual Helmholtz energy", helmholtz(given), HELMHOLTZ_PCT
    name = given["refrigerant"]
    which, scale = ("viscosity", 1e6) if row["unit"] == "uPa.s" else ("conductivity", 1e3)
    is_blend = name in refrigerants.PSEUDO_PURE
    if "rho_kg_m3" in given or "rho_mol_m3" in given:
        # Check values of the paper's model: the library's, before any correction.
        state = library_state(refrigerants.coolprop_name(name))
        kind, density = (DmassT_INPUTS, given["rho_kg_m3"]) if "rho_kg_m3" in given else (DmolarT_INPUTS, given["rho_mol_m3"])
        state.update(kind, float(density), float(given["T_K"]))
        return "check values of transport models", scale * getattr(state, which)(), CHECK_VALUE_PCT
    equation, rules = blend(name)
    if "p_MPa" in given:
        phase, temperature, pressure = VAPOUR, float(given["T_K"]), 1e6 * float(given["p_MPa"])
    elif "superheat_K" in given:
        evaporating = float(given["evap_C"]) + 273.15
        phase, temperature = VAPOUR, evaporating + float(given["superheat_K"])
        pressure = equation.saturation_pressure(VAPOUR, evaporating)
    else:
        phase, temperature = (LIQUID if "saturated liquid" in given else VAPOUR), float(given["T_K"])
        pressure = equation.saturation_pressure(phase, temperature)
    density = equation.at(phase, temperature, pressure).molar_density
    rule = rules.liquid if phase == LIQUID else rules.vapour
    value = scale * rule(temperature, pressure, density)[which == "conductivity"]
    if not is_blend:
        return "check values of transport models", value, CHECK_VALUE_PCT
    tolerance = BLEND_VISCOSITY_PCT if which == "viscosity" else BLEND_CONDUCTIVITY_PCT
    return f"{which} of blends", value, tolerance


def model_check_values(data: Path) -> list[Comparison]:
    compared = []
    for row in read(data / "model_check_values.csv"):
        group, found, tolerance = model_value(row)
        compared.append(Comparison("model_check_values.csv", group, row["id"], found, float(row["value"]), tolerance))
    return compared


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--data", type=Path, default=DATA)
    data = parser.parse_args().data
    compared, rejected = transport(data)
    compared += model_check_values(data)
    tables = {"transport.csv", "model_check_values.csv"}
    listed = {(row["table"], row["row"]): float(row["deviation_pct"]) for row in read(data / "known_exceptions.csv") if row["table"] in tables}
    faults, groups, seen = [], {}, set()
    for item in compared:
        deviation, key = item.deviation_pct, (item.table, item.row)
        text = f"{item.table}, {item.row}: found {item.found:.6g}, published {item.expected:.6g}, deviation {deviation:+.2f} %"
        if key in listed:
            if key in seen:
                faults.append(f"{text}: its listing names more than one row")
            seen.add(key)
            if abs(deviation - listed[key]) > LISTED_WITHIN_PCT or abs(deviation) <= item.tolerance_pct:
                faults.append(f"{text}, listed with {listed[key]:+.2f} % against a tolerance of {item.tolerance_pct} %")
        elif not abs(deviation) <= item.tolerance_pct:
            faults.append(f"{text}, tolerance {item.tolerance_pct} %")
        groups.setdefault(item.group, []).append((deviation, key in listed))
    faults += [f"{table}, {row}: listed as an exception, but no such row" for table, row in sorted(set(listed) - seen)]

    print(f"{'group':44} {'rows':>5} {'rejected':>8} {'listed':>6} {'mean %':>8} {'worst %':>8} {'worst unlisted %':>16}")
    for group, deviations in groups.items():
        every, kept = np.array([d for d, _ in deviations]), [d for d, known in deviations if not known]
        worst = every[np.argmax(abs(every))]
        worst_kept = f"{max(kept, key=abs):+.2f}" if kept else "-"
        known = sum(known for _, known in deviations)
        print(f"{group:44} {len(every):5} {rejected.get(group, 0):8} {known:6} {every.mean():+8.2f} {worst:+8.2f} {worst_kept:>16}")
    print(f"{len(compared)} rows compared, {sum(rejected.values())} rejected, {len(seen)} listed exceptions, {len(faults)} out of place")
    for fault in faults:
        print(f"OUT OF PLACE: {fault}", file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
