#!/usr/bin/env bash
# Builds firmus and runs its tests: scripts/test.sh [--all]
# Without --all: every quick test, through ctest, and the layout of the sources. With it: warnings as errors, the slow
# tests too, the same under the address and undefined-behaviour sanitizers, the fuzz targets over their corpora, the
# source checks, each source by itself (no include may be missing that another file of its stage happens to have), and
# that the benches build.
# Installs with apt what is missing (nothing when nothing is missing). Ends with each check that did not run and the
# closing line of ctest; exit status 1 when anything failed.
set -euo pipefail
cd "$(dirname "$0")/.."
. scripts/lib.sh

all=no
case "${1-}" in
  "") ;;
  --all) all=yes ;;
  *) echo "test.sh: \"$1\" is no option; say nothing or --all" >&2; exit 2 ;;
esac
failed=()
closing=()
NOT_RUN=build/not-run.txt
: >"$NOT_RUN"
FUZZ_SECONDS=20  # beyond its corpus, for each target

step() { printf '\n== %s (after %d s)\n' "$1" "$SECONDS"; }
not_run() { echo "not run: $1" | tee -a "$NOT_RUN"; }

build() {  # KIND [CMAKE OPTION...]
  local log=build/build-$1.log
  if scripts/build.sh "$@" >"$log" 2>&1; then return 0; fi
  tail -n 40 "$log" >&2
  failed+=("build of $1")
  return 1
}

run_ctest() {  # KIND [CTEST OPTION...]
  local kind=$1 log=build/ctest-$1.log
  shift
  ctest --test-dir "build/$kind" --output-on-failure --timeout 900 -j "$(nproc)" "$@" 2>&1 | tee "$log" || failed+=("tests of $kind")
  closing+=("$(grep -E '^[0-9]+% tests passed|^No tests were found' "$log" | tail -n 1)")
  # A test that cannot run something says so in a line of its own: "not run: WHAT: WHY"; so does the configuration.
  sed -n "s/^.*\(\(not run\|skipped\): .*[^']\)'*\$/\1/p" "build/$kind/Testing/Temporary/LastTest.log" "build/configure-$kind.log" >>"$NOT_RUN" || true
}

run_fuzz_targets() {
  build fuzz || return 0
  local target name corpus=()
  for target in build/fuzz/tests/fuzz/fuzz_*; do
    if [ ! -f "$target" ] || [ ! -x "$target" ]; then continue; fi
    name=$(basename "$target")
    mkdir -p "build/fuzz/found/$name"
    corpus=("build/fuzz/found/$name")
    if [ -d "tests/fuzz/corpus-${name#fuzz_}" ]; then corpus+=("tests/fuzz/corpus-${name#fuzz_}"); fi
    echo "-- $name"
    # New inputs go to the build folder; the corpus of the tree is only read.
    "$target" -max_total_time="$FUZZ_SECONDS" -timeout=10 -rss_limit_mb=2048 -artifact_prefix="build/fuzz/found/$name-" \
      "${corpus[@]}" >"build/fuzz/$name.log" 2>&1 ||
      { tail -n 30 "build/fuzz/$name.log"; failed+=("$name"); }
    tail -n 1 "build/fuzz/$name.log"
  done
}

check_layout() {
  local files
  if ! clang-format --version 2>/dev/null | grep -q 'version 14\.'; then
    not_run "layout of the sources: clang-format 14 is not installed; others lay out a few lines otherwise"
    return 0
  fi
  mapfile -t files < <(find src include tests examples -name '*.cpp' -o -name '*.hpp' | sort)
  clang-format --dry-run -Werror "${files[@]}" || failed+=("clang-format")
}

# The database of single files, which the release build, one file a stage, does not have. clang-tidy parses each by
# itself, so that an include that is missing is an error, though another file of the stage may have it.
configure_plain() {
  mkdir -p build
  cmake -S . -B build/plain -DCMAKE_BUILD_TYPE=Debug -DFIRMUS_UNITY=OFF -DFIRMUS_STRICT=ON >build/configure-plain.log 2>&1 ||
    { tail -n 20 build/configure-plain.log >&2; failed+=("configuration of plain"); return 1; }
}

run_clang_tidy() {
  local sources
  mapfile -t sources < <(find src -name '*.cpp' | sort)
  printf '%s\n' "${sources[@]}" | xargs -P "$(nproc)" -n 4 clang-tidy -quiet --extra-arg=-Wno-unknown-warning-option --extra-arg=-Wno-error -p build/plain 2>/dev/null >build/clang-tidy.log || true
  echo "clang-tidy: $(grep -c 'warning: ' build/clang-tidy.log || true) findings, in build/clang-tidy.log"
  if grep -q 'error: ' build/clang-tidy.log; then grep 'error: ' build/clang-tidy.log; failed+=("clang-tidy"); fi
}

# The accessibility checker that a browser test runs on the pages; without npm that test says that it did not run.
fetch_axe() {
  local version=4.14.1 folder=build/axe
  if [ -f "$folder/package/axe.min.js" ] || ! command -v npm >/dev/null 2>&1; then return 0; fi
  mkdir -p "$folder"
  (cd "$folder" && npm pack --silent "axe-core@$version" && tar -xzf "axe-core-$version.tgz" package/axe.min.js) >"$folder/npm.log" 2>&1 ||
    echo "axe-core cannot be had from npm ($folder/npm.log)" >&2
}

if [ "$all" = yes ]; then
  install_missing build tests all
  fetch_axe
  export FIRMUS_STRICT=ON
  step "release build, warnings as errors"
  build release -DFIRMUS_TESTS=ON || exit 1
  step "programs that print figures: build"
  cmake --build build/release --parallel "$(nproc)" --target firmus_benches >build/build-benches.log 2>&1 ||
    { tail -n 40 build/build-benches.log >&2; failed+=("build of the benches"); }
  step "address and undefined-behaviour sanitizers: build"
  if build sanitize; then
    step "address and undefined-behaviour sanitizers: every test"
    run_ctest sanitize
  fi
  step "fuzz targets: their corpora and $FUZZ_SECONDS s each"
  run_fuzz_targets
  step "layout of the sources"
  check_layout
  step "each source by itself, with clang-tidy"
  if configure_plain; then run_clang_tidy; fi
  step "every test"
  run_ctest release
else
  install_missing build tests
  step "release build"
  build release -DFIRMUS_TESTS=ON || exit 1
  step "every quick test"
  run_ctest release -LE slow
  step "layout of the sources"
  check_layout
  echo "not run: slow tests, sanitizers, fuzz targets, clang-tidy: scripts/test.sh --all" >>"$NOT_RUN"
fi

step "done"
sort -u "$NOT_RUN"
for name in "${failed[@]-}"; do [ -z "$name" ] || echo "FAILED: $name"; done
printf '%s\n' "${closing[@]}"
[ "${#failed[@]}" -eq 0 ]
