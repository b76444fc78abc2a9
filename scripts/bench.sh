#!/usr/bin/env bash
# Prints accuracy and cost beside general-purpose libraries, as tables: scripts/bench.sh [--long] [PART...]
#   tones    pitch, frame by frame, on generated tones whose f0 is known
#   notes    onsets, pitches and ends of notes on ../shared/data, where it is there
#   truth    whole takes with exact truth, by condition (scripts/truth.sh)
#   speed    user time and instructions of whole processes on a take of one minute
#   floors   the same for reading the file alone, and for one pass of FFTs
#   growth   how time and memory grow with the take, the melody and the number of takes; with --long up to 3 hours
# All parts without an argument. Slow timing fails nothing: figures are for eyes. Files stay in build/bench.
set -euo pipefail
cd "$(dirname "$0")/.."
# shellcheck source=scripts/lib.sh
. scripts/lib.sh

out=build/bench
programs=build/release/tests/bench
firmus=build/release/src/firmus

build() {  # TARGET...
  cmake --build build/release --parallel "$(nproc)" --target "$@" >build/bench-build.log 2>&1 ||
    { tail -n 30 build/bench-build.log >&2; exit 1; }
}

sing() {  # MINUTES -> $out/MINUTES.wav, .raw, .melody
  [ -f "$out/$1.melody" ] || "$programs/firmus_bench_sing" "$1" "$out/$1"
}

cost() { "$programs/firmus_bench_cost" "$@"; }  # COMMAND... -> USER_S WALL_S PEAK_MIB

instructions() {  # COMMAND... -> 10^9 instructions
  valgrind --tool=cachegrind --cache-sim=no --cachegrind-out-file=/dev/null "$@" 2>&1 >/dev/null |
    awk '/I *refs:/ { gsub(",", "", $NF); printf "%.2f", $NF / 1e9 }'
}

bench_tones() {
  build firmus_bench_tones
  "$programs/firmus_bench_tones" pressed >"$out/pressed.txt" &
  "$programs/firmus_bench_tones" soft
  echo
  wait $!
  cat "$out/pressed.txt"
}

