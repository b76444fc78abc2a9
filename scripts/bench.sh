#!/usr/bin/env bash
# Prints accuracy and cost beside general-purpose libraries, as tables: scripts/bench.sh [PART...]
#   tones    pitch, frame by frame, on generated tones
# All parts without an argument. Slow timing fails nothing: figures are for eyes.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=scripts/lib.sh
. scripts/lib.sh

build() {  # TARGET...
  cmake --build build/release --parallel "$(nproc)" --target "$@" >build/bench-build.log 2>&1 ||
    { tail -n 30 build/bench-build.log >&2; exit 1; }
}

bench_tones() {
  build firmus_bench_tones
  build/release/tests/bench/firmus_bench_tones
}

parts=()
for word in "$@"; do
  case "$word" in
    tones) parts+=("$word") ;;
    *) echo "bench.sh: \"$word\" is no part; say tones" >&2; exit 2 ;;
  esac
done
[ ${#parts[@]} -gt 0 ] || parts=(tones)
install_missing build bench
cmake -S . -B build/release -DCMAKE_BUILD_TYPE=Release -DFIRMUS_TESTS=ON >build/configure-release.log
for part in "${parts[@]}"; do
  "bench_$part"
  echo
done
