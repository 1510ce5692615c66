"""What the daemon pays for a reading, beside a program that only counts.

    python3 tests/benchmark/ingest.py [BUILD] [--topics 1000] [--readings 200000] [--rounds 3]
                                      [--per-second 0]

Same broker, same stream (JSON readings, QoS 1, on as many topics as there are thermometers), in
turn: a bare Paho C++ subscriber, then the daemon with an empty store. Processor time of all threads
of the process, from /proc. Every reading must be in the daemon's journal at the end.
"""

import argparse
import pathlib
import statistics
import subprocess
import sys
import tempfile
import time

from household import write_configuration
from processes import Broker, Child, resident_kb, settled


def stream(build, url, arguments):
    began = time.monotonic()
    Child([build / "tests/stream", url, arguments.topics, arguments.readings,
           arguments.per_second]).wait()
    return time.monotonic() - began


def bare(build, arguments):
    with Broker() as broker, Child([build / "tests/bare-subscriber", broker.url, "load/#"]) as child:
        child.expect("ready")
        before = settled(child)
        length_s = stream(build, broker.url, arguments)
        spent_s = settled(child) - before
        memory_kb = resident_kb(child)
        count = int(child.ended_output())
    if count != arguments.readings:
        sys.exit(f"the bare subscriber heard {count} of {arguments.readings} readings")
    return spent_s, length_s, memory_kb


def daemon(build, arguments):
    with tempfile.TemporaryDirectory() as name, Broker() as broker:
        folder = pathlib.Path(name)
        file = write_configuration(folder / "household.json", 1, arguments.topics, url=broker.url,
                                   store=folder / "wheymark.db")
        with Child([build / "plugin/wheymarkd", "run", "--config", file,
                    "--log-level", "warning"]) as child:
            broker.wait_for("homie/5/wheymark/$state", "ready")
            before = settled(child)
            length_s = stream(build, broker.url, arguments)
            spent_s = settled(child) - before
            memory_kb = resident_kb(child)
        lines = subprocess.run([build / "plugin/wheymarkd", "export", "--config", file, "--what",
                                "readings", "--format", "csv"], check=True, capture_output=True)
        kept = lines.stdout.count(b"\r\n") - 1
    if kept != arguments.readings:
        sys.exit(f"the daemon kept {kept} of {arguments.readings} readings")
    return spent_s, length_s, memory_kb


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--topics", type=int, default=1000)
    parser.add_argument("--readings", type=int, default=200_000)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--per-second", type=float, default=0.0)
    arguments = parser.parse_args()
    rounds = [(bare(arguments.build, arguments), daemon(arguments.build, arguments))
              for _ in range(arguments.rounds)]

    def median(which, what):
        return statistics.median(each[which][what] for each in rounds)

    def microseconds(which):
        return 1e6 * median(which, 0) / arguments.readings

    print("| | bare Paho subscriber | wheymarkd | ratio |")
    print("| --- | --- | --- | --- |")
    print(f"| processor time a reading, us | {microseconds(0):.1f} | {microseconds(1):.1f} | "
          f"{statistics.median(b[0] / a[0] for a, b in rounds):.2f} |")
    print(f"| readings a second, none lost | {arguments.readings / median(0, 1):.0f} | "
          f"{arguments.readings / median(1, 1):.0f} | |")
    print(f"| resident after it, MB | {median(0, 2) / 1024:.1f} | {median(1, 2) / 1024:.1f} | |")


main()
