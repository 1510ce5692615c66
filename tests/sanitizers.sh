#!/bin/sh
# Looks for memory errors, undefined behaviour and races.
#   sh tests/sanitizers.sh [SECONDS]   every test with the address and undefined-behaviour sanitizers,
#                                      what has threads with the thread sanitizer, and each fuzzer for
#                                      so many seconds (20)
#   sh tests/sanitizers.sh builds      only builds what that needs
#   sh tests/sanitizers.sh whole       the same with every test at full length, all of them with both,
#                                      and ten minutes of each fuzzer; hours
# The short way simulates every 25th world, lets every 150th write fail, and leaves out most random
# stories, the replays of the change alarm and refused memory; all of that runs unsanitized elsewhere.
# Tests that measure memory or time, or run nothing of ours, would show nothing here either way.
set -eu
cd "$(dirname "$0")/.."

sanitized() {
  preset=$1
  shift
  cmake --preset "$preset"
  cmake --build --preset "$preset" --parallel "$(nproc)" "$@"
}

# A few tests are tried again because a busy machine missed their time, but a race is a race.
no_race_was_found() {
  for race in build/thread/race.*; do
    [ ! -f "$race" ] || { cat "$race" && return 1; }
  done
}
rm -f build/thread/race.*

has_threads="wheymarkd daemon-tests host-tests host-in-c"
if [ "${1:-}" = builds ]; then
  sanitized address
  # shellcheck disable=SC2086
  sanitized thread --target $has_threads
  sanitized fuzz
  exit
fi

weighs='^Soak|^package|^restarts|^Lint|^header|^SciPy'
if [ "${1:-}" = whole ]; then
  for preset in address thread; do
    sanitized $preset
    ctest --preset $preset --parallel 2 --timeout 3000 --exclude-regex "$weighs"
  done
  no_race_was_found
  sh tests/fuzz/run.sh 600
  exit
fi

sanitized address
at_length='^simulation|^unchanged|^benchmark|^AFrozenInstance.WhoseMemory|^Quarters/Truth'
WHEYMARK_SEEDS=1:8 WHEYMARK_EVERY_WRITE=150 sh tests/ctest.sh address \
  "$weighs|$at_length|AnyStories.*/([1-9]|1[01])\$" --parallel 2 --timeout 600
# shellcheck disable=SC2086
sanitized thread --target $has_threads
sh tests/ctest.sh thread '^AFrozenInstance' --parallel 4 --timeout 600 \
  --label-regex '^(daemon|host)-tests$'
no_race_was_found
sh tests/fuzz/run.sh "${1:-20}"
