"""Reference values for `tests/cross`: two risers in parallel, and changes of bore, by the library fluids and scipy.

`double_risers.csv`: split of a mass rate between two risers of equal drops, by `fluids.friction_factor` (Colebrook in
Clamond's solution) and a bracketed root of scipy; the changeover likewise. The library is laminar below a Reynolds number of
2040, the engine joins laminar and turbulent between 2300 and 4000: draws with any riser below 4500 are drawn again.
`reducers.csv`: sudden enlargement (`diffuser_sharp`, method Rennels, which is Borda-Carnot there) and contraction
(`contraction_sharp`, method Crane; its default, Rennels, is another correlation), both referred to the smaller bore, and
`change_K_basis` for the larger one; `Kv_to_K` for flow coefficients, whose definition in the library takes the density of
water at 15 °C and constants rounded to about 4 digits.

usage: parallel_riser_points.py [--out FOLDER]
"""

import argparse
import os
import random
from math import pi, sqrt
from pathlib import Path

from fluids import friction_factor
from fluids.fittings import change_K_basis, contraction_sharp, diffuser_sharp, Kv_to_K
from scipy.optimize import brentq

OUT = Path(__file__).resolve().parents[2] / "tests" / "cross" / "data"
SEED = 52817
RISERS, REDUCERS = 20, 12
GRAVITY = 9.80665
ROUGHNESS_M = 1.5e-6
LEAST_REYNOLDS = 4500.0
SOURCE = "fluids 1.3.1 and scipy 1.17.1,computed"


def friction(rate: float, bore: float, k: float, draw: dict) -> float:
    velocity = rate / (pi / 4 * bore**2 * draw["gas_kg_m3"])
    factor = friction_factor(Re=reynolds(rate, bore, draw), eD=ROUGHNESS_M / bore)
    return (factor * draw["length_m"] / bore + k) * draw["gas_kg_m3"] * velocity**2 / 2


def reynolds(rate: float, bore: float, draw: dict) -> float:
    return 4 * rate / (pi * bore * draw["gas_pa_s"])


def least_that_carries(bore: float, draw: dict) -> float:
    gas, oil = draw["gas_kg_m3"], draw["oil_kg_m3"]
    return 0.7225 * pi / 4 * bore**2 * sqrt(gas * GRAVITY * bore * (oil - gas))


def answers(draw: dict):
    """Small riser's rate, common drop with height, changeover, small riser's drop alone, oil column; None to draw again."""
    total, least = draw["full_kg_s"], draw["least_kg_s"]
    small, large = (draw["small_m"], draw["small_k"]), (draw["large_m"], draw["large_k"])
    if reynolds(least, draw["small_m"], draw) < LEAST_REYNOLDS:
        return None
    unequal = lambda rate: friction(rate, *small, draw) - friction(total - rate, *large, draw)
    rate = brentq(unequal, total * 1e-9, total * (1 - 1e-9), xtol=1e-16, rtol=1e-14)
    carried = least_that_carries(draw["large_m"], draw)
    target = friction(carried, *large, draw)
    beside = brentq(lambda at: friction(at, *small, draw) - target, 1e-9, 10.0, xtol=1e-16, rtol=1e-14)
    numbers = [(rate, small), (total - rate, large), (carried, large), (beside, small)]
    if min(reynolds(at, riser[0], draw) for at, riser in numbers) < LEAST_REYNOLDS:
        return None
    height = draw["gas_kg_m3"] * GRAVITY * draw["height_m"]
    alone = friction(least, *small, draw)
    column = alone / ((draw["oil_kg_m3"] - draw["gas_kg_m3"]) * GRAVITY)
    return [rate, friction(rate, *small, draw) + height, carried + beside, alone + height, column]


def drawn(random_: random.Random) -> list[float]:
    while True:
        draw = {
            "gas_kg_m3": random_.uniform(4.0, 90.0),
            "gas_pa_s": random_.uniform(9e-6, 17e-6),
            "oil_kg_m3": random_.uniform(850.0, 1000.0),
            "height_m": random_.uniform(2.0, 15.0),
            "small_m": random_.uniform(0.009, 0.03),
            "small_k": random_.uniform(0.0, 5.0),
            "large_k": random_.uniform(0.0, 8.0),
        }
        draw["length_m"] = draw["height_m"] * random_.uniform(1.0, 1.5)
        draw["large_m"] = draw["small_m"] * random_.uniform(1.0, 2.5)
        draw["least_kg_s"] = least_that_carries(draw["small_m"], draw) * random_.uniform(1.0, 1.8)
        draw["full_kg_s"] = draw["least_kg_s"] * random_.uniform(1.0, 8.0)
        draw = {key: float(f"{value:.6g}") for key, value in draw.items()}
        found = answers(draw)
        if found is not None:
            return [draw[column] for column in COLUMNS] + found


COLUMNS = (
    "gas_kg_m3", "gas_pa_s", "oil_kg_m3", "height_m", "length_m", "small_m", "small_k", "large_m", "large_k",
    "full_kg_s", "least_kg_s",
)  # fmt: skip


def double_riser_rows(random_: random.Random) -> list[str]:
    rows = [",".join(COLUMNS) + ",small_kg_s,drop_pa,changeover_kg_s,alone_pa,oil_column_m,source,grade"]
    return rows + [line(drawn(random_)) for _ in range(RISERS)]


def reducer_rows(random_: random.Random) -> list[str]:
    rows = ["small_m,large_m,kv_m3_h,enlargement,contraction,enlargement_of_large,contraction_of_large,kv_small,source,grade"]
    for _ in range(REDUCERS):
        small = float(f"{random_.uniform(0.004, 0.05):.6g}")
        large = float(f"{small * random_.uniform(1.05, 4.0):.6g}")
        kv = float(f"{random_.uniform(0.2, 40.0):.6g}")
        wider = diffuser_sharp(Di1=small, Di2=large, method="Rennels")
        narrower = contraction_sharp(Di1=large, Di2=small, method="Crane")
        of_large = [change_K_basis(K1=k, D1=small, D2=large) for k in (wider, narrower)]
        rows.append(line([small, large, kv, wider, narrower, *of_large, Kv_to_K(kv, small)]))
    return rows


def line(cells: list[float]) -> str:
    return ",".join(f"{cell:.12g}" for cell in cells) + f",{SOURCE}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--out", type=Path, default=OUT)
    out, random_ = parser.parse_args().out, random.Random(SEED)
    for name, rows in (("double_risers", double_riser_rows(random_)), ("reducers", reducer_rows(random_))):
        part = out / f"{name}.part"
        part.write_text("\n".join(rows) + "\n", encoding="utf-8", newline="\n")
        os.replace(part, out / f"{name}.csv")


if __name__ == "__main__":
    main()
