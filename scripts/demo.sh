#!/usr/bin/env bash
# Builds firmus and measures the bundled example takes: scripts/demo.sh
# Installs with apt what is missing for the build (nothing when nothing is missing).
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/lib.sh

install_missing build
echo "Building into build/release ..."
scripts/build.sh release -DFIRMUS_TESTS=OFF >build/demo-build.log 2>&1 || { tail -n 30 build/demo-build.log >&2; exit 1; }

studio=examples/studio
results=build/demo
for melody in kite harbour mill; do
  build/release/src/firmus check "$studio"/takes/*-"$melody".flac --melody "$studio/$melody.melody" --out "$results" >/dev/null
done

cat "$results/s01-kite.txt"
echo
echo "All ten in a line each; their whole summaries are in $results/:"
for summary in "$results"/s*.txt; do
  notable=$(sed -nE '/^Recurring problems/{n;s/^ +(.*) \((all|[0-9]).*/\1/p}
    s/^Tries +([0-9]+) in .*/\1 tries/p; s/^Key +([A-G].*(higher|lower|up|down))$/\1/p; s/^Key +from .*/the key changes/p
    s/^Pitch drift +(dropped|rose) ([0-9]+ cents).*/the pitch \1 \2/p; s/^Not judged .*: ([0-9]+ not heard).*/\1/p' "$summary" | paste -sd ';' | sed 's/;/; /g')
  printf '%-12s %-23s %s\n' "$(basename "$summary" .txt)" "$(grep -oE -m 1 '^[0-9]+ of [0-9]+ notes? in tune' "$summary")" "$notable"
done
echo
echo "with pictures, in a browser: $results/s01-kite.html"
echo "now yours: build/release/src/firmus check YOUR_TAKE.wav YOUR.melody"
