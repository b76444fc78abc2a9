#!/usr/bin/env bash
# Builds firmus-truth and prints how well firmus does on takes whose truth is exact, by condition:
#   scripts/truth.sh [--seeds N] [--only WORD...] [--wrong] [--to DIR [--make-only]]
# One seed takes about three minutes of one core. Without ffmpeg or fluidsynth with its small sound font the rows that
# need them say so.
set -euo pipefail
cd "$(dirname "$0")/.."
mkdir -p build
cmake -S . -B build/release -DCMAKE_BUILD_TYPE=Release -DFIRMUS_TESTS=ON >build/configure-truth.log
cmake --build build/release --target firmus-truth --parallel "$(nproc)" >build/build-truth.log 2>&1 || { tail -n 30 build/build-truth.log >&2; exit 1; }
exec build/release/tests/bench/truth/firmus-truth "$@"
