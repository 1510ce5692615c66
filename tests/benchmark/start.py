"""How soon is the daemon there, and how fast does it live through what has been?

    python3 tests/benchmark/start.py [BUILD] [--rounds 5] [--days 365]

Five thermometers that speak once a minute and five jars fed each day: first their days are replayed
into a store (years of life a second). Then the daemon is started on a private broker, in turn with no
store and with that one: until it says that it is ready, and until a first forecast is there (with an
empty store: of a batch whose start is said to it as soon as it is ready, and a reading; with the
other: of what it knows). Beside it the bare Paho subscriber, until its subscription is acknowledged.
"""

import argparse
import pathlib
import statistics
import subprocess
import tempfile
import time

from household import days, write_configuration
from processes import Broker, Child, Listener, replayed

jars = 5


def bare(build):
    with Broker() as broker:
        began = time.monotonic()
        with Child([build / "tests/bare-subscriber", broker.url, "load/#"]) as child:
            child.expect("ready")
            return time.monotonic() - began


def say(broker, topic, payload):
    subprocess.run(["mosquitto_pub", "-p", str(broker.port), "-q", "1", "-t", topic, "-m", payload],
                   check=True)


def daemon(build, folder, store, knows):
    """Seconds until it is ready, and until the first forecast."""
    with Broker() as broker:
        file = write_configuration(folder / "started.json", jars, jars, url=broker.url, store=store)
        with Listener(broker, "homie/5/#") as listener:
            began = time.monotonic()
            with Child([build / "plugin/wheymarkd", "run", "--config", file, "--log-level", "warning"]):
                ready, forecast = None, None
                while ready is None or forecast is None:
                    topic, payload = listener.next()
                    if topic.endswith("wheymark/$state") and payload == "ready" and ready is None:
                        ready = time.monotonic()
                        if not knows:
                            say(broker, "load/0/climate", '{"temperature":21.5}')
                            say(broker, "wheymark/say", '{"fact":"start","jar":"j0"}')
                    if topic.endswith("/batch/peak-opens") and payload:
                        forecast = forecast or time.monotonic()
                return ready - began, forecast - (began if knows else ready)


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--days", type=int, default=365)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        file = write_configuration(folder / "household.json", jars, jars)
        full = folder / "year.db"
        now_s = int(time.time())
        replay_s, _ = replayed(arguments.build, file,
                               days(jars, jars, now_s - 86_400 * arguments.days, now_s),
                               "--store", full)
        kept_mb = full.stat().st_size / 1e6
        rounds = []
        for number in range(arguments.rounds):
            rounds.append((bare(arguments.build),
                           *daemon(arguments.build, folder, folder / f"empty-{number}.db", False),
                           *daemon(arguments.build, folder, full, True)))
    median = [1000.0 * statistics.median(each) for each in zip(*rounds)]
    readings = arguments.days * 1440 * jars
    print("| | time | beside the bare Paho subscriber |")
    print("| --- | --- | --- |")
    print(f"| bare Paho subscriber, subscribed | {median[0]:.0f} ms | 1 |")
    print(f"| ready, no store yet | {median[1]:.0f} ms | {median[1] / median[0]:.1f} |")
    print(f"| first forecast, after a start is said to it | {median[2]:.0f} ms | |")
    print(f"| ready, a store of {arguments.days} days ({kept_mb:.0f} MB) | {median[3]:.0f} ms | "
          f"{median[3] / median[0]:.1f} |")
    print(f"| first forecast, from that store | {median[4]:.0f} ms | |")
    print(f"| replay of {arguments.days} days, {readings} readings (processor time) | {replay_s:.1f} s | "
          f"{arguments.days / 365 / replay_s:.3f} years a second |")


main()
