#!/usr/bin/env bash
# Times look-ups of properties by the library and by our bench in one run and prints both and the ratios, then our
# start-up. Needs python3 with venv, and the package index once. VENV=DIR uses an environment that is there already.
set -euo pipefail
cd "$(dirname "$0")/.."

venv=${VENV:-target/reference-venv}
if ! [ -x "$venv/bin/python" ]; then
  python3 -m venv "$venv"
  "$venv/bin/pip" install --quiet --disable-pip-version-check -r benches/reference/requirements.txt
fi

# Build first, so that nothing compiles beside the timed script.
cargo bench --quiet -p report --bench properties --no-run
ours=$(cargo bench --quiet -p report --bench properties)

# Lines "ours BENCH FLUID NANOSECONDS" from the medians of divan's tree; a bench of no fluid has the fluid "-".
medians() {
  printf '%s\n' "$ours" | awk -F'│' '
    BEGIN { scale["ns"] = 1; scale["µs"] = 1e3; scale["ms"] = 1e6; scale["s"] = 1e9 }
    NF >= 4 {
      match($0, /[A-Za-z_]/); split(substr($0, RSTART), word, " "); split($(NF - 3), part, " ")
      if (word[1] ~ /^R-/) { under = bench; fluid = word[1] } else { bench = under = word[1]; fluid = "-" }
      if (part[2] in scale) print "ours", under, fluid, part[1] * scale[part[2]]
    }'
}

theirs() {
  for fluid in R-134a R-410A R-448A; do
    "$venv/bin/python" benches/reference/properties_with_library.py "$fluid" | while read -r backend bench time works; do
      echo "$backend $bench $fluid $time $works"
    done
  done
}

{ medians; theirs; } | awk '
  $1 == "ours" { ours[$2, $3] = $4; next }
  {
    if (!header++) printf "%-36s %-8s %-8s %12s %10s %8s %7s\n", "look-up", "fluid", "library", "library, ns", "ours, ns", "ratio", "states"
    ratio = $4 == "-" ? "-" : sprintf("%.0f", $4 / ours[$2, $3])
    printf "%-36s %-8s %-8s %12s %10.0f %8s %7s\n", $2, $3, $1, $4, ours[$2, $3], ratio, $5
  }
  END {
    printf "\n"
    for (key in ours) {
      split(key, part, SUBSEP)
      if (part[1] ~ /^(parse|open)_/) printf "%-36s %-8s %10.3f ms\n", part[1], part[2], ours[key] / 1e6
    }
  }'
