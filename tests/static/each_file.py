"""Compiles each file by itself, headers too; called by tests/each_file.sh.

A unity build lends a file the includes of those before it, and the first source lends its headers
its own: what is missing shows up in another order only.
"""
import concurrent.futures
import os
import shlex
import subprocess
import sys
import time

import files

FILES_MAX = 20  # half a minute on two cores


def refused(file):
    """What the compiler says of it, if it refuses it."""
    # As an include, since the compiler will not have #pragma once in a main file.
    seen = subprocess.run(
        [*shlex.split(file.flags), "-O0", "-fsyntax-only", "-x", "c++", "-"],
        input=f'#include "{files.TOP / file.name}"\n', cwd=files.TOP, capture_output=True, text=True)
    return f"{file.name} does not compile by itself\n{seen.stderr}" if seen.returncode else ""


def main(what):
    began = time.monotonic()
    looked_at = files.chosen(what, FILES_MAX)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as workers:
        findings = 0
        for text in workers.map(refused, looked_at):
            if text:
                findings += 1
                print(text, flush=True)
    print(f"each by itself: {len(looked_at)} files, {time.monotonic() - began:.0f} s")
    return 1 if findings else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
