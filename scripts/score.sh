#!/usr/bin/env bash
# Scores firmus on a folder of annotated takes: scripts/score.sh [--cross-validate | --other-lines] [FOLDER]
#   FOLDER (default ../shared/data) holds takes/ID.flac, takes.csv, melodies/, truth/ID.csv.
#   Plain: with the weights in the program. --cross-validate: first fits weights in 5 folds, apart by line, and scores
#   each take with those of its fold (a quarter of an hour). --other-lines: each take against its own line and all
#   the others, and how often it is taken for its own, for one to listen to, or refused.
# Needs ../shared/eval/score_takes.py with python3-numpy and python3-mir-eval. Results stay in build/score.
set -euo pipefail
cd "$(dirname "$0")/.."
mode=plain
case "${1-}" in
  --cross-validate) mode=folds; shift ;;
  --other-lines) mode=others; shift ;;
  -*) echo "score.sh: \"$1\" is no option; say --cross-validate or --other-lines" >&2; exit 2 ;;
esac
data=${1:-../shared/data}
[ -f "$data/takes.csv" ] || { echo "score.sh: $data/takes.csv is not there; give a folder of annotated takes" >&2; exit 2; }
scripts/build.sh release >/dev/null
firmus=$PWD/build/release/src/firmus
out=build/score
rm -rf "$out/results" && mkdir -p "$out/results"
mapfile -t takes < <(tail -n +2 "$data/takes.csv" | tr -d '\r')

measure() {  # ID MELODY RESULT [OPTION...]
  "$firmus" check "$data/takes/$1.flac" --melody "$data/melodies/$2.melody" --format json --quiet "${@:4}" >"$3" || true
}
export -f measure
export firmus data

if [ "$mode" = others ]; then
  lines=$(printf '%s\n' "${takes[@]}" | cut -d, -f2 | sort -u)
  for take in "${takes[@]}"; do
    for line in $lines; do
      own=other; [ "$line" != "${take#*,}" ] || own=own
      echo "${take%,*} $line $out/results/${take%,*}.$line.$own.json"
    done
  done | xargs -P "$(nproc)" -L 1 bash -c 'measure "$@"' _
  for own in own other; do
    for decision in sure listen "not this melody"; do
      count=$(cat "$out"/results/*."$own".json | grep -c "\"decision\":\"$decision\"" || true)
      echo "$own line: $decision: $count"
    done
  done
  exit 0
fi

if [ "$mode" = folds ]; then
  cmake --build build/release --target firmus-fit --parallel "$(nproc)" >/dev/null
  more=(); [ ! -d "$data/more/truth" ] || more=("$data/more")
  build/release/src/fit/firmus-fit "$data" "${more[@]}" --to "$out/weights" --folds 5
fi
for take in "${takes[@]}"; do
  weights=""
  [ "$mode" = plain ] || weights="--weights $out/weights.fold$(grep "^${take%,*}," "$out/weights.folds.csv" | cut -d, -f2)"
  echo "${take%,*} ${take#*,} $out/results/${take%,*}.json $weights"
done | xargs -P "$(nproc)" -L 1 bash -c 'measure "$@"' _
for option in "" --minus-4hz; do
  echo "== score_takes.py $option"
  /usr/bin/python3 ../shared/eval/score_takes.py "$out/results" "$data/truth" $option
done
