#!/bin/sh
# Installs what is missing, builds with warnings as errors, and runs every test.
#   sh tests/run.sh            the whole suite, as continuous integration runs it
#   sh tests/run.sh NAME       only the tests whose names match this regular expression
set -eu
cd "$(dirname "$0")/.."

sh .ci/install tests
cmake --preset release
cmake --build --preset release --parallel "$(nproc)"

# Two at a time: tests that wait for a broker or a child process must not starve one another.
if [ $# -gt 0 ]; then
  exec ctest --preset release --parallel 2 --timeout 300 -R "$1"
fi

# Many tests wait for a broker or a clock; what they leave of the processor builds for the sanitizers.
nice -n 19 sh tests/sanitizers.sh builds >build/sanitizers.log 2>&1 &
builds=$!
trap 'kill $builds 2>/dev/null || true' EXIT
sh tests/ctest.sh release '' --parallel 2 --timeout 300

# What other people's software sees of it, and what sanitizers find.
sh tests/conformance/run.sh build/release
wait $builds || { tail -n 100 build/sanitizers.log && exit 1; }
sh tests/sanitizers.sh

# What compilers and clang-tidy find in what has changed.
sh tests/each_file.sh
sh tests/tidy.sh
