#!/bin/sh
# clang-tidy, by the rules of .clang-tidy.
#   sh tests/tidy.sh [REVISION]   what has changed in core and plugin since REVISION (HEAD~1), or as
#                                 much of it as a minute is enough for
#   sh tests/tidy.sh all          all of core and plugin; some minutes
set -eu
cd "$(dirname "$0")/.."
cmake --preset files >/dev/null
exec python3 tests/static/tidy.py "${1:-HEAD~1}"
