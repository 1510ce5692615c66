#!/bin/sh
# Runs the tests of a preset: all once, but those in tests/tried_twice.txt one at a time and, if one
# fails, that one once more.
#   sh tests/ctest.sh PRESET EXCLUDED [OPTION ...]
# EXCLUDED is a regular expression of names, or empty; options are ctest's, for both.
set -eu
cd "$(dirname "$0")/.."
preset=$1 excluded=$2
shift 2

names=$(sed 's/ *#.*//; /^$/d' tests/tried_twice.txt)
there=$(ctest --preset "$preset" --show-only | sed -n 's/^ *Test *#[0-9]*: //p')
for name in $names; do
  echo "$there" | grep -qxF "$name" || {
    echo "tests/tried_twice.txt: there is no test $name" >&2
    exit 1
  }
done
twice="^($(echo "$names" | paste -sd '|' -))\$"

# Both, so that one run tells all that fails.
status=0
ctest --preset "$preset" --exclude-regex "$twice${excluded:+|$excluded}" "$@" || status=1
ctest --preset "$preset" --tests-regex "$twice" ${excluded:+--exclude-regex "$excluded"} "$@" \
  --parallel 1 --repeat until-pass:2 || status=1
exit $status
