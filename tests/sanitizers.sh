#!/bin/sh
# Looks for memory errors, undefined behaviour and races.
#   sh tests/sanitizers.sh [SECONDS]   the short way: one build with clang's address and
#                                      undefined-behaviour sanitizers, in it the simulated worlds
#                                      and each fuzzer for so many seconds (10)
#   sh tests/sanitizers.sh whole       every test with those sanitizers (GCC), then with the thread
#                                      sanitizer what has threads; an hour and more on two cores
set -eu
cd "$(dirname "$0")/.."

if [ "${1:-}" = whole ]; then
  for preset in debug thread; do
    cmake --preset $preset
    cmake --build --preset $preset --parallel "$(nproc)"
    # Sanitized programs are several times slower.
    ctest --preset $preset --parallel 2 --timeout 3000
  done
  exit
fi

sh tests/fuzz/run.sh "${1:-10}"
# Every tenth world; all of them run unsanitized elsewhere.
# The soak weighs memory, of which a sanitizer takes its own share.
WHEYMARK_SEEDS=1:20 build/fuzz/tests/fuzz/sanitized-worlds --gtest_brief=1 '--gtest_filter=-Soak.*'
