"""The real daemon and a real broker that is ended, killed, stopped and wiped every few seconds.

    python3 tests/faults/broker_restarts/run.py [BUILD] [--seconds 60] [--pace 1800] [--seed 1]

Thermometers and people go on meanwhile, half an hour of their time each second, so that an hour is
two months and a half (`--pace`; the daemon goes by their clock). Then it is judged:

* every event in the journal was heard by somebody who only listens, each under one id and always
  the same to the byte;
* everything said is answered, and what was accepted is in the journal once;
* the states are retained again although the broker had forgotten them;
* what the process holds (memory, threads, open files) does not grow.

Whenever the broker comes back the daemon is held until the listener is subscribed: what a broker
takes while nobody listens is lost by right. Exit status 1 if anything is amiss.
"""

import argparse
import json
import pathlib
import random
import signal
import sys
import tempfile
import time

import judge
from household import Household, configuration, instant
from listener import Listener
from mqtt_line import Line

sys.path.insert(0, str(pathlib.Path(__file__).parents[2] / "benchmark"))
from processes import Broker, Child, open_files, resident_kb, threads  # noqa: E402

STEP_S = 0.5  # the household's clock moves that often
GROWTH_MB_MAX = 8.0  # in the later half, as in soak_test.cpp
SETTLING_S_MAX = 120.0


class Faults:
    """What happens to the broker next, and for how long."""

    def __init__(self, dice):
        self._dice = dice
        self.counts = dict.fromkeys(("ended", "killed", "stopped", "wiped", "away for long"), 0)

    def lives_s(self):
        return self._dice.choice([0.3, 1.0, 2.0, 4.0, 6.0, 9.0])

    def strike(self, broker):
        """Takes the broker away; returns how long it is to stay away."""
        kind = self._dice.choices(["ended", "killed", "stopped"], [4, 5, 1])[0]
        self.counts[kind] += 1
        if kind == "stopped":
            broker.process.send_signal(signal.SIGSTOP)
            # The longest is more than the daemon waits for a sign of life.
            return self._dice.choice([0.5, 1.0, 2.0, 4.0, 40.0])
        broker.stop(signal.SIGTERM if kind == "ended" else signal.SIGKILL)
        if self._dice.random() < 0.25:
            self.counts["wiped"] += 1
            broker.wipe()
        if self._dice.random() < 0.04:
            self.counts["away for long"] += 1
            return self._dice.uniform(10.0, 30.0)
        return self._dice.choice([0.0, 0.05, 0.3, 1.0, 2.5])


