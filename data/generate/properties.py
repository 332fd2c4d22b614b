"""Makes the property grids of `data/properties`: saturation, superheated vapour, subcooled liquid and, of blends, the glide.

usage: properties.py [--table FILE] [--out FOLDER] [--components corrected|library] [REFRIGERANT ...]     (no refrigerant: all)
"""

import argparse
import os
import sys
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline

import refrigerants
from corrections import BUBBLE, DILUTE_GAS, QUANTITIES, CorrectedComponent
from equation import LIQUID, VAPOUR, Equation
from glide import Glide, TwoPhase
from transport import Component, transport_of

LOWEST_K = {"R-744": 220.15}  # its triple point is 216.6 K
LOWEST_DEFAULT_K = 218.15
BELOW_CRITICAL_K = 1.0
STEP_K, FINE_STEP_K, FINE_BELOW_CRITICAL_K = 4, 2, 25.0
GLIDE_STEP_K, GLIDE_FINE_STEP_K = 8, 4  # fine within the same distance of critical
GLIDE_TO_CRITICAL_K = 15.0  # a glide must reach this near; nearer it ends where the library does
GLIDE_LAST_K = 4.0
SUPERHEATS_K = (0, 3, 7, 12, 20, 30, 45, 70, 105)
HOT_SUPERHEAT_K = 145  # where discharge gas is hot: ammonia, R-22, and those at least half R-32
HOT = {"R-717", "R-22", "R-32", "R-410A", "R-452B", "R-454B"}
SUBCOOLINGS_K = (0, 3, 8, 15, 24, 33, 42, 51, 60)
GRID = {LIQUID: "liquid", VAPOUR: "vapour"}
END = {LIQUID: "bubble", VAPOUR: "dew"}
PHASE_COLUMNS = ("density_kg_m3", "enthalpy_j_kg", "entropy_j_kg_k", "heat_capacity_j_kg_k", "viscosity_pa_s", "conductivity_w_m_k")
SATURATION_HEADER = ["temperature_k", "bubble_pressure_pa", "dew_pressure_pa"] + [
    f"{phase}_{column}" for column in PHASE_COLUMNS for phase in ("liquid", "vapour")
] + ["surface_tension_n_m"]
GLIDE_HEADER = ["bubble_temperature_k", "enthalpy_share", "quality_minus_share", "temperature_minus_line_k"]
GLIDE_DECIMALS = (6, 6, 5)  # of the last three: what the flashes are good for
COMPONENTS = {"library": Component, "corrected": CorrectedComponent}


