#!/usr/bin/env bash
# Builds firmus and measures the bundled example takes: scripts/demo.sh
# Installs with apt what is missing for the build (nothing when nothing is missing).
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/lib.sh

install_missing build
echo "Building into build/release ..."
scripts/build.sh release -DFIRMUS_TESTS=OFF >build/demo-build.log 2>&1 || { tail -n 30 build/demo-build.log >&2; exit 1; }
echo "TODO"