class Watch:
    """What the daemon's process holds, once a second."""

    def __init__(self, child):
        self._child = child
        self._began = time.monotonic()
        self._samples = []  # seconds, MB, threads, open files

    def look(self):
        at_s = time.monotonic() - self._began
        if not self._samples or at_s - self._samples[-1][0] >= 1.0:
            self._samples.append((at_s, resident_kb(self._child) / 1024, threads(self._child),
                                  open_files(self._child)))

    def near(self, share, what):
        """The median at this share of the whole time (0 to 1), over a twentieth of it."""
        length_s = self._samples[-1][0]
        there = sorted(sample[what] for sample in self._samples
                       if abs(sample[0] - share * length_s) <= length_s / 40 + 1.0)
        return there[len(there) // 2]

    def told(self):
        for what, name in ((1, "memory, MB"), (2, "threads"), (3, "open files")):
            most = max(sample[what] for sample in self._samples)
            shares = ", ".join(f"{self.near(share, what):.4g}" for share in (0.0, 0.25, 0.5, 0.75, 1.0))
            yield f"{name}: {shares} (at each quarter), at most {most:.4g}"

    def complaints(self):
        growth_mb = self.near(1.0, 1) - self.near(0.5, 1)
        if growth_mb > GROWTH_MB_MAX:
            yield f"{growth_mb:.1f} MB more memory in the later half"
        half = len(self._samples) // 2
        for what, name in ((2, "threads"), (3, "open files")):
            first, later = (max(sample[what] for sample in part)
                            for part in (self._samples[:half], self._samples[half:]))
            if later > first + 1:  # a connection comes and goes
                yield f"{name}: at most {first}, later {later}"


class World:
    def __init__(self, broker, daemon, arguments):
        dice = random.Random(arguments.seed)
        self.broker, self.daemon = broker, daemon
        self.household, self.listener = Household(dice), Listener()
        self.faults, self.watch = Faults(dice), Watch(daemon)
        self.readings = 0
        self._pace = arguments.pace
        self._began = time.monotonic()
        self._speaker = None

    def lives(self, seconds):
        self._broker_comes_back()
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            self._goes_on(self.faults.lives_s(), self._speak)
            away_s = self.faults.strike(self.broker)
            self._goes_on(away_s, lambda: None)
            if self.broker.process.poll() is None:
                self.broker.process.send_signal(signal.SIGCONT)
            else:
                self._broker_comes_back()
        self._comes_to_rest()

    def _broker_comes_back(self):
        self.daemon.process.send_signal(signal.SIGSTOP)
        self.broker.start()
        self.listener.listen_at(self.broker.port)
        self.daemon.process.send_signal(signal.SIGCONT)
        self._speaker = None

    def _goes_on(self, seconds, each_step):
        until = time.monotonic() + seconds
        while (left_s := until - time.monotonic()) > 0:
            each_step()
            self.watch.look()
            time.sleep(min(STEP_S, left_s))

    def _speak(self, anything_new=True):
        now_s = (time.monotonic() - self._began) * self._pace
        try:
            if self._speaker is None:
                self._speaker = Line(self.broker.port, "speaker")
            self._speaker.publish("home/clock", instant(now_s), retain=True)
            for topic, payload in self.household.readings(now_s):
                self._speaker.publish(topic, payload)
                self.readings += 1
            self.household.hears(self.listener.new_answers(), now_s)
            for payload in self.household.sayings(now_s, anything_new):
                self._speaker.publish("wheymark/say", payload)
        except OSError:
            self._speaker = None  # to nobody; thermometers forget it, people say it again
        return instant(now_s)

    # Everything is answered, and the broker has everything that came of the clock's last move.
    def _comes_to_rest(self):
        until = time.monotonic() + SETTLING_S_MAX
        while time.monotonic() < until:
            last = self._speak(anything_new=False)
            time.sleep(1.0)
            if (not self.household.waits_for_answers()
                    and self.listener.heard_in_this_life("home/clock/done", last)):
                return
        raise SystemExit("the daemon does not come to rest")


def about_states(port, jars):
    """Complaints about what is retained: every jar has a stage, and the daemon is ready."""
    line = Line(port, "who comes later", wait_s_max=10.0)
    line.subscribe("homie/5/#")
    retained = {}
    for topic, payload, _ in line.heard(until_silent_s=1.0):
        retained[topic] = payload
    if retained.get("homie/5/wheymark/$state") != "ready":
        yield f"the daemon's state is {retained.get('homie/5/wheymark/$state')}"
    for jar in jars:
        if not retained.get(f"homie/5/jar-{jar['id']}/batch/stage"):
            yield f"the stage of {jar['id']} is not retained"


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--seconds", type=float, default=60.0)
    parser.add_argument("--pace", type=float, default=1800.0)
    parser.add_argument("--seed", type=int, default=1)
    arguments = parser.parse_args()

    with tempfile.TemporaryDirectory() as name, Broker(keeps=True) as broker:
        folder = pathlib.Path(name)
        file, log = folder / "household.json", folder / "log"
        home = configuration(broker.url, folder / "wheymark.db")
        file.write_text(json.dumps(home))
        broker.stop(signal.SIGTERM)
        with log.open("w") as errors, Child(
                [arguments.build / "plugin/wheymarkd", "run", "--config", file,
                 "--clock", "home/clock"], errors) as daemon:
            world = World(broker, daemon, arguments)
            world.lives(arguments.seconds)
            complaints = list(about_states(broker.port, home["jars"]))
            complaints += world.watch.complaints()
            daemon.ended_output()
            if daemon.process.returncode != 0:
                complaints.append(f"the daemon ended with {daemon.process.returncode}")
        lines = log.read_text().splitlines()
        complaints += [line for line in lines if line.startswith("error")]
        journal = judge.Journal(folder / "wheymark.db")
        events = world.listener.heard("wheymark/events/") + world.listener.heard("wheymark/notices/")
        answers = world.listener.heard("wheymark/answer")
        complaints += judge.about_events(events, journal)
        complaints += judge.about_starts(events, answers)
        complaints += judge.about_sayings(world.household.said, answers, journal,
                                          arguments.build, file)

    print("the broker was", ", ".join(f"{what} {n} times" for what, n in world.faults.counts.items()))
    print(f"the daemon connected {sum('connected to' in line for line in lines)} times")
    print(f"{world.readings} readings; {len(world.household.said)} sayings, said "
          f"{world.household.times_said} times, {len(journal.facts)} accepted and kept")
    print(f"{len(journal.event_ids)} events, heard {len(events)} times")
    for line in world.watch.told():
        print(line)
    for complaint in complaints:
        print("AMISS:", complaint)
    sys.exit(1 if complaints else 0)


main()
