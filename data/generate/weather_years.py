"""Two typical years that the library pvlib carries, by pvlib's own reader of TMY3, for `tests/published`.

Prints `tests/published/data/weather.csv`. With `--folder` it prints only the folder in which the two files lie: they are
read from there and not copied.

usage: weather_years.py [--folder]
"""

import argparse
from pathlib import Path

import pvlib
from pvlib.iotools import read_tmy3

FILES = ("703165TY.csv", "723170TYA.CSV")
# A threshold well inside both years: the sum above it takes every hour's own temperature.
ABOVE_C = 8.0


def main():
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folder", action="store_true")
    folder = Path(pvlib.__file__).parent / "data"
    if parser.parse_args().folder:
        print(folder)
        return
    print("file,name,state,altitude_m,hours,least_c,greatest_c,mean_c,distinct,january_mean_c,july_mean_c,"
          "kelvin_hours_above_8_c,source,grade")
    for name in FILES:
        data, about = read_tmy3(folder / name, coerce_year=1990, map_variables=True)
        air = data["temp_air"]
        # By position: pvlib labels the hour that ends a month with the next one.
        january, july = air.iloc[:31 * 24], air.iloc[181 * 24:212 * 24]
        assert (january.index[0].month, july.index[0].month) == (1, 7)
        figures = (air.min(), air.max(), air.mean(), january.mean(), july.mean(), (air - ABOVE_C).clip(lower=0).sum())
        least, greatest, mean, january, july, above = (f"{figure:.9g}" for figure in figures)
        name_of = about["Name"].strip('"')
        print(f"{name},{name_of},{about['State']},{about['altitude']:g},{len(air)},{least},{greatest},{mean},"
              f"{air.nunique()},{january},{july},{above},"
              f"TMY3 file of NREL carried by pvlib {pvlib.__version__}; figures by pvlib's reader,computed")


if __name__ == "__main__":
    main()
