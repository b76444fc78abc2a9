#!/usr/bin/env bash
# Grades an assignment as a Slurm job array: PARTS parts side by side, then one run that joins them.
#   examples/slurm-array/grade.sh PARTS ASSIGNMENT.json OUT_DIR [OPTION...]
# Waits for the end and ends with the status of the joining run. The folder must be one that all nodes see. Parts that failed or never
# ran cost time only: the joining run measures what is missing. FIRMUS: the program (default: firmus); MEMORY: of each job.
set -euo pipefail
[ $# -ge 3 ] || { echo "usage: $0 PARTS ASSIGNMENT.json OUT_DIR [OPTION...]" >&2; exit 2; }
parts=$1 assignment=$2 out=$3
shift 3
firmus=$(command -v "${FIRMUS:-firmus}")
printf -v line '%q ' "$firmus" grade "$assignment" --out "$out" --jobs 1 --quiet "$@"
mkdir -p -m 700 "$out.log"

array=$(sbatch --parsable --array="1-$parts" --ntasks=1 --cpus-per-task=1 --mem="${MEMORY:-400M}" --job-name=firmus \
  --output="$out.log/part-%a.txt" --wrap="$line --shard \$SLURM_ARRAY_TASK_ID/$parts")
# afterany: also when a part ended with 1 (a take that could not be measured), which is no fault of the run.
sbatch --parsable --wait --dependency="afterany:${array%%;*}" --ntasks=1 --mem="${MEMORY:-400M}" --job-name=firmus-join \
  --output="$out.log/join.txt" --wrap="$line" >"$out.log/join-job" || status=$?
cat "$out.log/join.txt"
exit "${status:-0}"
