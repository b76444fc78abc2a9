#!/usr/bin/env bash
# Builds firmus: scripts/build.sh [release|debug|sanitize|fuzz] [CMAKE OPTION...] -> build/KIND. FIRMUS_STRICT=ON makes warnings errors.
# Each stage is compiled as one file, but for debug: there, after a change of one source, one source is compiled.
set -euo pipefail
cd "$(dirname "$0")/.."
kind=${1:-release}
case "$kind" in
  release) flags=(-DCMAKE_BUILD_TYPE=Release) ;;
  debug) flags=(-DCMAKE_BUILD_TYPE=Debug -DFIRMUS_UNITY=OFF) ;;
  sanitize) flags=(-DCMAKE_BUILD_TYPE=RelWithDebInfo "-DCMAKE_CXX_FLAGS_RELWITHDEBINFO=-O2 -g1 -DNDEBUG" -DFIRMUS_SANITIZE=ON) ;;
  # g++ is the compiler whose warnings count.
  fuzz) flags=(-DCMAKE_BUILD_TYPE=RelWithDebInfo -DFIRMUS_FUZZ=ON -DCMAKE_CXX_COMPILER=clang++) FIRMUS_STRICT=OFF ;;
  *) echo "build.sh: no build is called \"$kind\"; say release, debug, sanitize or fuzz" >&2; exit 2 ;;
esac
mkdir -p build
cmake -S . -B "build/$kind" "${flags[@]}" -DFIRMUS_STRICT="${FIRMUS_STRICT:-OFF}" "${@:2}" >"build/configure-$kind.log"
if [ "$kind" = fuzz ]; then
  # Only the fuzz targets: the tests are built elsewhere.
  targets=$(cmake --build build/fuzz --target help | sed -n 's/^\.\.\. \(fuzz_[a-z_]*\)$/\1/p')
  [ -n "$targets" ] || exit 0
  # shellcheck disable=SC2086  # a list of words
  cmake --build build/fuzz --parallel "$(nproc)" --target $targets
else
  cmake --build "build/$kind" --parallel "$(nproc)"
fi