class Generator:
    def __init__(self, model: refrigerants.Model, mixture: refrigerants.Model, component: type[Component]):
        """`mixture`: the same refrigerant as an explicit mixture of its components, where it has several."""
        self.model = model
        self.mixture = mixture
        self.component = component
        self.equation = Equation(model)
        self.transport = transport_of(self.equation, component)
        first = LOWEST_K.get(model.name, LOWEST_DEFAULT_K)
        count = int(np.floor(self.equation.critical_k - BELOW_CRITICAL_K - first)) + 1
        self.temperatures = [round(first + i, 2) for i in range(count)]
        self.repaired = {"saturation": [], "vapour": [], "liquid": [], "glide": []}
        self.pressure = {LIQUID: self._pressures(LIQUID), VAPOUR: self._pressures(VAPOUR)}
        self.saturated = {LIQUID: self._saturated(LIQUID), VAPOUR: self._saturated(VAPOUR)}

    def _pressures(self, phase: int) -> dict[float, float]:
        t = np.array(self.temperatures)
        ln_p = np.log([self.equation.saturation_pressure(phase, x) for x in t])
        ln_p, bad = repair(1 / t, ln_p, outlier_ln_p(self.equation.critical_k - t))
        for i in bad:
            for table in ("saturation", GRID[phase]):
                self.repaired[table].append(f"{END[phase]} pressure at {number(t[i])}")
        return dict(zip(self.temperatures, np.exp(ln_p)))

    def _saturated(self, phase: int) -> dict[float, list[float]]:
        rows = []
        for t in self.temperatures:
            flash = self.equation.saturated(phase, t)
            neighbour = flash.rhomass() if flash else rows[-1][0]
            rows.append(self._phase_row(phase, t, self.pressure[phase][t], neighbour))
        self._fill_transport(rows, self.temperatures, "saturation", f"{GRID[phase]} {{quantity}} at {{temperature}}")
        return dict(zip(self.temperatures, rows))

    def _phase_row(self, phase: int, temperature: float, pressure: float, neighbour_density: float | None = None) -> list[float]:
        state = self.equation.at(phase, temperature, pressure, neighbour_density)
        rule = self.transport.liquid if phase == LIQUID else self.transport.vapour
        mu, k = rule(temperature, pressure, state.molar_density)
        return [state.density, state.enthalpy, state.entropy, state.heat_capacity, mu, k]

    def _fill_transport(self, rows: list[list[float]], temperatures: list[float], table: str, where: str) -> None:
        """Fills what the library could not give, along a column of temperatures."""
        for column, quantity in ((-2, "viscosity"), (-1, "conductivity")):
            y = np.log([row[column] for row in rows])
            y, bad = fill(np.array(temperatures), y, np.isnan(y))
            for i in bad:
                rows[i][column] = float(np.exp(y[i]))
                self.repaired[table].append(where.format(quantity=quantity, temperature=number(temperatures[i])))

    def saturation(self) -> list[list[float]]:
        t = np.array(self.temperatures)
        sigma = np.array([self.transport.surface_tension(x) for x in t])
        # sigma^(1/1.26) is nearly straight in temperature and goes to zero with it.
        straight, bad = fill(t, sigma ** (1 / 1.26), np.isnan(sigma))
        self.repaired["saturation"] += [f"surface tension at {number(t[i])}" for i in bad]
        rows = []
        for x, tension in zip(self.temperatures, straight**1.26):
            pairs = zip(self.saturated[LIQUID][x], self.saturated[VAPOUR][x])
            rows.append([x, self.pressure[LIQUID][x], self.pressure[VAPOUR][x], *(y for pair in pairs for y in pair), tension])
        return rows

    def nodes(self, step: int = STEP_K, fine_step: int = FINE_STEP_K) -> list[float]:
        """Saturation temperatures of the other tables: every one is a row of the saturation table."""
        index, chosen = 0, []
        while index < len(self.temperatures):
            chosen.append(self.temperatures[index])
            fine = self.temperatures[index] >= self.equation.critical_k - FINE_BELOW_CRITICAL_K
            index += fine_step if fine else step
        return chosen

    def glide(self) -> list[list[float]]:
        glide = Glide(Equation(self.mixture))
        # The mixture's own critical temperature ends the two-phase region that is flashed.
        critical = min(self.equation.critical_k, glide.mixture.critical_k)
        rows: list[list[float]] = []
        states: list[TwoPhase] | None = None
        for node in self.nodes(GLIDE_STEP_K, GLIDE_FINE_STEP_K):
            if node > critical - GLIDE_LAST_K:
                break
            try:
                states, solved = glide.row(node, states)
            except ValueError:
                if node < critical - GLIDE_TO_CRITICAL_K:
                    raise
                break
            if solved:
                self.repaired["glide"].append(f"molar qualities {'/'.join(map(number, solved))} at {number(node)}")
            rows += [[node, *map(round, deviation, GLIDE_DECIMALS)] for deviation in glide.deviations(states)]
        if rows[-1][0] < critical - GLIDE_TO_CRITICAL_K:
            raise ValueError(f"{self.model.name}: the glide ends at {rows[-1][0]} K")
        return rows

    def grid(self, phase: int) -> list[list[float]]:
        nodes = self.nodes()
        if phase == LIQUID:
            offsets, sign = SUBCOOLINGS_K, -1
        else:
            offsets, sign = SUPERHEATS_K + ((HOT_SUPERHEAT_K,) if self.model.name in HOT else ()), 1
        columns = [[self.saturated[phase][node] for node in nodes]]
        for offset in offsets[1:]:
            rows = [
                self._phase_row(phase, round(node + sign * offset, 2), self.pressure[phase][node], neighbour[0])
                for node, neighbour in zip(nodes, columns[-1])
            ]
            self._fill_transport(rows, nodes, GRID[phase], f"{{quantity}} at {{temperature}} with {offset}")
            columns.append(rows)
        return [[node, offset, *column[i]] for i, node in enumerate(nodes) for offset, column in zip(offsets, columns)]

    def _what(self, table: str) -> list[str]:
        if table == "glide":
            return [
                "# viscosity: none in this table",
                "# two-phase: states along the pressure of each bubble temperature; enthalpy_share is the enthalpy's share of the way from"
                " bubble to dew, quality the vapour mass fraction, the line straight from bubble to dew temperature",
            ]
        tension = [f"# surface tension: {self.transport.surface_tension_rule}"] if table == "saturation" else []
        return [
            *(f"# {quantity}: {self.transport.rule(quantity)}{self._corrections(quantity)}" for quantity in QUANTITIES),
            *tension,
            "# reference state: enthalpy 200 kJ/kg and entropy 1 kJ/(kg K) for saturated (bubble) liquid at 273.15 K",
        ]

    def _corrections(self, quantity: str) -> str:
        """What was scaled to published values for this refrigerant, in words for the file."""
        model = self.model
        names = model.components if model.is_mixture else [model.name]
        scaled = [
            f"{name} {words}"
            for name, fluid in zip(names, model.fluids)
            for state, words in ((BUBBLE, "liquid"), (DILUTE_GAS, "dilute gas"))
            if self.component.corrected(fluid, state, quantity)
        ]
        return f"; scaled to published values (transport_corrections.csv): {', '.join(scaled)}" if scaled else ""

    def comments(self, table: str) -> list[str]:
        model = self.mixture if table == "glide" else self.model
        return [
            f"# refrigerant: {self.model.name}",
            f"# source: CoolProp 8.0.0 ({model.source})",
            "# grade: computed",
            *self._what(table),
            f"# critical_temperature_k: {number(self.equation.critical_k)}",
            f"# equation_lower_limit_k: {number(self.equation.lower_limit_k)}",
            f"# equation_upper_limit_k: {number(self.equation.upper_limit_k)}",
            f"# repaired: {'; '.join(self.repaired[table]) or 'none'}",
            "# generator: data/generate/properties.py",
        ]


