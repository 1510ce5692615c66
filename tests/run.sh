#!/bin/sh
# Installs what is missing, builds with warnings as errors, and runs every test.
#   sh tests/run.sh            the whole suite, as continuous integration runs it
#   sh tests/run.sh NAME       only the tests whose names match this regular expression
set -eu
cd "$(dirname "$0")/.."

sh .ci/install tests
cmake --preset release
cmake --build --preset release --parallel "$(nproc)"

# Two at a time: tests that wait for a broker or a child process must not starve one another. On a busy
# machine one may all the same miss its time; it is tried a second time, and ctest shows that it was.
ctest --preset release --parallel 2 --timeout 300 --repeat until-pass:2 ${1:+-R "$1"}

# What other people's software sees of it, and what sanitizers find; parts of the whole suite only.
[ $# -gt 0 ] || {
  sh tests/conformance/run.sh build/release
  sh tests/sanitizers.sh
}
