#!/usr/bin/env bash
# What is checked before a release and takes longer than CI may: scripts/release.sh
# Everything that CI runs, then the mutations (scripts/mutate.sh).
set -euo pipefail
cd "$(dirname "$0")/.."
scripts/test.sh --all
scripts/mutate.sh
