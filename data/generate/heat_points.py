"""Reference values of heat exchange from the libraries ht, fluids and scipy, for `tests/cross/heat.rs`.

Films come from ht, viscosity and conductivity of air from fluids (U.S. Standard Atmosphere 1976). Exchanges are whole balances of
one metre of tube: written here anew, films by ht, the conductivity of the insulation integrated by scipy, the surface
temperature by scipy's brentq. ht has no friction factor of Filonenko: that one line is written out in both places.

usage: heat_points.py [--out FOLDER]
"""

import argparse
import math
import os
import random
from importlib.metadata import version
from pathlib import Path

from fluids.atmosphere import ATMOSPHERE_1976
from ht.conv_external import Nu_cylinder_Churchill_Bernstein
from ht.conv_free_immersed import Nu_horizontal_cylinder_Churchill_Chu, Nu_vertical_cylinder_Popiel_Churchill
from ht.conv_internal import laminar_T_const, turbulent_Gnielinski
from scipy.integrate import quad
from scipy.optimize import brentq

ROOT = Path(__file__).resolve().parents[2]
SEED = 20418
GRAVITY, STEFAN_BOLTZMANN = 9.80665, 5.670374419e-8
GAS_CONSTANT, AIR_HEAT_CAPACITY = 287.053, 1007.0
LIBRARIES = ", ".join(f"{name} {version(name)}" for name in ("ht", "fluids", "scipy"))


def gnielinski(reynolds: float, prandtl: float) -> float:
    filonenko = (1.82 * math.log10(reynolds) - 1.64) ** -2
    return turbulent_Gnielinski(Re=reynolds, Pr=prandtl, fd=filonenko)


def films():
    for prandtl in (0.7, 0.72, 3.0, 150.0):
        for exponent in range(-3, 13):
            grashof = 10.0**exponent / prandtl
            yield "free level", 10.0**exponent, prandtl, "", Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=grashof)
        for exponent in (4, 5, 7, 9, 11):
            for slenderness in (10.0, 100.0, 500.0):
                nusselt = Nu_vertical_cylinder_Popiel_Churchill(
                    Pr=prandtl, Gr=10.0**exponent / prandtl, L=slenderness, D=1.0
                )
                yield "free upright", 10.0**exponent, prandtl, slenderness, nusselt
        for reynolds in (1.0, 30.0, 1e3, 2e4, 3e5, 4e6):
            yield "wind", reynolds, prandtl, "", Nu_cylinder_Churchill_Bernstein(Re=reynolds, Pr=prandtl)
        for reynolds in (10.0, 2300.0):
            yield "inside", reynolds, prandtl, "", laminar_T_const()
        for reynolds in (4e3, 1e4, 1e5, 5e6):
            yield "inside", reynolds, prandtl, "", gnielinski(reynolds, prandtl)
    for kelvin in (200.0, 233.15, 273.15, 300.0, 333.15, 373.15, 450.0):
        yield "air viscosity", kelvin, "", "", ATMOSPHERE_1976.viscosity(kelvin)
        yield "air conductivity", kelvin, "", "", ATMOSPHERE_1976.thermal_conductivity(kelvin)


def coefficient(case: dict, surface: float) -> float:
    """Convection at the surface, W/(m2 K)."""
    film = 0.5 * (surface + case["air_k"])
    conductivity, viscosity = ATMOSPHERE_1976.thermal_conductivity(film), ATMOSPHERE_1976.viscosity(film)
    kinematic = viscosity * GAS_CONSTANT * film / case["pressure_pa"]
    prandtl = viscosity * AIR_HEAT_CAPACITY / conductivity
    diameter, height = case["outside_diameter_m"] + 2 * case["thickness_m"], case["height_m"]
    size = height or diameter
    grashof = GRAVITY * abs(surface - case["air_k"]) * size**3 / (film * kinematic**2)
    if height:
        free = Nu_vertical_cylinder_Popiel_Churchill(Pr=prandtl, Gr=grashof, L=height, D=diameter) * diameter / height
    else:
        free = Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=grashof)
    nusselt = free
    if case["wind_m_s"] > 0:
        wind = Nu_cylinder_Churchill_Bernstein(Re=case["wind_m_s"] * diameter / kinematic, Pr=prandtl)
        nusselt = 0.3 + ((free - 0.3) ** 3 + (wind - 0.3) ** 3) ** (1 / 3)
    return nusselt * conductivity / diameter


