#!/bin/sh
# What libwheymark.so shows to the process that loads it, and what it wants from it.
#   sh exports_and_imports.sh LIBRARY
set -eu
library=$1
failed=0
complain() {
  echo "$1" >&2
  failed=1
}

# One symbol, and the name of the version that it belongs to.
exported=$(nm -D --defined-only "$library" | awk '$2 != "A" { print $3 }')
[ "$exported" = 'wheymark_plugin_v1@@WHEYMARK_1' ] || complain "exported: $exported"

# Neither threads, nor sockets, nor signals, nor other processes, nor the process's locale, nor its
# end: none of it can happen in a library that does not even know the functions.
forbidden='pthread_create|pthread_atfork|thrd_create|clone|socket|connect|bind|listen|accept4?
  |signal|sigaction|sigprocmask|pthread_sigmask|raise|kill|alarm|setitimer
  |fork|vfork|execve?|posix_spawn|system|popen|setlocale|uselocale|newlocale
  |setenv|putenv|unsetenv|chdir|umask|exit|_exit|quick_exit|atexit|abort
  |time|gettimeofday|clock_gettime|localtime|localtime_r|srand|rand|dlopen'
forbidden=$(printf '%s' "$forbidden" | tr -d ' \n')
imported=$(nm -D --undefined-only "$library" | awk '{ sub(/@.*/, "", $2); print $2 }')
found=$(printf '%s\n' "$imported" | grep -xE "$forbidden" || true)
[ -z "$found" ] || complain "imported: $found"
found=$(printf '%s\n' "$imported" | c++filt |
  grep -E 'std::(thread|jthread|random_device|locale::global|chrono::_V2::(system|steady)_clock::now)' || true)
[ -z "$found" ] || complain "imported: $found"

# The name by which a later library of the same major version is found.
readelf -d "$library" | grep -q 'SONAME.*\[libwheymark\.so\.1\]' || complain 'the soname is another'
# Nothing that would keep it loaded after dlclose, no own search path, no executable stack.
readelf -d "$library" | grep -E 'NODELETE|R(UN)?PATH|TEXTREL' && complain 'flags of the library'
readelf -Ws "$library" | grep -w UNIQUE && complain 'unique symbols pin the library'
exit $failed
