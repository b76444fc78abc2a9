#!/usr/bin/env bash
# Grades an assignment by GNU parallel, on this machine or, with PARALLEL_OPTIONS="--sshloginfile HOSTS", on several that see the same
# folders: PARTS parts side by side, then one run that joins them.
#   examples/gnu-parallel/grade.sh PARTS ASSIGNMENT.json OUT_DIR [OPTION...]
# Ends with the status of the joining run. FIRMUS: the program (default: firmus).
set -euo pipefail
[ $# -ge 3 ] || { echo "usage: $0 PARTS ASSIGNMENT.json OUT_DIR [OPTION...]" >&2; exit 2; }
parts=$1 assignment=$2 out=$3
shift 3
firmus=$(command -v "${FIRMUS:-firmus}")
# A part ends with 1 when a take could not be measured, which is no fault of the run; the joining run says it again.
# shellcheck disable=SC2086  # options are a list of words
seq "$parts" | parallel ${PARALLEL_OPTIONS:-} --quote "$firmus" grade "$assignment" --out "$out" --jobs 1 --quiet "$@" --shard "{}/$parts" >/dev/null || true
exec "$firmus" grade "$assignment" --out "$out" "$@"
