#!/bin/sh
# Builds the fuzzers and runs each for so many seconds from its corpus; says how many executions.
#   sh tests/fuzz/run.sh 60        finds go to build/fuzz/findings; exit status 1 if there is one
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-30}
cmake --preset fuzz >/dev/null
cmake --build --preset fuzz --parallel "$(nproc)"
mkdir -p build/fuzz/findings
status=0
for what in reading say configuration journal boundary; do
  mkdir -p "build/fuzz/corpus/$what"
  log="build/fuzz/$what.log"
  if ! "build/fuzz/tests/fuzz/$what-fuzz" -max_total_time="$seconds" -max_len=4096 -timeout=10 \
      -rss_limit_mb=2048 -artifact_prefix="build/fuzz/findings/$what-" -print_final_stats=1 \
      "build/fuzz/corpus/$what" "tests/fuzz/corpus/$what" >"$log" 2>&1; then
    status=1
    grep -E "ERROR|SUMMARY|Test unit" "$log" || tail -20 "$log"
  fi
  printf '%s: %s executions\n' "$what" \
    "$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")"
done
exit $status
