"""An alarm for changes: are the hot paths as long as they were, counted in instructions?

    python3 tests/benchmark/instruction_counts.py BUILD          compares with instruction_counts.csv
    python3 tests/benchmark/instruction_counts.py BUILD --write  writes it anew

Not a goal and not right or wrong: whoever makes a path longer, or shorter, by more than the tolerance
sees it here, says so in the commit, and writes the file anew. Instructions and not time, because
callgrind counts the same on a busy machine. The tolerance is for another patch level of the compiler,
the C library or SQLite; the C library is told to take the same code on every processor.
"""

import argparse
import concurrent.futures
import csv
import os
import pathlib
import subprocess
import sys
import tempfile

tolerance = 0.10
paths = ("readings", "forecasts", "beliefs", "journal", "plans")
recorded_file = pathlib.Path(__file__).with_suffix(".csv")


def counted(build, path):
    with tempfile.TemporaryDirectory() as folder:
        out = pathlib.Path(folder) / "callgrind.out"
        ran = subprocess.run(
            ["valgrind", "--tool=callgrind", "--collect-atstart=no", "--toggle-collect=counted",
             f"--callgrind-out-file={out}", build / "tests/hot-paths", path],
            capture_output=True, text=True,
            env=os.environ | {"GLIBC_TUNABLES": "glibc.cpu.hwcaps=-AVX2,-FMA,-AVX512F", "TMPDIR": folder})
        if ran.returncode != 0:
            sys.exit(f"{path}: {ran.stderr}")
        for line in out.read_text().splitlines():
            if line.startswith(("summary:", "totals:")):
                count = int(line.split()[1])
    if count == 0:
        sys.exit(f"{path}: nothing was counted; is there still a function called `counted`?")
    return count


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", type=pathlib.Path)
    parser.add_argument("--write", action="store_true")
    arguments = parser.parse_args()
    with concurrent.futures.ThreadPoolExecutor(max_workers=2) as two:
        counts = dict(zip(paths, two.map(lambda path: counted(arguments.build, path), paths)))

    if arguments.write:
        with recorded_file.open("w", newline="") as file:
            csv.writer(file, lineterminator="\n").writerows([("path", "instructions"), *counts.items()])
        return
    with recorded_file.open(newline="") as file:
        recorded = {row["path"]: int(row["instructions"]) for row in csv.DictReader(file)}
    changed = False
    for path in paths:
        ratio = counts[path] / recorded[path]
        rings = abs(ratio - 1.0) > tolerance
        changed = changed or rings
        print(f"{path:10} {counts[path]:>12} instructions, {ratio:.3f} of what was recorded"
              f"{'  <-- changed' if rings else ''}")
    if changed:
        sys.exit(f"If that is meant: {sys.executable} {sys.argv[0]} {arguments.build} --write")


main()