def conducted(case: dict, surface: float) -> float:
    """Heat into the fluid per length, W/m: the temperature of the tube's outside by a root of its own."""
    tube = case["outside_diameter_m"]
    inner = 1 / (math.pi * case["bore_m"] * case["film_w_m2_k"])
    inner += math.log(tube / case["bore_m"]) / (2 * math.pi * case["wall_w_m_k"])
    if case["thickness_m"] == 0:
        return (surface - case["fluid_k"]) / inner
    shape = 2 * math.pi / math.log(1 + 2 * case["thickness_m"] / tube)

    def conductivity(kelvin: float) -> float:
        return case["insulation_w_m_k"] * (1 + case["insulation_slope_1_k"] * (kelvin - case["insulation_reference_k"]))

    def gap(tube_surface: float) -> float:
        through = shape * quad(conductivity, tube_surface, surface, epsabs=1e-12)[0]
        return (tube_surface - case["fluid_k"]) / inner - through

    low, high = sorted((case["fluid_k"], surface))
    return (brentq(gap, low, high, xtol=1e-13, rtol=1e-15) - case["fluid_k"]) / inner


def received(case: dict, surface: float) -> float:
    diameter = case["outside_diameter_m"] + 2 * case["thickness_m"]
    flux = coefficient(case, surface) * (case["air_k"] - surface)
    flux += case["emissivity"] * STEFAN_BOLTZMANN * (case["radiant_k"] ** 4 - surface**4)
    return math.pi * diameter * flux + case["absorptance"] * case["sun_w_m2"] * diameter


def exchanges():
    draw = random.Random(SEED)
    for number in range(48):
        outside = draw.choice((6.35, 9.525, 12.7, 15.875, 22.225, 28.575, 41.275)) / 1e3
        air = draw.uniform(250, 325)
        case = {
            "outside_diameter_m": outside,
            "bore_m": outside - 2 * 0.8e-3,
            "wall_w_m_k": 339.0,
            "thickness_m": draw.choice((0.0, 0.006, 0.013, 0.019, 0.025, 0.05)),
            "insulation_w_m_k": draw.uniform(0.03, 0.045),
            "insulation_reference_k": 283.15,
            "insulation_slope_1_k": draw.choice((0.0, 0.0025, 0.004)),
            "emissivity": draw.choice((0.05, 0.4, 0.9)),
            "absorptance": draw.uniform(0.2, 0.95),
            "height_m": draw.choice((0, 0, 0.8, 3.0)),
            "fluid_k": draw.uniform(235, 385),
            "film_w_m2_k": 10 ** draw.uniform(1.5, 3.7),
            "air_k": air,
            "radiant_k": air - draw.choice((0.0, 0.0, 15.0)),
            "pressure_pa": draw.choice((101325.0, 83500.0, 70100.0)),
            "wind_m_s": draw.choice((0.0, 0.0, 0.5, 3.0, 12.0)),
            "sun_w_m2": draw.choice((0.0, 0.0, 600.0, 1000.0)),
        }
        case = {name: float(f"{value:.6g}") for name, value in case.items()}
        temperatures = (case["fluid_k"], case["air_k"], case["radiant_k"])
        surface = brentq(
            lambda kelvin: received(case, kelvin) - conducted(case, kelvin),
            min(temperatures) - 1e-6, max(temperatures) + 80, xtol=1e-12, rtol=1e-15,
        )
        yield case | {"surface_k": surface, "heat_into_fluid_w_m": conducted(case, surface)}


def write(path: Path, columns: str, rows) -> None:
    def cell(value) -> str:
        return value if isinstance(value, str) else f"{value:.12g}"

    header = [f"# source: {LIBRARIES}", "# grade: computed", "# generator: data/generate/heat_points.py", columns]
    text = "\n".join(header + [",".join(map(cell, row)) for row in rows]) + "\n"
    part = path.with_suffix(".part")
    part.write_text(text, encoding="utf-8", newline="\n")
    os.replace(part, path)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=ROOT / "tests" / "cross" / "data")
    folder = parser.parse_args().out
    write(folder / "heat_films.csv", "film,number,prandtl,slenderness,value", films())
    cases = list(exchanges())
    write(folder / "heat_exchanges.csv", ",".join(cases[0]), (case.values() for case in cases))


if __name__ == "__main__":
    main()
