"""Reads the refrigerant table and says how CoolProp models each refrigerant."""

import csv
import re
import sys
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "data" / "refrigerants" / "refrigerants.csv"

# CoolProp carries a pseudo-pure equation, with transport fitted to the blend itself, for these four.
PSEUDO_PURE = {"R-404A", "R-407C", "R-410A", "R-507A"}

# CoolProp's own names where they differ from the refrigerant number.
COOLPROP_NAME = {
    "R-152a": "R152A",
    "R-227ea": "R227EA",
    "R-290": "n-Propane",
    "R-600a": "IsoButane",
    "R-717": "Ammonia",
    "R-744": "CarbonDioxide",
    "R-1270": "Propylene",
}


@dataclass(frozen=True)
class Model:
    """One refrigerant as CoolProp sees it: component fluids and their mole fractions."""

    name: str  # trade name, `R-449A`
    fluids: tuple[str, ...]
    mole_fractions: tuple[float, ...]
    mass_fractions: tuple[float, ...]
    components: tuple[str, ...]  # trade names

    @property
    def is_mixture(self) -> bool:
        return len(self.fluids) > 1

    @property
    def source(self) -> str:
        if self.is_mixture:
            return f"HEOS, mixture of {'&'.join(self.fluids)}"
        kind = "pseudo-pure" if self.name in PSEUDO_PURE else "pure"
        return f"HEOS, {kind} {self.fluids[0]}"


def trade_name(text: str) -> str:
    """`R449A`, `R 449A` and `R-449A` all become `R-449A`."""
    return re.sub(r"^R[- ]?(?=\d)", "R-", text.strip())


def coolprop_name(trade: str) -> str:
    return COOLPROP_NAME.get(trade, trade.replace("-", "", 1))


def read(table: Path, explicit: bool = False) -> dict[str, Model]:
    """All refrigerants of the table, by trade name, in the table's order; `explicit`: pseudo-pure ones as mixtures."""
    with open(table, newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    return {model.name: model for model in (_model(row, explicit) for row in rows)}


def chosen(asked: list[str], models: dict[str, Model], table: Path) -> list[str]:
    """The names of a command line, or all; ends the program at a name that is not there."""
    names = [trade_name(name) for name in asked] or list(models)
    unknown = [name for name in names if name not in models]
    if unknown:
        sys.exit(f"{table} has no {', '.join(unknown)}; it has {', '.join(models)}")
    return names


def _model(row: dict[str, str], explicit: bool) -> Model:
    name = trade_name(row["refrigerant"])
    components = tuple(trade_name(part) for part in row["components"].split("/"))
    if len(components) == 1 or (name in PSEUDO_PURE and not explicit):
        return Model(name, (coolprop_name(name),), (1.0,), (1.0,), components)
    mole = [float(part) for part in row["mole_fractions"].split("/")]
    mass = [float(part) for part in row["mass_pct"].split("/")]
    return Model(
        name,
        tuple(map(coolprop_name, components)),
        tuple(part / sum(mole) for part in mole),
        tuple(part / sum(mass) for part in mass),
        components,
    )
