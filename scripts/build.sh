#!/usr/bin/env bash
# Builds firmus: scripts/build.sh [release|debug|sanitize] -> build/KIND. FIRMUS_STRICT=ON makes warnings errors.
set -euo pipefail
cd "$(dirname "$0")/.."
kind=${1:-release}
case "$kind" in
  release) flags=(-DCMAKE_BUILD_TYPE=Release) ;;
  debug) flags=(-DCMAKE_BUILD_TYPE=Debug) ;;
  sanitize) flags=(-DCMAKE_BUILD_TYPE=RelWithDebInfo -DFIRMUS_SANITIZE=ON) ;;
  *) echo "build.sh: no build is called \"$kind\"; say release, debug or sanitize" >&2; exit 2 ;;
esac
cmake -S . -B "build/$kind" "${flags[@]}" -DFIRMUS_STRICT="${FIRMUS_STRICT:-OFF}" "${@:2}" >/dev/null
cmake --build "build/$kind" --parallel "$(nproc)"
