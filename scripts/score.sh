#!/usr/bin/env bash
# Scores firmus on a folder of annotated takes:
#   scripts/score.sh [--cross-validate | --other-lines | --parts | --duets | --altered | --octaves] [FOLDER]
#   scripts/score.sh --cut | --stopped | --padded | --spliced [FOLDER]
#   FOLDER (default ../shared/data) holds takes/ID.flac, takes.csv, melodies/, truth/ID.csv.
#   Plain: with the weights in the program. --cross-validate: first fits weights in 5 folds, apart by line, and scores
#   each take with those of its fold (some minutes). --other-lines: each take against its own line and all
#   the others, and how often it is taken for its own, for one to listen to, or refused. --parts: the first half of each
#   take, its second half, and the take with four bars of its middle cut out (by sox, kept until it is measured).
#   --duets: each take with a take of another line sounding beside it, 12, 6 and 0 dB under it, against its own line, and
#   at 12 dB against a third one. --altered: each take against its line with every tenth, fifth, third note a third higher.
#   --octaves: each take with one note moved an octave up, and down, by sox: whether the result says so and no other note
#   changes.
#   --cut: each take cut off within a note, in four places; --stopped: the same with silence behind; --padded: silence or
#   noise behind each take; --spliced: three bars sung twice. These four hold each changed take against the unchanged one
#   (tests/bench/changed_takes.py) and need sox.
# Needs ../shared/eval/score_takes.py with python3-numpy and python3-mir-eval. Results stay in build/score.
set -euo pipefail
cd "$(dirname "$0")/.."
mode=plain
case "${1-}" in
  --cross-validate) mode=folds; shift ;;
  --other-lines) mode=others; shift ;;
  --parts) mode=parts; shift ;;
  --duets) mode=duets; shift ;;
  --altered) mode=altered; shift ;;
  --octaves) mode=octaves; shift ;;
  --cut | --stopped | --padded | --spliced) mode=${1#--}; shift ;;
  -*) echo "score.sh: \"$1\" is not an option; see the head of $0" >&2; exit 2 ;;
esac
data=${1:-../shared/data}
[ -f "$data/takes.csv" ] || { echo "score.sh: $data/takes.csv is not there; give a folder of annotated takes" >&2; exit 2; }
scripts/build.sh release >/dev/null
firmus=$PWD/build/release/src/firmus
out=build/score
rm -rf "$out/results" && mkdir -p "$out/results"
mapfile -t takes < <(tail -n +2 "$data/takes.csv" | tr -d '\r')

lines=$(printf '%s\n' "${takes[@]}" | cut -d, -f2 | sort -u)

measure() {  # SOUND MELODY RESULT [OPTION...]; paths
  "$firmus" check "$1" --melody "$2" --format json --quiet "${@:4}" >"$3" 2>"$3.err" || true
}
export -f measure

need_sox() {
  command -v sox >/dev/null || { echo "score.sh: sox is not installed; it cuts, mixes and moves the takes" >&2; exit 2; }
}

if [ "$mode" = octaves ]; then
  need_sox
  exec /usr/bin/python3 tests/bench/moved_notes.py "$firmus" "$data" "$out/results"
fi
case $mode in
  cut | stopped | padded | spliced)
    need_sox
    /usr/bin/python3 tests/bench/changed_takes.py "$mode" "$firmus" "$data" "$out/results" --each
    exit 0 ;;
esac