def outlier_ln_p(below_critical_k: np.ndarray) -> np.ndarray:
    """Leave-one-out deviation of ln p on a 1 K grid that makes a point stray: sound points show 2e-9, and up to half
    of this bound in the last 10 K, where the true curve bends."""
    return 1e-6 + 1e-2 / below_critical_k**4


def repair(x: np.ndarray, y: np.ndarray, bound: np.ndarray) -> tuple[np.ndarray, list[int]]:
    """Replaces NaN and stray values by a spline through the rest; says which."""
    bad = np.isnan(y)
    while True:
        deviation = np.zeros(len(y))
        good = np.flatnonzero(~bad)
        for place in range(2, len(good) - 2):
            around = good[[place - 2, place - 1, place + 1, place + 2]]
            if around[-1] - around[0] == 4:
                deviation[good[place]] = abs(y[good[place]] - CubicSpline(x[around[::-1]], y[around[::-1]])(x[good[place]]))
        worst = int(np.argmax(deviation / bound))
        if deviation[worst] < bound[worst]:
            return fill(x, y, bad)
        bad[worst] = True


def fill(x: np.ndarray, y: np.ndarray, bad: np.ndarray) -> tuple[np.ndarray, list[int]]:
    if bad[0] or bad[-1]:
        raise ValueError("the first or last row of a saturation table is bad: a spline would extrapolate")
    order = np.argsort(x[~bad])
    curve = CubicSpline(x[~bad][order], y[~bad][order])
    return np.where(bad, curve(x), y), [int(i) for i in np.flatnonzero(bad)]


def number(value: float) -> str:
    return f"{value:.8g}"


def write(path: Path, comments: list[str], header: list[str], rows: list[list[float]]) -> None:
    text = "\n".join([*comments, ",".join(header), *(",".join(map(number, row)) for row in rows)]) + "\n"
    path.parent.mkdir(parents=True, exist_ok=True)
    part = path.with_suffix(".part")
    part.write_text(text, encoding="utf-8", newline="\n")
    os.replace(part, path)


def generate(model: refrigerants.Model, mixture: refrigerants.Model, component: type[Component], out: Path) -> str:
    made = Generator(model, mixture, component)
    tables = {
        "saturation": (SATURATION_HEADER, made.saturation()),
        "vapour": (["dew_temperature_k", "superheat_k", *PHASE_COLUMNS], made.grid(VAPOUR)),
        "liquid": (["bubble_temperature_k", "subcooling_k", *PHASE_COLUMNS], made.grid(LIQUID)),
    }
    if mixture.is_mixture:
        tables["glide"] = (GLIDE_HEADER, made.glide())
    for table, (header, rows) in tables.items():
        write(out / model.name / f"{table}.csv", made.comments(table), header, rows)
    return f"{model.name}: {', '.join(f'{len(rows)} {table}' for table, (_, rows) in tables.items())} rows; repaired {made.repaired}"


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--out", type=Path, default=refrigerants.ROOT / "data" / "properties")
    parser.add_argument("--components", choices=list(COMPONENTS), default="corrected")
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT")
    arguments = parser.parse_args()
    models, mixtures = refrigerants.read(arguments.table), refrigerants.read(arguments.table, explicit=True)
    names = refrigerants.chosen(arguments.refrigerants, models, arguments.table)
    for name in names:
        print(generate(models[name], mixtures[name], COMPONENTS[arguments.components], arguments.out), file=sys.stderr, flush=True)


if __name__ == "__main__":
    main()
