"""What is written to the disk in a day, beside plain appending to a file?

    python3 tests/benchmark/disk.py [BUILD] [--days 3] [--jars 5]

As many jars, fed each day, as rooms that are read once a minute, replayed into a store under strace,
which tells every write and every sync. Then the same rows of the journal are appended as lines to a
file: synced when the daemon commits (what people said and what was announced at once, readings once a
minute), and synced after each. Bytes are those handed to the disk; blocks are 4 KiB, each counted once
between two syncs, which is the least that a disk or an SD card must write. The daemon writes more than
the journal: its outbox, from which a message goes only when the broker has it.
"""

import argparse
import json
import os
import pathlib
import re
import sqlite3
import subprocess
import sys
import tempfile

from household import days, write_configuration

begin_s = 1_803_859_200  # a midnight
block_bytes = 4096
reading_kinds = (1, 2)  # a reading, a doubt; see plugin/store/schema.hpp


def traced(words, file_part, lines=()):
    """Runs it; commits (syncs), bytes and blocks of the files with `file_part` in their names."""
    with tempfile.NamedTemporaryFile("r", suffix=".strace") as trace:
        process = subprocess.Popen(
            ["strace", "-f", "-y", "-s", "0", "-o", trace.name, "-e",
             "trace=write,pwrite64,fsync,fdatasync"] + [str(word) for word in words],
            stdin=subprocess.PIPE, stdout=subprocess.DEVNULL)
        with process.stdin as pipe:
            for line in lines:
                pipe.write(line.encode())
        if process.wait() != 0:
            sys.exit(f"{words[0]} ended with {process.returncode}")
        syncs = written = blocks = 0
        dirty, ends = {}, {}
        call = re.compile(r"(p?write(?:64)?|fsync|fdatasync)\(\d+<([^>]*)>(?:, .*?, (\d+))?(?:, (\d+))?\) += (\d+)")
        for line in trace:
            found = call.search(line)
            if not found or file_part not in found[2]:
                continue
            name, file, _, at, count = found.groups()
            if "sync" in name:
                syncs += 1
                blocks += len(dirty.pop(file, ()))
                continue
            begin = int(at) if at else ends.get(file, 0)
            end = begin + int(count)
            ends[file] = end
            written += end - begin
            dirty.setdefault(file, set()).update(range(begin // block_bytes, -(-end // block_bytes)))
        return syncs, written, blocks + sum(map(len, dirty.values()))


def append(store, file, each):
    """Appends the store's journal, line by line; synced after each, or as the daemon commits."""
    rows = sqlite3.connect(store).execute("SELECT at, kind, subject, value, body FROM journal ORDER BY seq")
    waiting, since_ms = [], None

    def write():
        os.write(to, "".join(waiting).encode())
        os.fdatasync(to)
        waiting.clear()

    to = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    for row in rows:
        at_ms, kind = row[0], row[1]
        if waiting and at_ms - since_ms >= 60_000:
            write()
        if not waiting:
            since_ms = at_ms
        waiting.append(json.dumps(row, separators=(",", ":")) + "\n")
        if each or kind not in reading_kinds:
            write()
    if waiting:
        write()


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--days", type=int, default=3)
    parser.add_argument("--jars", type=int, default=5)
    parser.add_argument("--append", nargs=3, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.append:
        store, file, each = arguments.append
        return append(store, file, each == "each")
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        jars = arguments.jars
        file = write_configuration(folder / "household.json", jars, jars)
        store = folder / "wheymark.db"
        lines = days(jars, jars, begin_s, begin_s + 86_400 * arguments.days)
        ours = traced([arguments.build / "plugin/wheymarkd", "replay", "--config", file, "--store",
                       store], "wheymark.db", lines)
        plain = [traced([sys.executable, __file__, "--append", store, folder / f"{how}.lines", how],
                        ".lines") for how in ("together", "each")]

    print("| a day | wheymarkd | appended, committed alike | ratio | appended one by one | ratio |")
    print("| --- | --- | --- | --- | --- | --- |")
    for i, (what, unit) in enumerate((("commits (syncs)", 1), ("handed to the disk, MB", 1e6),
                                      ("blocks of 4 KiB, MB", 1e6 / block_bytes))):
        mine, together, each = [numbers[i] / arguments.days / unit for numbers in (ours, *plain)]
        digits = 0 if unit == 1 else 2
        print(f"| {what} | {mine:.{digits}f} | {together:.{digits}f} | {mine / together:.2f} | "
              f"{each:.{digits}f} | {mine / each:.2f} |")


main()
