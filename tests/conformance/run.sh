#!/bin/sh
# What software that we did not write sees of a running wheymarkd: node-homie, a CloudEvents SDK,
# JSON Schema validators, a browser with an accessibility checker.
#   sh tests/conformance/run.sh BUILD_FOLDER
# WHEYMARK_PICTURES=FOLDER leaves screenshots there.
set -eu
build=$(cd "${1:?the build folder is missing}" && pwd)
cd "$(dirname "$0")"
if ! [ -d node_modules ] || [ package-lock.json -nt node_modules ]; then
  npm ci --omit=optional --no-audit --no-fund --loglevel=error
  touch node_modules
fi
PATH="$PATH:/usr/sbin" WHEYMARK_BUILD="$build" exec node --test --test-concurrency=1 \
  --test-reporter=spec ./*.test.mjs