count_decisions() {  # KIND...: of the results TAKE.KIND.json
  local kind decision count
  for kind in "$@"; do
    for decision in sure listen "not this melody"; do
      count=$(cat "$out"/results/*."$kind".json | grep -c "\"decision\":\"$decision\"" || true)
      echo "$kind: $decision: $count"
    done
  done
}
export firmus data out

if [ "$mode" = others ]; then
  for take in "${takes[@]}"; do
    for line in $lines; do
      own=other; [ "$line" != "${take#*,}" ] || own=own
      echo "$data/takes/${take%,*}.flac $data/melodies/$line.melody $out/results/${take%,*}.$line.$own.json"
    done
  done | xargs -P "$(nproc)" -L 1 bash -c 'measure "$@"' _
  count_decisions own other
  exit 0
fi

# Seconds at which the take is cut: before its middle note, and before and after the four bars about the middle.
cuts() {  # ID MELODY
  "$firmus" melody "$data/melodies/$2.melody" --format csv | tr -d '\r' |
    awk -F, -v truth="$data/truth/$1.csv" '
      NR > 1 && $1 != "rest" && $1 != "hold" { bar[notes++] = $3 }
      function onset(note,   i) { for (i = note; i < notes; ++i) if (i in at) return at[i]; return last }
      END {
        while ((getline row < truth) > 0) {
          split(row, field, ",")
          if (field[4] ~ /^[0-9]/ && !(field[4] + 0 in at)) { at[field[4] + 0] = field[1] - 0.05; last = field[2] }
        }
        from = int((bar[0] + bar[notes - 1] - 3) / 2)
        for (i = notes; i-- > 0;) { if (bar[i] >= from) begin = i; if (bar[i] >= from + 4) end = i }
        print onset(int(notes / 2)), onset(begin), onset(end)
      }'
}
measure_parts() {  # ID MELODY
  local take=$data/takes/$1.flac work middle begin end
  work=$(mktemp -d)
  read -r middle begin end < <(cuts "$1" "$2")
  sox -D "$take" "$work/first.wav" trim 0 "$middle"
  sox -D "$take" "$work/second.wav" trim "$middle"
  sox -D "$take" "$work/a.wav" trim 0 "$begin"
  sox -D "$take" "$work/b.wav" trim "$end"
  sox -D "$work/a.wav" "$work/b.wav" "$work/gap.wav"
  for part in first second gap; do
    measure "$work/$part.wav" "$data/melodies/$2.melody" "$out/results/$1.$part.json"
  done
  rm -r "$work"
}
export -f cuts measure_parts

if [ "$mode" = parts ]; then
  need_sox
  for take in "${takes[@]}"; do echo "${take%,*} ${take#*,}"; done | xargs -P "$(nproc)" -L 1 bash -c 'measure_parts "$@"' _
  count_decisions first second gap
  exit 0
fi

# The first of the takes after number I, in a ring, whose line is none of those given: TAKE,LINE.
take_of_other() {  # I LINE...
  local i=$1 take; shift
  while true; do
    i=$(((i + 1) % ${#takes[@]})); take=${takes[$i]}
    case " $* " in *" ${take#*,} "*) ;; *) echo "$take"; return ;; esac
  done
}
measure_duets() {  # ID MELODY OTHER_ID THIRD_MELODY
  local work under
  work=$(mktemp -d)
  for id in "$1" "$3"; do sox -D "$data/takes/$id.flac" -c 1 -r 44100 "$work/$id.wav" gain -n -6; done
  for under in 12 6 0; do
    sox -D -m -v 1 "$work/$1.wav" -v "$(awk "BEGIN { print 10 ^ (-$under / 20) }")" "$work/$3.wav" "$work/duet.wav"
    measure "$work/duet.wav" "$data/melodies/$2.melody" "$out/results/$1.$under-dB-under.json"
    [ "$under" != 12 ] || measure "$work/duet.wav" "$data/melodies/$4.melody" "$out/results/$1.third-line.json"
  done
  rm -r "$work"
}
export -f measure_duets

if [ "$mode" = duets ]; then
  need_sox
  for i in "${!takes[@]}"; do
    own=${takes[$i]}; other=$(take_of_other "$i" "${own#*,}"); third=$(take_of_other "$i" "${own#*,}" "${other#*,}")
    echo "${own%,*} ${own#*,} ${other%,*} ${third#*,}"
  done | xargs -P "$(nproc)" -L 1 bash -c 'measure_duets "$@"' _
  count_decisions 12-dB-under 6-dB-under 0-dB-under third-line
  exit 0
fi

# The melody with one note in EVERY a third higher, the first among them; names keep their accidentals.
alter() {  # MELODY EVERY
  perl -0pe 'BEGIN { $every = shift; @letters = ("C", "D", "E", "F", "G", "A", "B"); %at = map { $letters[$_] => $_ } 0 .. 6 }
    s{(?<![\w#])([A-G])([#b]?)(\d)(?!\w)}{
      my $to = $at{$1} + 2; $note++ % $every ? $& : $letters[$to % 7] . $2 . ($3 + int($to / 7)) }ge' \
    "$2" "$data/melodies/$1.melody"
}
if [ "$mode" = altered ]; then
  for every in 10 5 3; do
    for line in $lines; do alter "$line" "$every" >"$out/results/$line.$every.melody"; done
    for take in "${takes[@]}"; do
      echo "$data/takes/${take%,*}.flac $out/results/${take#*,}.$every.melody $out/results/${take%,*}.every-$every.json"
    done
  done | xargs -P "$(nproc)" -L 1 bash -c 'measure "$@"' _
  count_decisions every-10 every-5 every-3
  exit 0
fi

if [ "$mode" = folds ]; then
  . scripts/lib.sh
  install_missing build fit
  cmake --build build/release --target firmus-fit --parallel "$(nproc)" >/dev/null
  more=(); [ ! -d "$data/more/truth" ] || more=("$data/more")
  # As the weights in the program were fitted.
  build/release/src/fit/firmus-fit "$data" "${more[@]}" --to "$out/weights" --folds 5 --altered --hidden 64 --epochs 10
fi
for take in "${takes[@]}"; do
  weights=""
  [ "$mode" = plain ] || weights="--weights $out/weights.fold$(grep "^${take%,*}," "$out/weights.folds.csv" | cut -d, -f2)"
  # No blank at the end: xargs would take the next line as well.
  echo "$data/takes/${take%,*}.flac $data/melodies/${take#*,}.melody $out/results/${take%,*}.json${weights:+ $weights}"
done | xargs -P "$(nproc)" -L 1 bash -c 'measure "$@"' _
for option in "" --minus-4hz; do
  echo "== score_takes.py $option"
  /usr/bin/python3 ../shared/eval/score_takes.py "$out/results" "$data/truth" $option
done
