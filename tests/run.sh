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
ctest --preset release --parallel 2 --timeout 300 ${1:+-R "$1"}
