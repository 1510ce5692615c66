#!/bin/sh
# Does each file compile by itself? The builds compile eight at a time, which hides a missing include.
#   sh tests/each_file.sh [REVISION]   what has changed in core and plugin since REVISION (HEAD~1), or
#                                      as much of it as a minute is enough for
#   sh tests/each_file.sh all          all of core and plugin; some minutes
set -eu
cd "$(dirname "$0")/.."
cmake --preset files >/dev/null
exec python3 tests/static/each_file.py "${1:-HEAD~1}"
