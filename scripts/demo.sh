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
echo "The other example takes, one line each (the whole summaries are in $results/):"
for summary in "$results"/s*.txt; do
  printf '%-14s %s\n' "$(basename "$summary" .txt)" "$(grep -m 1 'notes in tune' "$summary")"
done
echo
echo "now yours: build/release/src/firmus check YOUR_TAKE.wav --melody YOUR.melody"
