"""Reference points for `tests/cross/two_phase_models.csv`: random two-phase flows answered by the library fluids.

Refrigerant-like properties between -30 and 60 °C, bores of 4 to 50 mm; the first rows of each block of ten take the
qualities 0, 1, 1e-6 and 1 - 1e-6. The library's friction factor is Colebrook (Clamond's solution) above a Reynolds number
of 2040 and 64/Re below; the engine joins the two between 2300 and 4000, so that flows with either phase alone between 2040
and 4000 are drawn again: they would compare friction factors, not two-phase laws. An empty cell is one that the library can
not answer (it divides by zero).

usage: two_phase_flow_points.py [--out FILE]
"""

import argparse
import os
import random
from math import pi
from pathlib import Path

from fluids.fittings import Darby3K
from fluids.two_phase import (
    Friedel,
    Muller_Steinhagen_Heck,
    two_phase_dP_acceleration,
    two_phase_dP_dz_gravitational,
)
from fluids.two_phase_voidage import McAdams, Rouhani_1, Steiner, Zivi, homogeneous

OUT = Path(__file__).resolve().parents[2] / "tests" / "cross" / "two_phase_models.csv"
SEED = 30911
POINTS = 300
ROUGHNESS_M = 1.5e-6
GRAVITY = 9.80665
END_QUALITIES = (0.0, 1.0, 1e-6, 1.0 - 1e-6)
ELBOW = {"K1": 800.0, "Ki": 0.14, "Kd": 4.0}
COLUMNS = (
    "flux_kg_m2_s,quality,bore_m,liquid_kg_m3,vapour_kg_m3,liquid_pa_s,vapour_pa_s,tension_n_m,"
    "friedel_pa_m,mueller_steinhagen_heck_pa_m,steiner,rouhani_axelsson,homogeneous,zivi,"
    "static_pa_m,momentum_pa,elbow_pa"
)


def draw(random_: random.Random, index: int) -> dict:
    while True:
        point = {
            "G": 10 ** random_.uniform(1.5, 3.2),
            "x": END_QUALITIES[index % 10] if index % 10 < len(END_QUALITIES) else random_.uniform(0.0, 1.0),
            "D": 10 ** random_.uniform(-2.39, -1.31),
            "rhol": random_.uniform(700.0, 1400.0),
            "rhog": 10 ** random_.uniform(0.3, 2.2),
            "mul": 10 ** random_.uniform(-4.22, -3.4),
            "mug": random_.uniform(9e-6, 16e-6),
            "sigma": 10 ** random_.uniform(-3.0, -1.7),
        }
        point = {name: float(f"{value:.9g}") for name, value in point.items()}
        if not any(2040.0 <= point["G"] * point["D"] / point[mu] <= 4000.0 for mu in ("mul", "mug")):
            return point


def answers(p: dict) -> list:
    x, m = p["x"], p["G"] * pi * p["D"] ** 2 / 4.0
    friction = {name: p[name] for name in ("x", "rhol", "rhog", "mul", "mug", "D")} | {"m": m, "roughness": ROUGHNESS_M}
    slip = {"x": x, "rhol": p["rhol"], "rhog": p["rhog"]}
    drift = slip | {"sigma": p["sigma"], "m": m, "D": p["D"], "g": GRAVITY}
    steiner = Steiner(**drift)
    # The library gives a difference of momentum fluxes. Its inlet here is no flow: quality 1 at void fraction 0.5 is a known
    # number, G^2/(0.5 rho_g), that keeps its formula from 0/0 and is added back.
    momentum = ""
    if 1e-3 < x < 1.0 - 1e-3:
        at = {"rho_li": p["rhol"], "rho_gi": p["rhog"], "rho_lo": p["rhol"], "rho_go": p["rhog"]}
        gained = two_phase_dP_acceleration(m=m, D=p["D"], xi=1.0, xo=x, alpha_i=0.5, alpha_o=steiner, **at)
        momentum = gained + p["G"] ** 2 / (p["rhog"] * 0.5)
    reynolds = p["G"] * p["D"] / McAdams(x, p["mul"], p["mug"])
    volume = x / p["rhog"] + (1.0 - x) / p["rhol"]
    return [
        Friedel(sigma=p["sigma"], **friction),
        Muller_Steinhagen_Heck(**friction),
        steiner,
        Rouhani_1(**drift),
        homogeneous(**slip),
        Zivi(**slip) if x > 0.0 else "",
        two_phase_dP_dz_gravitational(angle=90.0, alpha=steiner, rhol=p["rhol"], rhog=p["rhog"], g=GRAVITY),
        momentum,
        Darby3K(NPS=p["D"] / 0.0254, Re=reynolds, **ELBOW) * p["G"] ** 2 * volume / 2.0,
    ]


def text() -> str:
    random_ = random.Random(SEED)
    lines = [
        "# source: fluids 1.3.1 (two_phase.py, two_phase_voidage.py, fittings.py) on Python 3.11",
        "# roughness: 1.5e-6 m; elbow: Darby 3-K with K1 800, Ki 0.14, Kd 4, homogeneous density and McAdams viscosity",
        "# static_pa_m: rising vertical tube, void fraction by Steiner; momentum_pa: momentum flux, void fraction by Steiner",
        "# left out: flows with either phase alone between Re 2040 and 4000, where the single-phase friction factors differ",
        "# grade: computed",
        f"# seed: {SEED}",
        "# generator: data/generate/two_phase_flow_points.py",
        COLUMNS,
    ]

    def cell(value) -> str:
        return value if isinstance(value, str) else f"{value:.12g}"

    for index in range(POINTS):
        point = draw(random_, index)
        lines.append(",".join(map(cell, list(point.values()) + answers(point))))
    return "\n".join(lines) + "\n"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=OUT)
    out = parser.parse_args().out
    part = out.with_suffix(".part")
    part.write_text(text(), encoding="utf-8", newline="\n")
    os.replace(part, out)


if __name__ == "__main__":
    main()
