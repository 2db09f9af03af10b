#!/usr/bin/env bash
# Fuzzes long, one target after the other, and says how many executions each had. What a run found stays in the work folder
# and is where the next one begins.
#   tests/fuzz/long.sh BUILD-FOLDER WORK-FOLDER EXECUTIONS SECONDS [TARGET...]       whichever of both is reached first
set -euo pipefail
cd "$(dirname "$0")/../.."
build="$1" work="$2" executions="$3" seconds="$4"
shift 4
# without what is only there to explain a find: half as much again in the same time
export ASAN_OPTIONS="malloc_context_size=1:quarantine_size_mb=16:detect_stack_use_after_return=0"
[ $# -gt 0 ] || set -- quantity job import edit
for name in "$@"; do
  longest=512
  [ "$name" = edit ] && longest=64 # bytes that choose keys and values, four rounds or so
  mkdir -p "$work/$name"
  nice -n 19 "$build/bin/fuzz_$name" -runs="$executions" -max_total_time="$seconds" -max_len="$longest" -verbosity=0 \
    -print_final_stats=1 -artifact_prefix="$work/found-$name-" "$work/$name" "tests/fuzz/corpus/$name" 2>&1 |
    grep -E "number_of_executed_units|per_sec|ERROR|SUMMARY|Test unit" | sed "s/^/$name /" | tee -a "$work/figures"
done
