#!/usr/bin/env bash
# Times a year of balances by the library script and by our bench in one run and prints the ratio. Needs python3 with venv,
# and the package index once. VENV=DIR uses an environment that is there already.
set -euo pipefail
cd "$(dirname "$0")/.."

venv=${VENV:-target/reference-venv}
if ! [ -x "$venv/bin/python" ]; then
  python3 -m venv "$venv"
  "$venv/bin/pip" install --quiet --disable-pip-version-check -r benches/reference/requirements.txt
fi

# Build first, so that nothing compiles beside the timed script.
cargo bench --quiet -p report --bench year --no-run
ours=$(cargo bench --quiet -p report --bench year -- year_by_temperatures)

# Median of our bench in seconds. divan prints `98.7 ms`.
median() {
  printf '%s\n' "$ours" | awk -v name="$1" -F'│' '
    index($0, name) { split($(NF - 3), part, " "); value = part[1]; unit = part[2] }
    END { scale["µs"] = 1e-6; scale["ms"] = 1e-3; scale["s"] = 1
          if (!(unit in scale)) { print "no bench of " name > "/dev/stderr"; exit 1 }
          printf "%.9f", value * scale[unit] }'
}

printf '%-8s %14s %14s %8s\n' fluid 'libraries, ms' 'ours, ms' ratio
for fluid in R-134a R-404A; do
  theirs=$("$venv/bin/python" benches/reference/year_with_library.py "${fluid/-/}" | sed 's/^best \([0-9.]*\) s.*/\1/')
  here=$(median "$fluid")
  awk -v fluid="$fluid" -v theirs="$theirs" -v ours="$here" \
    'BEGIN { printf "%-8s %14.1f %14.1f %8.0f\n", fluid, theirs * 1e3, ours * 1e3, theirs / ours }'
done
