#!/bin/sh
# Builds the fuzzers and runs each for so many seconds from its corpus, three at a time; says how many
# executions.
#   sh tests/fuzz/run.sh 60        finds go to build/fuzz/findings; exit status 1 if there is one
set -eu
cd "$(dirname "$0")/../.."
seconds=${1:-30}
cmake --preset fuzz >/dev/null
cmake --build --preset fuzz --parallel "$(nproc)"
mkdir -p build/fuzz/findings

fuzz() {
  mkdir -p "build/fuzz/corpus/$1"
  log="build/fuzz/$1.log"
  status=0
  "build/fuzz/tests/fuzz/$1-fuzz" -max_total_time="$seconds" -max_len=4096 -timeout=10 \
    -rss_limit_mb=2048 -artifact_prefix="build/fuzz/findings/$1-" -print_final_stats=1 \
    "build/fuzz/corpus/$1" "tests/fuzz/corpus/$1" >"$log" 2>&1 || status=1
  [ $status = 0 ] || grep -E "ERROR|SUMMARY|Test unit" "$log" || tail -20 "$log"
  printf '%s: %s executions\n' "$1" \
    "$(sed -n 's/^stat::number_of_executed_units: *//p' "$log")"
  return $status
}

fuzz_all() {
  failed=0
  for what in "$@"; do fuzz "$what" || failed=1; done
  return $failed
}
fuzz_all boundary &
first=$!
fuzz_all configuration journal &
second=$!
status=0
fuzz_all reading say || status=1
wait $first || status=1
wait $second || status=1
exit $status
