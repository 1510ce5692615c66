#!/bin/sh
# All figures of README.md, as tables, on standard output; it builds what it runs.
#   sh tests/benchmark/run.sh           a quarter of an hour
#   sh tests/benchmark/run.sh --full    to 100,000 jars, 10,000,000 readings and a year: an hour;
#                                       draws tests/benchmark/scale.svg anew
set -eu
cd "$(dirname "$0")/../.."
full=${1:-}

sh .ci/install benchmark >&2
cmake --preset release >&2
cmake --build --preset release --target wheymarkd bare-subscriber stream forecast-benchmark hot-paths >&2

chapter() { printf '\n## %s\n\n' "$1"; }
# shellcheck disable=SC2086
measure() { /usr/bin/python3 "tests/benchmark/$1.py" build/release $2; }

if [ "$full" = --full ]; then
  ingest="--readings 200000 --rounds 5" members=256 seconds=60
  scale="--full --svg tests/benchmark/scale.svg" start="--days 365" disk="--days 3"
else
  ingest="--readings 30000 --rounds 3" members=32 seconds=30
  scale="" start="--days 30 --rounds 3" disk="--days 2"
fi
date -u '+Measured on %Y-%m-%d.'
printf '%s processors, %s\n' "$(nproc)" "$(sed -n 's/^model name[^:]*: //p' /proc/cpuinfo | head -n 1)"
chapter "Forecast" && measure forecast "--members $members"
chapter "Ingest" && measure ingest "$ingest"
chapter "Footprint" && measure footprint "--seconds $seconds"
chapter "Start" && measure start "$start"
chapter "Disk" && measure disk "$disk"
chapter "Scale" && measure scale "$scale"
chapter "Instructions" && measure instruction_counts ""
