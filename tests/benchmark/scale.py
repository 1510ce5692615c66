"""How do time and memory grow with jars and with readings?

    python3 tests/benchmark/scale.py [BUILD] [--full] [--svg FILE]

Jars: a tenth as many rooms; every jar is fed at once and an hour is lived, with a reading a minute in
each room. Readings: ten jars in ten rooms, fed each day, a reading a minute, for as many days as it
takes; journal on the disk. Both are replays; processor time of the whole life, and the memory at its
end. --full goes to 100,000 jars and 10,000,000 readings. The picture has both axes logarithmic: what
is proportional is a line that rises by one decade in each.
"""

import argparse
import pathlib
import tempfile

from household import days, write_configuration
from picture import picture
from processes import replayed

begin_s = 1_803_859_200  # a midnight


def with_jars(build, folder, jars):
    file = write_configuration(folder / "household.json", jars, max(1, jars // 10))
    return replayed(build, file, days(jars, max(1, jars // 10), begin_s, begin_s + 3600))


def with_readings(build, folder, readings):
    file = write_configuration(folder / "household.json", 10, 10)
    lines = days(10, 10, begin_s, begin_s + readings // 10 * 60)
    store = folder / f"{readings}.db"
    spent_s, memory_kb = replayed(build, file, lines, "--store", store)
    return spent_s, memory_kb, store.stat().st_size / 1024


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("build", nargs="?", default="build/release", type=pathlib.Path)
    parser.add_argument("--full", action="store_true")
    parser.add_argument("--svg", type=pathlib.Path)
    arguments = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        jars = {10**i: with_jars(arguments.build, folder, 10**i)
                for i in range(1, 6 if arguments.full else 4)}
        readings = {10**i: with_readings(arguments.build, folder, 10**i)
                    for i in range(4, 8 if arguments.full else 6)}

    print("| jars | processor time of an hour, s | us a jar | resident, MB | kB a jar |")
    print("| --- | --- | --- | --- | --- |")
    empty_kb = min(kb for _, kb in jars.values())
    for count, (spent_s, kb) in jars.items():
        print(f"| {count:,} | {spent_s:.2f} | {1e6 * spent_s / count:.0f} | {kb / 1024:.1f} | "
              f"{(kb - empty_kb) / count:.1f} |")
    print("\n| readings | processor time, s | us a reading | resident, MB | kept, MB |")
    print("| --- | --- | --- | --- | --- |")
    for count, (spent_s, kb, kept_kb) in readings.items():
        print(f"| {count:,} | {spent_s:.2f} | {1e6 * spent_s / count:.1f} | {kb / 1024:.1f} | "
              f"{kept_kb / 1024:.1f} |")
    if arguments.svg:
        arguments.svg.write_text(picture(
            [("jars: processor time of an hour", "s", "jars", [(x, y[0]) for x, y in jars.items()]),
             ("jars: resident", "MB", "jars", [(x, y[1] / 1024) for x, y in jars.items()]),
             ("readings: processor time", "s", "readings", [(x, y[0]) for x, y in readings.items()]),
             ("readings: resident", "MB", "readings", [(x, y[1] / 1024) for x, y in readings.items()])]))


main()
