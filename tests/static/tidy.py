"""clang-tidy over core and plugin; called by tests/tidy.sh.

Most of clang-tidy's time goes into headers, so the sources of one target are looked at together, as
CMake's unity build compiles them: in a fraction of the time. They are copied into one file rather than
included, because clang's analyzer follows paths through the main file alone; what is told of that
file is told of the source that stands there.
"""
import concurrent.futures
import json
import os
import pathlib
import re
import subprocess
import sys
import time

import files

FILES_MAX = 4    # a minute or so on two cores
TOGETHER_MAX = 2  # so that both cores have work
WORK = files.TOP / "build/tidy"


def batches(looked_at):
    """[(name, files)] of one target each."""
    targets = {}
    for file in looked_at:
        targets.setdefault(file.target, []).append(file)
    return [(f"{target}_{begin // TOGETHER_MAX}", members[begin:begin + TOGETHER_MAX])
            for target, members in targets.items()
            for begin in range(0, len(members), TOGETHER_MAX)]


def write(looked_at):
    """Writes the files that hold others and how they are compiled: [(file, what stands in its lines)]."""
    WORK.mkdir(parents=True, exist_ok=True)
    commands, written = [], []
    for name, members in batches(looked_at):
        source = WORK / f"{name}.cpp"
        lines, origins = [], []
        for file in members:
            if file.name.endswith(".hpp"):  # a #pragma once cannot be copied
                text = [f'#include "{file.name}"']
            else:
                text = (files.TOP / file.name).read_text().splitlines()
            lines += text
            origins += [f"{file.name}:{number}" for number in range(1, len(text) + 1)]
        source.write_text("\n".join(lines) + "\n")
        # A header has the options of some source; those of the first will do.
        commands.append({"directory": str(files.TOP), "file": str(source),
                         "command": f"{members[0].flags} -c {source}"})
        written.append((str(source), origins))
    (WORK / "compile_commands.json").write_text(json.dumps(commands))
    return written


def tidy(written):
    source, origins = written
    seen = subprocess.run(
        ["clang-tidy", "--quiet", f"--config-file={files.TOP / '.clang-tidy'}", "-p", str(WORK),
         f"--header-filter=^{re.escape(str(files.TOP))}/(core|plugin)/", source],
        capture_output=True, text=True)
    # It counts on stderr what it does not show.
    told = seen.stdout + (seen.stderr if seen.returncode and not seen.stdout else "")
    told = re.sub(re.escape(source) + r":(\d+)", lambda at: origins[int(at.group(1)) - 1], told)
    return told.replace(f"{files.TOP}/", "")


def main(what):
    began = time.monotonic()
    looked_at = files.chosen(what, FILES_MAX)
    sources = write(looked_at)
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as workers:
        findings = 0
        for text in workers.map(tidy, sources):
            if text:
                findings += 1
                print(text, flush=True)
    print(f"clang-tidy: {len(looked_at)} files, {time.monotonic() - began:.0f} s")
    return 1 if findings else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
