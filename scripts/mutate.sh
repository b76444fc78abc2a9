#!/usr/bin/env bash
# Breaks the code on purpose, one mistake at a time, and lists which tests notice: scripts/mutate.sh [--list] [--check] [--table] [NAME...]
# The mistakes stand in tests/mutations/mutations.txt. NAME: a mutation or the beginning of names ("decode"); without one,
# all. --list names them, --check only looks whether each text to find is there, --table prints what earlier runs found.
# The work is done on a copy in build/mutate, built incrementally; the tests named with the mutation run first, then the
# quick ones until one fails. Exit status 1 when one is not noticed, 2 when the table is stale or the copy fails unbroken.
set -euo pipefail
cd "$(dirname "$0")/.."
exec /usr/bin/python3 -B tests/mutations/mutate.py "$@"
