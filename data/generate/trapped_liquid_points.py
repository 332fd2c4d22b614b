"""Trapped liquid and speed of sound straight from CoolProp, for `tests/cross`: no code of the property grids is used.

`trapped_liquid.csv`: liquid heated in a full section, by CoolProp's own (density, temperature) update, which no pressure
of the grids limits. A rigid tube keeps the density; a copper tube grows with heat and pressure by the constants below, and
the pressure is found at which density times volume is what it was. `speed_of_sound.csv`: CoolProp's own.

usage: trapped_liquid_points.py [--table FILE] [--out FOLDER]
"""

import argparse
import os
from pathlib import Path

import CoolProp
from CoolProp import AbstractState, DmassT_INPUTS, PQ_INPUTS, PT_INPUTS, QT_INPUTS
from scipy.optimize import brentq

import refrigerants

NAMES = ("R-134a", "R-404A", "R-449A", "R-744")
# Bubble temperature and subcooling of the liquid shut in, degC and K.
STARTS = {"R-744": ((-20.0, 0.0), (0.0, 0.0), (0.0, 10.0), (15.0, 5.0))}
STARTS_DEFAULT = ((-10.0, 0.0), (20.0, 0.0), (40.0, 0.0), (40.0, 10.0))
# Absolute pressures to be reached, bar.
LIMITS_BAR = {"R-744": (90.0, 120.0)}
LIMITS_DEFAULT_BAR = (25.0, 40.0, 60.0)
# From the bubble temperature on, K: the warming that a void is to protect from.
PROTECTED_K, PROTECTED_R744_K = 30.0, 10.0
# 1/2 in OD coil, mm, and copper; the check builds its section from these columns.
OUTSIDE_MM, WALL_MM = 12.7, 0.8128
EXPANSION_PER_K, MODULUS_PA, POISSON = 16.8e-6, 117e9, 0.34
# Saturation temperature and superheat of the vapour, subcooling of the liquid, degC and K.
SOUND_SATURATION = {"R-744": (-25.0, -10.0, 10.0)}
SOUND_SATURATION_DEFAULT = (-20.0, 10.0, 45.0)
SOUND_DISTANCES = {"bubble": (0.0,), "liquid": (5.0, 30.0), "dew": (0.0,), "vapour": (10.0, 40.0)}


def states(model: refrigerants.Model):
    def open_state(phase=None) -> AbstractState:
        state = AbstractState("HEOS", "&".join(model.fluids))
        if model.is_mixture:
            state.set_mole_fractions(list(model.mole_fractions))
        if phase is not None:
            state.specify_phase(phase)
        return state

    return open_state(), open_state(CoolProp.iphase_liquid), open_state(CoolProp.iphase_gas)


def volume_growth_per_pa() -> float:
    """Strains at the bore by Lamé's stresses for 1 Pa inside, ends closed: twice the hoop strain plus the axial one."""
    outer, inner = (OUTSIDE_MM / 2) ** 2, (OUTSIDE_MM / 2 - WALL_MM) ** 2
    hoop, axial, radial = (outer + inner) / (outer - inner), inner / (outer - inner), -1.0
    hoop_strain = (hoop - POISSON * (axial + radial)) / MODULUS_PA
    axial_strain = (axial - POISSON * (hoop + radial)) / MODULUS_PA
    return 2 * hoop_strain + axial_strain


def warming(liquid: AbstractState, start_pa: float, start_k: float, limit_pa: float, copper: bool) -> float:
    liquid.update(PT_INPUTS, start_pa, start_k)
    density = liquid.rhomass()

    def short_of_limit(by_k: float) -> float:
        growth = 1.0
        if copper:
            growth = (1 + EXPANSION_PER_K * by_k) ** 3 * (1 + volume_growth_per_pa() * (limit_pa - start_pa))
        liquid.update(DmassT_INPUTS, density / growth, start_k + by_k)
        return liquid.p() - limit_pa

    return brentq(short_of_limit, 0.0, 60.0, xtol=1e-9)