# A table of commands on one minute: "NAME|COMMAND" each; the first is what the ratios are against. User times are the
# least of three rounds, taken in turn, so that a busy machine is busy for all.
cost_table() {
  local line user least rows=("$@")
  declare -A least=()
  for _ in 1 2 3; do
    for line in "${rows[@]}"; do
      # shellcheck disable=SC2086  # a command is a list of words
      read -r user _ < <(cost ${line#*|})
      least[$line]=$(echo "$user ${least[$line]:-1e9}" | awk '{ print ($1 < $2 ? $1 : $2) }')
    done
  done
  printf '%-26s%10s%10s%16s%14s\n' process "user s" ratio "times realtime" "10^9 instr."
  for line in "${rows[@]}"; do
    # shellcheck disable=SC2086
    printf '%-26s%10.3f%10.2f%16.0f%14s\n' "${line%%|*}" "${least[$line]}" \
      "$(awk "BEGIN { print ${least[$line]} / (${least[${rows[0]}]} + 1e-9) }")" \
      "$(awk "BEGIN { print 60 / (${least[$line]} + 1e-3) }")" "$(instructions ${line#*|})"
  done
}

check_of() { echo "firmus check|$firmus check $out/1.wav --melody $out/1.melody --format json --quiet"; }  # first row

bench_speed() {
  build firmus firmus_bench_sing firmus_bench_cost firmus_bench_peer
  sing 1
  local peer="$programs/firmus_bench_peer" sptk rows=()
  rows=("$(check_of)" "firmus pitch|$firmus pitch $out/1.wav" "aubio yinfft (pitch)|$peer pitch:yinfft $out/1.wav"
    "aubio yinfft, window 4096|$peer pitch:yinfft:4096 $out/1.wav" "aubio yinfast (pitch)|$peer pitch:yinfast $out/1.wav"
    "aubio fcomb (pitch)|$peer pitch:fcomb $out/1.wav"
    "aubio onsets|$peer onsets $out/1.wav" "aubio notes|$peer notes $out/1.wav")
  sptk=$(dpkg -L sptk 2>/dev/null | grep '/bin/pitch$' | head -n 1) || true
  [ -z "$sptk" ] || rows+=("SPTK RAPT (pitch)|$sptk -a 0 -s 44.1 -p 220 -L 30 -H 2800 -o 1 $out/1.raw"
    "SPTK SWIPE' (pitch)|$sptk -a 1 -s 44.1 -p 220 -L 30 -H 2800 -o 1 $out/1.raw")
  echo "Whole processes on one minute of 44.1 kHz mono WAV, 75 notes; peers: hop 220, window 2048 (pitch, notes), one task each"
  cost_table "${rows[@]}"
}

bench_floors() {
  build firmus firmus_bench_sing firmus_bench_cost firmus_bench_peer
  sing 1
  echo "Floors on the same minute: what reading it, and one pass of 2048-point real FFTs (hop 220), cost at least"
  cost_table "$(check_of)" "reading the file|$programs/firmus_bench_peer decode $out/1.wav" \
    "reading and FFTs|$programs/firmus_bench_peer fft $out/1.wav"
}

growth_row() {  # LABEL COMMAND...
  local user wall mib
  read -r user wall mib < <(cost "${@:2}") || true
  printf '%-44s%10.2f%10.2f%12.0f\n' "$1" "$user" "$wall" "$mib"
}

bench_growth() {
  build firmus firmus_bench_sing firmus_bench_cost
  local minutes lengths=(1 6 20 60) takes=()
  [ "$long" = no ] || lengths+=(180)
  printf '%-44s%10s%10s%12s\n' "firmus check" "user s" "wall s" "peak MiB"
  for minutes in "${lengths[@]}"; do
    sing "$minutes"
    growth_row "$minutes min, $((75 * minutes)) notes written" "$firmus" check "$out/$minutes.wav" --longest 200 \
      --melody "$out/$minutes.melody" --format json --quiet
    growth_row "$minutes min, no melody" "$firmus" check "$out/$minutes.wav" --longest 200 --format json --quiet
  done
  for minutes in 1 6 20; do
    growth_row "6 min, $((75 * minutes)) notes written" "$firmus" check "$out/6.wav" --melody "$out/$minutes.melody" \
      --format json --quiet
  done
  for takes in 1 4 8; do
    for jobs in 1 2; do
      mapfile -t many < <(for i in $(seq "$takes"); do ln -sf 1.wav "$out/take$i.wav"; echo "$out/take$i.wav"; done)
      growth_row "$takes takes of 1 min, --jobs $jobs" "$firmus" check "${many[@]}" --melody "$out/1.melody" \
        --jobs "$jobs" --format json --quiet
    done
  done
}

# The three F1 of a folder of results, against the annotated pitch with its bias taken off.
f1_of() {  # FOLDER
  /usr/bin/python3 ../shared/eval/score_takes.py "$1" ../shared/data/truth --minus-4hz |
    sed -n 's/^onset[a-z+]* F1 //p' | head -n 3 | tr '\n' ' '
}

notes_row() {  # LABEL FOLDER
  local onset pitch end
  read -r onset pitch end < <(f1_of "$2"; echo)
  printf '%-44s%10s%14s%18s\n' "$1" "$onset" "$pitch" "$end"
}

bench_notes() {
  local data=../shared/data take melody option
  if [ ! -f "$data/takes.csv" ] || [ ! -f ../shared/eval/score_takes.py ]; then
    echo "not run: notes: $data and ../shared/eval are not there"
    return 0
  fi
  build firmus firmus_bench_peer_notes
  rm -rf "$out/notes" && mkdir -p "$out/notes/firmus"
  # shellcheck disable=SC2016  # the inner shell expands it
  while IFS=, read -r take melody; do
    echo "$data/takes/$take.flac --melody $data/melodies/$melody.melody --format json --quiet $out/notes/firmus/$take.json"
  done < <(tail -n +2 "$data/takes.csv" | tr -d '\r') |
    xargs -P "$(nproc)" -L 1 bash -c '"$0" check "${@:1:$#-1}" >"${@: -1}" || true' "$firmus"
  find "$data/takes" -name '*.flac' -print0 | xargs -0 -P "$(nproc)" -n 8 "$programs/firmus_bench_peer_notes" "$out/notes/peers"
  echo "Notes of annotated takes: F1 over all (onset 50 ms, pitch 50 cents, end 50 ms or 20 %). Only firmus is given the"
  echo "melody. Its weights (in the program; score.sh --cross-validate has it by folds) and what the others are put together"
  echo "by (pitch, steps, dips of level, pauses, every setting) were both fitted on these takes. Of aubio: the best settings."
  printf '%-44s%10s%14s%18s\n' "" onset onset+pitch onset+pitch+end
  notes_row firmus "$out/notes/firmus"
  for option in "$out"/notes/peers/*; do
    notes_row "$(basename "$option")" "$option"
  done
}

bench_truth() { scripts/truth.sh; }

known="tones notes truth speed floors growth"
long=no
parts=()
for word in "$@"; do
  case " --long $known " in
    *" $word "*) if [ "$word" = --long ]; then long=yes; else parts+=("$word"); fi ;;
    *) echo "bench.sh: \"$word\" is no part; say one of: $known, or --long" >&2; exit 2 ;;
  esac
done
# shellcheck disable=SC2206  # a list of words
[ ${#parts[@]} -gt 0 ] || parts=($known)
install_missing build bench
mkdir -p "$out"
cmake -S . -B build/release -DCMAKE_BUILD_TYPE=Release -DFIRMUS_TESTS=ON >build/configure-release.log
for part in "${parts[@]}"; do
  printf '== %s\n' "$part"
  "bench_$part"
  echo
done
