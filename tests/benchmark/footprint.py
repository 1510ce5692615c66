"""What the daemon takes while nothing happens, beside a program that only listens.

    python3 tests/benchmark/footprint.py [BUILD] [--rounds 3] [--seconds 60]

A bare Paho C++ subscriber, the daemon with one jar that is empty, the same with a page, and the
daemon with ten jars that have been fed each day for two days and for two weeks in ten rooms read
each five minutes; each with a broker of its own, all at once, so that they share the machine's moods. Memory when they
have settled; processor time and wake-ups (voluntary context switches of all threads) while nothing
is said to them.
"""

import argparse
import json
import pathlib
import shutil
import statistics
import subprocess
import tempfile
import time
from contextlib import ExitStack

from household import configuration, days
from processes import Broker, Child, cpu_s, free_port, own_kb, replayed, resident_kb, wake_ups

settling_s = 5.0


class Daemon:
    """On its own broker, with `jars` jars and two weeks of them, perhaps with a page."""

    def __init__(self, build, stack, jars, days_before=0, page=False):
        folder = pathlib.Path(stack.enter_context(tempfile.TemporaryDirectory()))
        broker = stack.enter_context(Broker())
        plan = configuration(jars, jars, url=broker.url, store=folder / "wheymark.db")
        if page:
            plan["tile"] = {"listen": f"127.0.0.1:{free_port()}"}
        file = folder / "household.json"
        file.write_text(json.dumps(plan))
        if days_before > 0:
            now_s = int(time.time())
            replayed(build, file, days(jars, jars, now_s - days_before * 86_400, now_s, every_s=300),
                     "--store", folder / "wheymark.db")
        self.child = stack.enter_context(Child([build / "plugin/wheymarkd", "run", "--config", file,
                                                "--log-level", "warning"]))
        broker.wait_for("homie/5/wheymark/$state", "ready")


def bare(build, stack):
    broker = stack.enter_context(Broker())
    child = stack.enter_context(Child([build / "tests/bare-subscriber", broker.url, "load/#"]))
    child.expect("ready")
    return child


def measured(build, seconds):
    with ExitStack() as stack:
        children = [bare(build, stack), Daemon(build, stack, 1).child,
                    Daemon(build, stack, 1, page=True).child,
                    Daemon(build, stack, 10, days_before=2).child,
                    Daemon(build, stack, 10, days_before=14).child]
        time.sleep(settling_s)
        before = [(cpu_s(child), wake_ups(child)) for child in children]
        time.sleep(seconds)
        return [{"resident": resident_kb(child) / 1024, "own": own_kb(child) / 1024,
                 "cpu": 1e6 * (cpu_s(child) - cpu) / seconds, "wakes": (wake_ups(child) - wakes) / seconds}
                for child, (cpu, wakes) in zip(children, before)]


def stripped_kb(build, folder, file):
    copy = folder / pathlib.Path(file).name
    shutil.copy(build / file, copy)
    subprocess.run(["strip", copy], check=True)
    return copy.stat().st_size / 1024


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--rounds", type=int, default=3)
    parser.add_argument("--seconds", type=float, default=60.0)
    arguments = parser.parse_args()
    rounds = [measured(arguments.build, arguments.seconds) for _ in range(arguments.rounds)]

    def row(what, key, digits, ratio=True):
        values = [statistics.median(each[which][key] for each in rounds) for which in range(5)]
        shown = [f"{value:.{digits}f}" for value in values]
        if ratio:
            shown[1:] = [f"{text} ({value / values[0]:.2f})" for text, value in zip(shown[1:], values[1:])]
        print(f"| {what} | " + " | ".join(shown) + " |")

    print("| | bare Paho subscriber | one empty jar | with its page | ten jars, two days | ten jars, two weeks |")
    print("| --- | --- | --- | --- | --- | --- |")
    row("resident, MB", "resident", 1)
    row("of that nobody else's, MB", "own", 1)
    row("wake-ups a second", "wakes", 2, ratio=False)
    row("processor time, us a second", "cpu", 0, ratio=False)

    with tempfile.TemporaryDirectory() as folder:
        sizes = [stripped_kb(arguments.build, pathlib.Path(folder), file)
                 for file in ("plugin/wheymarkd", "plugin/libwheymark.so.1",
                              "plugin/wheymark/wheymarkd-web.so", "tests/bare-subscriber")]
    print("\nstripped: wheymarkd {:.0f} kB, libwheymark.so {:.0f} kB, the page's module {:.0f} kB; "
          "the bare subscriber {:.0f} kB".format(*sizes))


main()