def void(model: refrigerants.Model, bubble_c: float, by_k: float, copper: bool) -> float:
    """Share of the section that must be vapour at the bubble temperature, the mass staying: pressures by plain flashes."""
    flash, liquid, gas = states(model)

    def saturated(at_k: float) -> tuple[float, float]:
        flash.update(QT_INPUTS, 0, at_k)
        liquid.update(PT_INPUTS, flash.p(), at_k)
        return flash.p(), liquid.rhomass()

    (cold_pa, cold), (warm_pa, warm) = saturated(bubble_c + 273.15), saturated(bubble_c + by_k + 273.15)
    flash.update(PQ_INPUTS, cold_pa, 1)
    gas.update(PT_INPUTS, cold_pa, flash.T())
    growth = (1 + EXPANSION_PER_K * by_k) ** 3 * (1 + volume_growth_per_pa() * (warm_pa - cold_pa)) if copper else 1.0
    return brentq(lambda share: (1 - share) * cold + share * gas.rhomass() - warm * growth, 0.0, 1.0, xtol=1e-12)


def trapped_rows() -> list[str]:
    rows = [
        "refrigerant,bubble_c,subcooling_k,pressure_pa,outside_mm,wall_mm,expansion_per_k,modulus_pa,poisson,"
        "rise_rigid_pa_k,limit_pa,warming_rigid_k,warming_copper_k,protected_k,void_rigid,void_copper,source,grade"
    ]
    for model in models():
        flash, liquid, _ = states(model)
        for bubble_c, subcooling_k in STARTS.get(model.name, STARTS_DEFAULT):
            flash.update(QT_INPUTS, 0, bubble_c + 273.15)
            start_pa, start_k = flash.p(), bubble_c + 273.15 - subcooling_k
            liquid.update(PT_INPUTS, start_pa, start_k)
            rise = liquid.first_partial_deriv(CoolProp.iP, CoolProp.iT, CoolProp.iDmass)
            for limit_bar in LIMITS_BAR.get(model.name, LIMITS_DEFAULT_BAR):
                found = [warming(liquid, start_pa, start_k, limit_bar * 1e5, copper) for copper in (False, True)]
                cells = [bubble_c, subcooling_k, start_pa, OUTSIDE_MM, WALL_MM, EXPANSION_PER_K, MODULUS_PA, POISSON]
                cells += [rise, limit_bar * 1e5, *found]
                protected_k = PROTECTED_R744_K if model.name == "R-744" else PROTECTED_K
                cells += [protected_k, *(void(model, bubble_c, protected_k, copper) for copper in (False, True))]
                rows.append(line(model, cells, "heated at constant mass in the section"))
    return rows


def sound_rows() -> list[str]:
    rows = ["refrigerant,region,saturation_c,distance_k,pressure_pa,sound_m_s,source,grade"]
    for model in models():
        flash, liquid, gas = states(model)
        for at_c in SOUND_SATURATION.get(model.name, SOUND_SATURATION_DEFAULT):
            for region, distances in SOUND_DISTANCES.items():
                is_liquid = region in ("bubble", "liquid")
                flash.update(QT_INPUTS, 0 if is_liquid else 1, at_c + 273.15)
                for distance_k in distances:
                    state, at_k = (liquid, -distance_k) if is_liquid else (gas, distance_k)
                    state.update(PT_INPUTS, flash.p(), at_c + 273.15 + at_k)
                    rows.append(line(model, [region, at_c, distance_k, flash.p(), state.speed_sound()], "speed_sound"))
    return rows


def models() -> list[refrigerants.Model]:
    known = refrigerants.read(arguments().table)
    return [known[name] for name in NAMES]


def line(model: refrigerants.Model, cells: list, how: str) -> str:
    text = ",".join(cell if isinstance(cell, str) else f"{cell:.9g}" for cell in cells)
    source = f"CoolProp 8.0.0 ({model.source}); {how}".replace(",", ";")
    return f"{model.name},{text},{source},computed"


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--out", type=Path, default=refrigerants.ROOT / "tests" / "cross" / "data")
    return parser.parse_args()


def main() -> None:
    for name, rows in (("trapped_liquid", trapped_rows()), ("speed_of_sound", sound_rows())):
        part = arguments().out / f"{name}.part"
        part.write_text("\n".join(rows) + "\n", encoding="utf-8", newline="\n")
        os.replace(part, arguments().out / f"{name}.csv")


if __name__ == "__main__":
    main()
