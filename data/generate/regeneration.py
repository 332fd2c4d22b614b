"""Makes property grids afresh in a temporary folder and compares them with the committed ones.

Another processor or mathematical library may turn the last printed digit; more than one unit of it is a failure.

usage: regeneration.py [REFRIGERANT ...]     (no refrigerant: all)
"""

import argparse
import math
import sys
import tempfile
from pathlib import Path

import properties
import refrigerants

SIGNIFICANT_DIGITS = 8  # of `properties.number`
# Columns printed to a fixed number of decimals.
DECIMALS = dict(zip(properties.GLIDE_HEADER[1:], properties.GLIDE_DECIMALS))
ALLOWED_UNITS = 1.0


def units_apart(column: str, committed: float, made: float) -> float:
    """Difference in units of the last printed digit."""
    size = max(abs(committed), abs(made))
    if size == 0:
        return 0.0
    unit = 10.0 ** (math.floor(math.log10(size)) + 1 - SIGNIFICANT_DIGITS)
    if column in DECIMALS:
        unit = max(unit, 10.0 ** -DECIMALS[column])
    return abs(committed - made) / unit


def differences(committed: str, made: str) -> list[tuple[float, str]]:
    """Units apart and where, of every number that differs; infinity for what is no number."""
    old, new = committed.splitlines(), made.splitlines()
    if len(old) != len(new):
        return [(math.inf, f"{len(old)} lines committed, {len(new)} made")]
    found, header = [], None
    for number, (line, other) in enumerate(zip(old, new), start=1):
        if line.startswith("#"):
            key, value = line[1:].split(":", 1)
            other_key, _, other_value = other[1:].partition(":")
            columns, cells, others = [key, key], [key, value], [other_key, other_value]
        elif header is None:
            header = line.split(",")
            columns, cells, others = header, header, other.split(",")
        else:
            columns, cells, others = header, line.split(","), other.split(",")
        if len(cells) != len(others):
            return [(math.inf, f"line {number}")]
        for column, cell, other_cell in zip(columns, cells, others):
            if cell != other_cell:
                try:
                    apart = units_apart(column, float(cell), float(other_cell))
                except ValueError:
                    apart = math.inf
                found.append((apart, f"line {number}, {column.strip()}: {cell.strip()} committed, {other_cell.strip()} made"))
    return found


def compare(committed: Path, made: Path, name: str) -> bool:
    """Says how the files of one refrigerant compare; whether they agree."""
    tables = [{path.name for path in (folder / name).glob("*.csv")} for folder in (committed, made)]
    agree = True
    for table in sorted(tables[0] | tables[1]):
        where = f"{name}/{table}"
        if not all(table in each for each in tables):
            print(f"{where}: {'not committed' if table in tables[1] else 'not made'}")
            agree = False
            continue
        old, new = ((folder / name / table).read_bytes() for folder in (committed, made))
        if old == new:
            print(f"{where}: identical bytes")
            continue
        found = differences(old.decode("utf-8"), new.decode("utf-8"))
        if not found:
            found = [(math.inf, "line ends differ")]
        worst, place = max(found)
        verdict = "within one unit of the last digit" if worst <= ALLOWED_UNITS * (1 + 1e-6) else "FAILS"
        agree &= verdict != "FAILS"
        print(f"{where}: {len(found)} numbers differ, by at most {worst:.3g} units of the last digit ({place}): {verdict}")
    return agree


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--table", type=Path, default=refrigerants.TABLE)
    parser.add_argument("--committed", type=Path, default=refrigerants.ROOT / "data" / "properties")
    parser.add_argument("refrigerants", nargs="*", metavar="REFRIGERANT")
    arguments = parser.parse_args()
    models, mixtures = refrigerants.read(arguments.table), refrigerants.read(arguments.table, explicit=True)
    names = refrigerants.chosen(arguments.refrigerants, models, arguments.table)
    with tempfile.TemporaryDirectory() as folder:
        agree = True
        for name in names:
            properties.generate(models[name], mixtures[name], properties.CorrectedComponent, Path(folder))
            agree &= compare(arguments.committed, Path(folder), name)
    sys.exit(0 if agree else 1)


if __name__ == "__main__":
    main()
