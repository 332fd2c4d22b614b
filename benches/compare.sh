#!/usr/bin/env bash
# Times the library scripts and our benches of the same jobs in one run and prints the ratios: three lines in ten tubes, and a
# year of balances. Needs python3 with venv, and the package index once. VENV=DIR uses an environment that is there already.
set -euo pipefail
cd "$(dirname "$0")/.."

venv=${VENV:-target/reference-venv}
[ -x "$venv/bin/python" ] || python3 -m venv "$venv"
"$venv/bin/pip" install --quiet --disable-pip-version-check -r benches/reference/requirements.txt

# Build first, so that nothing compiles beside a timed script.
cargo bench --quiet -p report --bench sizing --bench year --no-run

# Median of a fluid in seconds, from divan's tree: "R-134a  fastest | slowest | median | ...", 49.1 µs.
median() {
  printf '%s\n' "$ours" | awk -v name="$1" -F'│' '
    index($0, name) { split($(NF - 3), part, " "); value = part[1]; unit = part[2] }
    END { scale["ns"] = 1e-9; scale["µs"] = 1e-6; scale["ms"] = 1e-3; scale["s"] = 1
          if (!(unit in scale)) { print "no bench of " name > "/dev/stderr"; exit 1 }
          printf "%.9f", value * scale[unit] }'
}

# compare BENCH FILTER SCRIPT
compare() {
  ours=$(cargo bench --quiet -p report --bench "$1" -- "$2" --skip bands)
  for fluid in R-134a R-404A; do
    theirs=$("$venv/bin/python" "benches/reference/$3" "${fluid/-/}" | sed 's/^best \([0-9.]*\) s.*/\1/')
    here=$(median "$fluid")
    awk -v job="$2" -v fluid="$fluid" -v theirs="$theirs" -v ours="$here" \
      'BEGIN { printf "%-24s %-8s %14.3f %14.4f %8.0f\n", job, fluid, theirs * 1e3, ours * 1e3, theirs / ours }'
  done
}

printf '%-24s %-8s %14s %14s %8s\n' job fluid 'libraries, ms' 'ours, ms' ratio
compare sizing three_lines_x_ten_tubes line_sizing_with_libraries.py
compare year year_by_temperatures year_with_library.py
