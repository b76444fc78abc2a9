#!/usr/bin/env bash
# What is checked before a release and takes longer than CI may: scripts/release.sh
# Everything that CI runs, then the mutations (scripts/mutate.sh), then runs that are killed at any moment: 200 times by
# each signal, for each command.
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/test.sh --all
scripts/mutate.sh
python3 -B tests/cli/kill_runs.py build/release/src/firmus 200
