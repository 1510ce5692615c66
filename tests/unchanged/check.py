"""A change alarm, not a test of what is right: does the program still print the same bytes?

    python3 check.py WHEYMARKD            compares with checksums.txt
    python3 check.py WHEYMARKD --write    writes it: only in a commit that starts with Change, or that
                                          says why the same is now printed otherwise
    python3 check.py WHEYMARKD --keep DIR writes what was printed there, to be compared by hand
    python3 check.py NEW --against OLD    compares two programs, on more and longer households

Each household of households.py is replayed in one piece and in two; then every export, and the plan
and the explanation of each jar, are asked of what its journal has become.
"""

import argparse
import concurrent.futures
import hashlib
import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile

import households

HERE = pathlib.Path(__file__).resolve().parent
CHECKSUMS = HERE / "checksums.txt"
CONFIGURATIONS = {"home": HERE.parent.parent / "config-examples" / "household.json",
                  "steady": HERE.parent.parent / "config-examples" / "household.json",
                  "class": HERE / "wide.json"}
# The configuration, the seed, days; with --more also seeds whose checksums are not kept.
STORIES = [*[("home", seed, 9) for seed in (1, 2, 3)], *[("class", seed, 5) for seed in (1, 2, 3)],
           ("steady", 1, 25)]
MORE = [*[("home", seed, 24) for seed in range(11, 17)], *[("class", seed, 16) for seed in range(11, 15)]]
EXPORTS = [("batches", "csv"), ("batches", "json"), ("bottles", "csv"), ("cultures", "csv"),
           ("readings", "csv"), ("curves", "csv"), ("all", "json"), ("inventory", "txt"),
           ("inventory", "json"), ("month", "txt"), ("month", "svg")]


def configuration_in(path):
    """Comments stand on lines of their own in these files."""
    return json.loads(re.sub(r"(?m)^\s*//.*$", "", path.read_text()))


def printed(program, *arguments, given=""):
    done = subprocess.run([program, *arguments], input=given, capture_output=True, text=True,
                          check=False)
    if done.returncode == 0:
        return done.stdout
    return f"exit {done.returncode}: {done.stderr}"  # a refusal is printed, too


def outputs_of(program, story, folder):
    name, seed, days = story
    path = CONFIGURATIONS[name]
    configuration = configuration_in(path)
    kind = households.SteadyHousehold if name == "steady" else households.Household
    lines = kind(configuration, seed, days).lines
    half = len(lines) // 2
    whole, pieces = (os.path.join(folder, f"{name}-{seed}-{what}.db") for what in ("whole", "pieces"))
    replay = ["replay", "--config", str(path), "--store"]
    yield "replay", printed(program, *replay, whole, given="\n".join(lines) + "\n")
    for number, piece in enumerate([lines[:half], lines[half:]], start=1):
        yield f"piece {number}", printed(program, *replay, pieces, given="\n".join(piece) + "\n")
    asked = ["--config", str(path), "--store", whole]
    for what, form in EXPORTS:
        yield f"export {what} {form}", printed(program, "export", *asked, "--what", what, "--format",
                                               form)
    last = json.loads(lines[-1])["at"]
    ready_by = last[:8] + f"{min(28, int(last[8:10]) + 1):02}T18:00:00Z"
    for jar in configuration["jars"]:
        one = [*asked, "--jar", jar["id"]]
        yield f"explain {jar['id']}", printed(program, "explain", *one)
        yield f"explain {jar['id']} json", printed(program, "explain", *one, "--json")
        yield f"plan {jar['id']}", printed(program, "plan", *one)
        yield f"plan {jar['id']} by", printed(program, "plan", *one, "--ready-by", ready_by, "--json")


def checksums_of(program, story, keep):
    sums = {}
    with tempfile.TemporaryDirectory() as folder:
        for what, text in outputs_of(program, story, folder):
            key = f"{story[0]} {story[1]} {what}"
            sums[key] = hashlib.sha256(text.encode()).hexdigest()[:16]
            if keep:
                (pathlib.Path(keep) / key.replace(" ", "-")).write_text(text)
    return sums


def sums_of_all(program, stories, keep):
    sums = {}
    with concurrent.futures.ThreadPoolExecutor(os.cpu_count()) as pool:
        for some in pool.map(lambda story: checksums_of(program, story, keep), stories):
            sums.update(some)
    return sums


def main():
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("program")
    options.add_argument("--write", action="store_true")
    options.add_argument("--keep")
    options.add_argument("--against")
    call = options.parse_args()
    if call.keep:
        os.makedirs(call.keep, exist_ok=True)
    sums = sums_of_all(call.program, STORIES, call.keep)
    if call.write:
        CHECKSUMS.write_text("".join(f"{value}  {key}\n" for key, value in sums.items()))
        return 0
    known = dict(reversed(line.split("  ", 1)) for line in CHECKSUMS.read_text().splitlines())
    if call.against:
        sums.update(sums_of_all(call.program, MORE, None))
        known = sums_of_all(call.against, STORIES + MORE, None)
    changed = [key for key in sorted(set(known) | set(sums)) if known.get(key) != sums.get(key)]
    for key in changed:
        print(f"changed: {key}")
    print(f"{len(sums) - len(changed)} of {len(sums)} outputs are as they were")
    return 1 if changed else 0


if __name__ == "__main__":
    sys.exit(main())
